"""What can be claimed of a card, field by field, and how a value is read.

A value that cannot be what its field wants is misuse, and told as such. A value that is well written and that
nothing recorded answers to is no misuse: sellers offer what nobody has written down yet.

>>> from cardref.reference import load
>>> index = load().index
>>> read(index, "back", "21-a").ids
('tidewrack/quay-marl/b-009',)
>>> read(index, "figure", "Lamp Divver").problem
"no figure is called 'Lamp Divver'; did you mean lamp-diver?"
>>> field_named(index, "rope_length"), field_named(index, "languages")
('rope-length', 'language')
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from attrs import frozen

from cardref.errors import CardrefError, UsageError
from cardref.facts.features import as_length, state_fault
from cardref.facts.kept import kept
from cardref.facts.territories import WITHDRAWN, country_exists, language_exists, language_meant
from cardref.index import Index, fold
from cardref.model.feature import Feature, FeatureKind
from cardref.model.forms import FORMS
from cardref.model.kinds import KINDS, short_id
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from cardref.notation.gtin import Gtin
from cardref.notation.names import Hit
from cardref.text import clip, closest, quoted

__all__ = [
    "FIELDS",
    "LONGEST",
    "NOT_SEEN",
    "Field",
    "Said",
    "features_named",
    "field_named",
    "read",
    "title_of",
]

LONGEST: Final = 500
"""No value is longer, in characters."""

NOT_SEEN: Final = frozenset({"?", "not-seen", "could-not-see", "unknown"})
"""Readings of a feature that say nothing."""


@frozen
class Said:
    """One value that is claimed.

    Attributes:
        text: as it was given.
        value: as it is properly written.
        ids: full ids of the records it can mean; () where it means none, or is no record.
        problem: why nothing recorded answers to it, "" where something does.
        changes: what had to be changed to read it.
        span: where it stands in a listing, in characters from 0; None where it was given by itself.
    """

    text: str
    value: str
    ids: tuple[str, ...] = ()
    problem: str = ""
    changes: tuple[str, ...] = ()
    span: tuple[int, int] | None = None


@frozen
class Field:
    """A field of a claim.

    Attributes:
        name: what to call it.
        about: what to write in it.
        several: whether several values can be true of one card.
        kind: the kind of record it names, "" where it names none.
    """

    name: str
    about: str
    several: bool = False
    kind: str = ""


FIELDS: Final[Mapping[str, Field]] = {
    field.name: field
    for field in (
        Field("line", "the line of toys", kind="line"),
        Field("maker", "who made or sold it", kind="maker"),
        Field("figure", "which figure it is", kind="figure"),
        Field("series", "the series titled on the front", kind="series"),
        Field("back-series", "the series titled on the reverse", kind="series"),
        Field("back", "the designation, such as 25B, or the id of the back", kind="back"),
        Field("back-count", "how many figures the reverse pictures"),
        Field("code", "the package code, ? for a sign that cannot be read"),
        Field("barcode", "the digits of the barcode"),
        Field("number", "the maker's product number"),
        Field("name", "the figure's name as printed"),
        Field("language", "languages printed on it, BCP 47", several=True),
        Field("origin", "country of origin as marked, ISO 3166"),
        Field("sticker", "what is stuck on it; none for a plain card", several=True, kind="sticker"),
        Field("extra", "what else lies in the bubble", several=True),
        Field("date", "when it reached the shops, EDTF"),
        Field("face", "the id of the front", kind="face"),
        Field("card", "the id of the card", kind="card"),
    )
}
"""The fields in the order in which statements are told. Features of the catalogue are fields too."""

_ALSO: Final = {
    "lines": "line", "makers": "maker", "figures": "figure",
    "front-series": "series", "front": "series", "reverse-series": "back-series",
    "designation": "back", "count": "back-count", "package-code": "code",
    "ean": "barcode", "upc": "barcode", "gtin": "barcode", "product-number": "number",
    "languages": "language", "country": "origin", "stickers": "sticker", "extras": "extra",
    "year": "date", "released": "date",
}  # fmt: skip


@kept
def _features(index: Index) -> Mapping[str, tuple[Feature, ...]]:
    found: dict[str, tuple[Feature, ...]] = {}
    for full, feature in index.features.items():
        slug = short_id(full)
        found[slug] = (*found.get(slug, ()), feature)
    return found


def features_named(index: Index, slug: str) -> tuple[Feature, ...]:
    """The features with that short name: the general one and lines' own."""
    return _features(index).get(slug, ())


def title_of(field: str) -> str:
    """What to call a field in a sentence."""
    return field.replace("-", " ")


def field_named(index: Index, written: str) -> str:
    """The field that ``written`` means: a name of :data:`FIELDS`, or the short name of a feature.

    Errors: UsageError that says what was probably meant, and what there is.
    """
    name = written.strip().lower().replace("_", "-")
    name = _ALSO.get(name, name)
    if name in FIELDS or name in _features(index):
        return name
    near = closest(name, [*FIELDS, *_ALSO, *_features(index)], 2)
    hint = f"did you mean {' or '.join(near)}?" if near else f"there are {', '.join(FIELDS)}."
    raise UsageError(
        f"a claim has no field {quoted(written)}; {hint} Features are fields too: `cardref list features`"
    )


def read(index: Index, field: str, text: str) -> Said:
    """The value that ``text`` writes for a field of :func:`field_named`.

    Errors: UsageError where it cannot be what the field wants; says what it wants.
    """
    asked = " ".join(text.split())
    if not asked:
        raise UsageError(f"{field} has no value: give {_wanted(field)}, or leave the field out")
    if len(asked) > LONGEST:
        raise UsageError(f"{field} has {len(asked)} characters: give {_wanted(field)} alone")
    reader = _READERS.get(field)
    if reader is not None:
        return reader(index, asked)
    if field in FIELDS and FIELDS[field].kind:
        return _named(index, FIELDS[field].kind, asked)
    if field in FIELDS:
        return Said(asked, asked)
    return _reading(index, field, asked)


def _wanted(field: str) -> str:
    return FIELDS[field].about if field in FIELDS else "what was seen"


def _named(index: Index, kind: str, text: str) -> Said:
    ids = index.maker_named(text) if kind == "maker" else ()
    ids = ids or index.find(text, (kind,))
    if ids:
        return Said(text, text, ids)
    return Said(text, text, problem=f"no {kind} is called {quoted(text)}{_perhaps(index, kind, text)}")


def _perhaps(index: Index, kind: str, text: str) -> str:
    near = (full for word in index.suggest(text, kind) for full in index.find(word, (kind,)))
    named = dict.fromkeys(index.backs[full].label if kind == "back" else short_id(full) for full in near)
    if not named:
        return f"; `cardref list {KINDS[kind].plural}` lists them"
    return f"; did you mean {' or '.join(clip(one, 60) for one in list(named)[:2])}?"


def _back(index: Index, text: str) -> Said:
    ids = index.find(text, ("back",))
    seen = Designation.read(text)
    if seen.value is not None:
        value, changes = str(seen.value), tuple(map(str, seen.changes))
        ids = tuple(b.id for b in index.backs.values() if seen.value.covers(b.designation))
        problem = "" if ids else f"no back {value} is recorded"
        return Said(text, value, ids, problem, changes)
    if ids:
        return Said(text, text, ids)
    hint = _perhaps(index, "back", text)
    raise UsageError(f"{quoted(text)} is no designation such as 25B, and no back is called so{hint}")


def _count(_index: Index, text: str) -> Said:
    if not (text.isascii() and text.isdigit() and len(text) <= 3):
        raise UsageError(f"back-count is a whole number such as 25, not {quoted(text)}")
    return Said(text, str(int(text)))


def _barcode(_index: Index, text: str) -> Said:
    seen = Gtin.read(text)
    if seen.value is not None:
        return Said(text, seen.value.printed, changes=tuple(map(str, seen.changes)))
    problem = seen.problem.problem if seen.problem is not None else "it is no barcode"
    return Said(text, text, problem=f"{quoted(text)} is no barcode: {problem}")


def _language(_index: Index, text: str) -> Said:
    if not FORMS["language"].holds(text):
        raise UsageError(f"language is {FORMS['language'].noun}, not {quoted(text)}")
    if not language_exists(text):
        meant = language_meant(text)
        hint = f"; did you mean {meant}?" if meant else ""
        raise UsageError(f"{quoted(text)} is no language of ISO 639-1{hint}")
    return Said(text, text)


def _origin(index: Index, text: str) -> Said:
    code = text.upper()
    if country_exists(code):
        return Said(text, code)
    asked = fold(text)
    # As it is marked on cards, or the name of a country that is no more.
    marked = {
        mark.country for card in index.cards.values() for mark in card.origin if asked in fold(mark.text)
    }
    marked |= {four for four, gone in WITHDRAWN.items() if asked == fold(gone.name)}
    if len(marked) == 1 and len(asked) > 3:
        return Said(text, marked.pop(), changes=(f"{quoted(text)} read as a mark of origin",))
    if FORMS["country"].holds(code):
        raise UsageError(f"{code} is no country code of ISO 3166, as GB, PT or CSHH (withdrawn) are")
    raise UsageError(f"origin is {FORMS['country'].noun}, not {quoted(text)}")


def _sticker(index: Index, text: str) -> Said:
    if fold(text) in ("none", "plain", "no"):
        return Said(text, "none")
    ids = index.find(text, ("sticker",))
    asked = fold(text)
    ids = ids or tuple(one.id for one in index.stickers.values() if one.text and asked in fold(one.text))
    return Said(text, text, ids) if ids else _named(index, "sticker", text)


def _date(_index: Index, text: str) -> Said:
    try:
        return Said(text, str(Date.parse(text)))
    except CardrefError as error:
        raise UsageError(f"date is {FORMS['edtf'].noun}: {error}") from error


_READERS: Final[Mapping[str, Callable[[Index, str], Said]]] = {
    "back": _back, "back-count": _count, "barcode": _barcode, "language": _language, "origin": _origin,
    "sticker": _sticker, "date": _date,
}  # fmt: skip


def _reading(index: Index, slug: str, text: str) -> Said:
    if fold(text).replace(" ", "-") in NOT_SEEN:
        return Said(text, "")
    faults = []
    for feature in features_named(index, slug):
        for value in _spellings(feature, text):
            fault = state_fault(feature, value)
            if not fault:
                return Said(text, value)
            faults.append(fault)
    raise UsageError(f"{slug} cannot be {quoted(text)}: {faults[0]}")


def _spellings(feature: Feature, text: str) -> Iterator[str]:
    if feature.kind is FeatureKind.LENGTH:
        length = as_length(text)
        yield str(length) if length is not None else text
    else:
        yield text
        yield fold(text).replace(" ", "-")


# --- from running text -----------------------------------------------------------------------------------

_OF_HIT: Final = {
    "line": "line", "maker": "maker", "figure": "figure", "series": "series", "designation": "back",
    "code": "code", "barcode": "barcode", "date": "date",
}  # fmt: skip


def of_hit(index: Index, hit: Hit) -> tuple[str, Said] | None:
    """The field and value that something recognised in a listing claims; None where it claims none."""
    field = _OF_HIT.get(hit.kind)
    if field is None:
        return None
    changes = tuple(map(str, hit.changes))
    if isinstance(hit.value, tuple):
        return field, Said(hit.text, hit.text, hit.value, changes=changes, span=hit.span)
    value = str(hit.value)
    if hit.kind == "barcode":
        value = hit.value.printed
    said = read(index, field, value)
    return field, Said(hit.text, said.value, said.ids, said.problem, changes, hit.span)
