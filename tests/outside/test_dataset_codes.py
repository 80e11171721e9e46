"""Every country, language and script code in the bundled dataset is one that the standards assign.

Countries: ISO 3166-1 alpha-2, and ISO 3166-3 alpha-4 for those withdrawn. Languages: BCP 47 (RFC 5646), whose
subtags come from ISO 639-1/-3 (language), ISO 15924 (script) and ISO 3166-1 (region). The codes are looked up
in the package ``pycountry``, which carries the tables of the Debian project ``iso-codes``.

The model holds the form of a code, not its existence: so a well-formed code of no country is caught here.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import attrs
import pycountry

from cardref.storage.loader import load_tree

DATASET = Path(__file__).parents[2] / "dataset"


def is_country(code: str) -> bool:
    """Whether ISO 3166-1 assigns the two letters, or ISO 3166-3 the four."""
    if len(code) == 4:
        return pycountry.historic_countries.get(alpha_4=code) is not None
    return pycountry.countries.get(alpha_2=code) is not None


def is_language(tag: str) -> bool:
    """Whether every subtag of ``language[-Script][-REGION]`` is assigned."""
    language, *rest = tag.split("-")
    known = (
        pycountry.languages.get(alpha_2=language)
        if len(language) == 2
        else pycountry.languages.get(alpha_3=language)
    )
    return known is not None and all(
        pycountry.scripts.get(alpha_4=part) is not None
        if len(part) == 4
        else pycountry.countries.get(alpha_2=part) is not None
        for part in rest
    )


def _codes(value: Any, where: str) -> Iterator[tuple[str, str, str]]:
    """``(form, code, where)`` for every field whose declared form is a country or a language."""
    if isinstance(value, tuple):
        for item in value:
            yield from _codes(item, where)
        return
    if not attrs.has(type(value)):
        return
    for field in attrs.fields(type(value)):
        said = getattr(value, field.name)
        form = field.metadata.get("form") or field.metadata.get("keys_form")
        if form in ("country", "language"):
            many = said if isinstance(said, (tuple, Mapping)) else (said,) if said else ()
            for code in many:
                yield form, code, f"{where} {field.name}"
        elif isinstance(said, tuple):
            yield from _codes(said, where)


@cache
def used() -> Mapping[str, Mapping[str, str]]:
    """Form -> code -> one record that uses it."""
    found: dict[str, dict[str, str]] = {"country": {}, "language": {}}
    for entries in load_tree(DATASET).entries.values():
        for entry in entries:
            for form, code, where in _codes(entry.record, entry.id):
                found[form].setdefault(code, where)
    return found


def test_countries_are_assigned() -> None:
    """Every country code in the dataset is in ISO 3166-1 or ISO 3166-3."""
    wrong = {code: where for code, where in used()["country"].items() if not is_country(code)}
    assert not wrong


def test_languages_are_assigned() -> None:
    """Every language tag in the dataset is made of assigned subtags."""
    wrong = {code: where for code, where in used()["language"].items() if not is_language(code)}
    assert not wrong


def test_there_is_something_to_look_up() -> None:
    """The walk finds the codes: a withdrawn country, one that YAML 1.1 would misread, and eight languages."""
    assert {"CSHH", "NO"} <= used()["country"].keys()
    assert {"el", "en", "es", "hi", "ko", "nb", "pl", "pt"} <= used()["language"].keys()


def test_makers_languages_are_official_where_they_are() -> None:
    """A code that is real but of another place is no help: each home language is spoken there, by our table.

    The table is from memory.
    """
    spoken = {
        "IE": {"en", "ga"}, "NO": {"nb", "nn"}, "GR": {"el"}, "PT": {"pt"}, "UY": {"es"}, "KR": {"ko"},
        "PL": {"pl"}, "IN": {"hi", "en"}, "CA": {"en", "fr"}, "GB": {"en"}, "DE": {"de"}, "NL": {"nl"},
        "CSHH": {"cs", "sk"},
    }  # fmt: skip
    for entry in load_tree(DATASET).entries["maker"]:
        maker: Any = entry.record
        if maker.country:
            assert set(maker.languages) <= spoken[maker.country], maker.id
