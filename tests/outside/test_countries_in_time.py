"""The library's own tables of countries and languages agree with an outside one.

Sources: ISO 3166-1 (countries), ISO 3166-3 (countries withdrawn, with the year), ISO 639-1 (languages), as
the package ``pycountry`` carries them from the Debian project ``iso-codes``. Our tables are from memory.
"""

import pycountry
import pytest

from cardref.errors import UsageError
from cardref.facts.answer import Verdict
from cardref.facts.territories import COUNTRIES, LANGUAGES, WITHDRAWN, country_existed
from cardref.notation.edtf import Date
from cardref.reference import Reference, load
from cardref.vetting.statement import Status

HISTORIC = {country.alpha_4: country for country in pycountry.historic_countries}


def test_countries_are_those_of_iso_3166_1() -> None:
    """Our list of two-letter codes has each code that is assigned, and no other."""
    assert {country.alpha_2 for country in pycountry.countries} == COUNTRIES


def test_withdrawn_countries_are_those_of_iso_3166_3() -> None:
    """Each withdrawn country, and no other, with its old two letters and the year of its withdrawal."""
    theirs = {
        four: (getattr(one, "alpha_2", four[:2]), int(one.withdrawal_date[:4]))
        for four, one in HISTORIC.items()
    }
    assert {four: (old.two, old.until) for four, old in WITHDRAWN.items()} == theirs


def test_successors_are_codes_of_their_own() -> None:
    """What came after a withdrawn code is a code of today, or was withdrawn itself later."""
    later = {old.two for old in WITHDRAWN.values()}
    assert {code for old in WITHDRAWN.values() for code in old.successors} <= COUNTRIES | later


def test_languages_are_those_of_iso_639_1() -> None:
    """Our list of two-letter languages has each code that is assigned, and no other."""
    assert {lang.alpha_2 for lang in pycountry.languages if hasattr(lang, "alpha_2")} == LANGUAGES


def test_a_withdrawn_country_was_there_before_and_not_after() -> None:
    """Long before its withdrawal nothing speaks against the code; surely after it, it cannot be."""
    for code, outside in HISTORIC.items():
        year = int(outside.withdrawal_date[:4])
        assert country_existed(code, Date.parse(str(year - 1))).verdict is not Verdict.NO
        assert country_existed(code, Date.parse(str(year + 1))).verdict is Verdict.NO


@pytest.fixture(scope="module")
def reference() -> Reference:
    """The bundled reference."""
    return load()


@pytest.mark.parametrize("country", list(pycountry.countries)[::12], ids=lambda country: country.alpha_2)
def test_a_claimed_country_is_no_misuse(reference: Reference, country: pycountry.db.Country) -> None:
    """Vetting takes codes of ISO 3166-1, and never calls them no country."""
    (statement,) = reference.vet(origin=country.alpha_2).statements
    assert statement.status is not Status.CONTRADICTED


@pytest.mark.parametrize("code", ["XX", "UK", "EU"])
def test_what_is_no_country_is_told_so(reference: Reference, code: str) -> None:
    """Codes that ISO 3166-1 does not assign, the popular UK among them, are no origin that can be vetted."""
    assert pycountry.countries.get(alpha_2=code) is None
    with pytest.raises(UsageError, match=f"{code} is no country code of ISO 3166"):
        reference.vet(origin=code)
