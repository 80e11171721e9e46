"""Our lists of country and language codes against pycountry, which packages the ISO registers (iso-codes).

ISO 3166-1 alpha-2 and ISO 3166-3 for countries, ISO 639-1 for languages. Our lists were written from memory.
"""

import pycountry

from cardref.facts.territories import COUNTRIES, LANGUAGES, WITHDRAWN


def test_countries_are_those_of_iso_3166_1() -> None:
    """Every code, and no other."""
    assert frozenset(country.alpha_2 for country in pycountry.countries) == COUNTRIES


def test_withdrawn_countries_are_those_of_iso_3166_3() -> None:
    """Every code with its old two letters and the year in which it was withdrawn."""
    theirs = {
        one.alpha_4: (one.alpha_2, int(one.withdrawal_date[:4])) for one in pycountry.historic_countries
    }
    assert {four: (old.two, old.until) for four, old in WITHDRAWN.items()} == theirs


def test_successors_are_codes_of_their_own() -> None:
    """What came after a withdrawn code is a code of today, or was withdrawn itself later."""
    for old in WITHDRAWN.values():
        for code in old.successors:
            assert code in COUNTRIES or code in {other.two for other in WITHDRAWN.values()}


def test_languages_are_those_of_iso_639_1() -> None:
    """Every code of two letters, and no other."""
    theirs = {one.alpha_2 for one in pycountry.languages if hasattr(one, "alpha_2")}
    assert theirs == LANGUAGES
