"""The bundled dataset shows how everything is written: each field, word and form of the model occurs in it.

What does not occur is listed below with its reason; a reason that is no longer needed fails too. A new field
of the model therefore fails here until the dataset shows it.
"""

import enum
import re
import types
import typing
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import attrs
import pytest

from cardref.model.kinds import KINDS
from cardref.notation.code import ALPHABETS
from cardref.notation.edtf import Date
from cardref.storage.loader import Loaded, load_tree

DATASET = Path(__file__).parents[2] / "dataset"

UNUSED_FIELDS: dict[str, str] = {
    "Slip.times": "each slip known so far shows a figure twice, which is what an absent key says",
}
"""``Class.field`` -> why no record of the dataset has it."""

UNUSED_WORDS: dict[str, str] = {
    "Dataset.severities note": "the demo makes some rules stricter and none milder",
    "Scheme.check gtin": "no maker here makes a barcode its package code; barcodes stand in their own field",
}
"""``Class.field word`` -> why no record of the dataset says it."""

UNUSED_DATES: dict[str, str] = {
    "year before 0": "no toy on a card is that old",
    "year of more than four digits": "the same",
}
"""Form of EDTF -> why no record of the dataset has it."""


@cache
def loaded() -> Loaded:
    """The dataset, read once."""
    return load_tree(DATASET)


def records() -> Iterator[Any]:
    """Every record, and every value inside one that is a class of the model."""
    for entries in loaded().entries.values():
        for entry in entries:
            yield from _inside(entry.record)


def _inside(value: Any) -> Iterator[Any]:
    if attrs.has(type(value)) and type(value).__module__.startswith("cardref.model"):
        yield value
        for field in attrs.fields(type(value)):
            yield from _inside(getattr(value, field.name))
    elif isinstance(value, tuple):
        for item in value:
            yield from _inside(item)


def classes() -> list[type]:
    """The classes that records consist of."""
    found: dict[type, None] = {}

    def walk(hint: Any) -> None:
        ours = isinstance(hint, type) and attrs.has(hint) and hint.__module__.startswith("cardref.model")
        if ours and hint not in found:
            found[hint] = None
            for inner in typing.get_type_hints(hint).values():
                walk(inner)
        for inner in typing.get_args(hint):
            walk(inner)

    for kind in KINDS.values():
        walk(kind.record)
    return list(found)


def owner(cls: type, name: str) -> str:
    """The class that declares a field: standing and sources are shown once, not once a kind."""
    bases = [base for base in cls.__mro__ if attrs.has(base) and name in {f.name for f in attrs.fields(base)}]
    return bases[-1].__name__


def fields() -> list[tuple[type, "attrs.Attribute[Any]"]]:
    """Every field of every class of the model, an inherited one once."""
    found: dict[tuple[str, str], tuple[type, attrs.Attribute[Any]]] = {}
    for record in classes():
        for field in attrs.fields(record):
            found.setdefault((owner(record, field.name), field.name), (record, field))
    return list(found.values())


def named(cls: type, field: "attrs.Attribute[Any]") -> str:
    """``Class.field``, by the class that declares it."""
    return f"{owner(cls, field.name)}.{field.name}"


@cache
def said() -> Mapping[str, list[Any]]:
    """``Class.field`` -> what the records say there, where they say something of their own."""
    found: dict[str, list[Any]] = {named(cls, field): [] for cls, field in fields()}
    for record in records():
        for field in attrs.fields(type(record)):
            value = getattr(record, field.name)
            if field.default is attrs.NOTHING or value != field.default:
                found[named(type(record), field)].append(value)
    return found


def _enums(hint: Any) -> Iterator[type[enum.Enum]]:
    if isinstance(hint, type) and issubclass(hint, enum.Enum):
        yield hint
    for inner in typing.get_args(hint):
        yield from _enums(inner)


def _flat(value: Any) -> Iterator[Any]:
    if isinstance(value, tuple):
        for item in value:
            yield from _flat(item)
    elif isinstance(value, Mapping):
        for key, item in value.items():
            yield key
            yield from _flat(item)
    else:
        yield value


def words() -> list[tuple[str, str]]:
    """``Class.field`` and a word, for every word that a field of the model can say."""
    found = []
    for cls, field in fields():
        hint = typing.get_type_hints(cls)[field.name]
        names = [member.value for kind in _enums(hint) for member in kind]
        names += [choice for choice in field.metadata.get("choices", ()) if choice]
        if hint is bool:
            names += ["true"]
        found += [(named(cls, field), name) for name in names]
    return found


def test_the_dataset_fits_the_model() -> None:
    """Every file can be read and every record fits; else nothing below would mean anything."""
    assert not [file.path for file in loaded().files.values() if file.faults or file.misshapen]
    assert not [
        (e.file.path, e.pointer) for entries in loaded().entries.values() for e in entries if not e.record
    ]


@pytest.mark.parametrize("name", [named(cls, field) for cls, field in fields()])
def test_every_field_is_shown(name: str) -> None:
    """Some record gives the field a value of its own, or the reason why not is listed."""
    assert bool(said()[name]) != (name in UNUSED_FIELDS), UNUSED_FIELDS.get(name, "no record has it")


@pytest.mark.parametrize(("name", "word"), words())
def test_every_word_is_said(name: str, word: str) -> None:
    """Some record says the word there (a default that is nowhere changed says its word by silence)."""
    field = next(f for c, f in fields() if named(c, f) == name)
    there = any(str(one).lower() == word for value in said()[name] for one in _flat(value))
    by_silence = str(field.default) == word and any(
        getattr(record, field.name) == field.default
        for record in records()
        if any(named(type(record), f) == name for f in attrs.fields(type(record)))
    )
    key = f"{name} {word}"
    assert (there or by_silence) != (key in UNUSED_WORDS), UNUSED_WORDS.get(key, "no record says it")


def test_every_kind_of_record_occurs() -> None:
    """No kind of record is without an example."""
    assert not [kind for kind, entries in loaded().entries.items() if not entries]


def test_every_alphabet_of_a_code_occurs() -> None:
    """Segments of digits, of letters and of both are shown."""
    said_so = set(_flat(tuple(said()["SchemeSegment.alphabet"])))
    assert said_so | {"digits"} == set(ALPHABETS)


# --- dates -----------------------------------------------------------------------------------------------

_DAY = r"\d{4}-\d{2}-\d{2}"
_X = r"[\dX]"
FORMS = {
    "year": r"\d{4}",
    "month": r"\d{4}-(?:0[1-9]|1[0-2])",
    "day": _DAY,
    "time without a zone": _DAY + r"T[\d:]{8}",
    "time in UTC": _DAY + r"T[\d:]{8}Z",
    "time with an offset": _DAY + r"T[\d:]{8}[+-]\d{2}:\d{2}",
    "interval": r"[^/.]+[^/]*/[^/.]+[^/]*",
    "year before 0": r"-\d{4}.*",
    "year of more than four digits": r"Y-?\d+",
    "spring": r"\d{4}-21",
    "summer": r"\d{4}-22",
    "autumn": r"\d{4}-23",
    "winter": r"\d{4}-24",
    "uncertain": r"[\d-]+\?",
    "approximate": r"[\d-]+~",
    "uncertain and approximate": r"[\d-]+%",
    "decade": r"\d{3}X",
    "century": r"\d{2}XX",
    "month unspecified": r"\d{4}-XX",
    "day unspecified": r"\d{4}-\d{2}-XX|.*-XX/.*",
    "open end": r".+/\.\.",
    "open start": r"\.\./.+",
    "unknown end": r".+/",
    "unknown start": r"/.+",
    "qualified end of an interval": r".+/.*[?~%]|.*[?~%]/.+",
    "one of a set": r"\[[^\]]+,[^\]]+\]",
    "all of a set": r"\{[^}]+,[^}]+\}",
    "span in a set": r"[\[{].*\d\.\.\d.*[\]}]",
    "everything until, in a set": r"[\[{]\.\..*[\]}]",
    "everything since, in a set": r"[\[{].*\.\.[\]}]",
    "one component qualified": r".*-[?~%]\d.*",
    "year qualified by itself": r"\d{4}[?~%]-.*",
    "year and month qualified, day not": r"\d{4}-\d{2}[?~%]-\d{2}",
    "X anywhere": rf"{_X}{{4}}-(?:\dX|XX-\d\d|X\d).*",
}
"""The forms of levels 0, 1 and 2 that :class:`cardref.Date` reads (ISO 8601-2:2019), as patterns."""


@cache
def dates() -> frozenset[str]:
    """Every date in the dataset, as written canonically."""
    found = {
        str(value)
        for values in said().values()
        for many in values
        for value in _flat(many)
        if type(value) is Date
    }
    return frozenset(found)


@pytest.mark.parametrize("form", FORMS)
def test_every_form_of_a_date_occurs(form: str) -> None:
    """Some record has a date of this form, or the reason why not is listed."""
    there = any(re.fullmatch(FORMS[form], date) for date in dates())
    assert there != (form in UNUSED_DATES), UNUSED_DATES.get(form, "no record has one")


def test_reasons_name_what_exists() -> None:
    """A reason for something that the model no longer has is stale."""
    assert UNUSED_FIELDS.keys() <= said().keys()
    assert UNUSED_WORDS.keys() <= {f"{name} {word}" for name, word in words()}
    assert UNUSED_DATES.keys() <= FORMS.keys()


def test_editors_find_the_schema() -> None:
    """The first line of every YAML file leads to the schema of its type."""
    for file in loaded().files.values():
        first = (DATASET / file.path).read_text("utf-8").split("\n", 1)[0]
        match = re.fullmatch(r"# yaml-language-server: \$schema=(.+)", first)
        assert match, file.path
        schema = ((DATASET / file.path).parent / match[1]).resolve()
        assert file.spec is not None
        assert schema == DATASET.parent / "schemas" / f"{file.spec.document}.schema.json"
        assert schema.is_file(), schema


def test_hints_of_the_model_are_understood() -> None:
    """The walk above knows every shape of type hint that the model uses."""
    for cls, field in fields():
        hint = typing.get_type_hints(cls)[field.name]
        origin = typing.get_origin(hint)
        assert origin in (None, tuple, Mapping, types.UnionType), (cls, field.name, hint)
