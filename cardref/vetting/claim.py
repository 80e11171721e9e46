"""A claim: everything that is said of one card, whoever says it, gathered field by field.

>>> from cardref.reference import load
>>> claim = heard(load().index, "Lamp Diver Tidewrack 21A back unpunched $40")
>>> [str(part) for part in claim.parts], claim.condition, claim.unread
(['line Tidewrack', 'figure Lamp Diver', 'back 21A'], ('unpunched',), ('$40',))
"""

from collections.abc import Iterable, Mapping
from typing import Final

import attrs
from attrs import evolve, frozen

from cardref.decoding.listing import read as read_listing
from cardref.errors import UsageError
from cardref.facts.called import figure_name, maker_name
from cardref.index import Index, fold
from cardref.model.kinds import short_id
from cardref.notation.condition import ALTERED
from cardref.notation.designation import Designation
from cardref.notation.names import Hit
from cardref.text import clip
from cardref.vetting.fields import FIELDS, Said, field_named, of_hit, read, title_of

__all__ = ["MOST_HEARD", "Claim", "Part", "given", "heard"]

MOST_HEARD: Final = 8_000
"""So many characters of a listing are read; nobody describes one card in more."""

_MOST_VALUES: Final = 8
"""So many different values of one field are kept."""


@frozen
class Part:
    """What is claimed in one field.

    Attributes:
        field: the field's name.
        said: the values, each once.
        ids: full ids of the records that the values can mean together.
        clash: whether there are several values that cannot all be true.
        title: what to call the field in a sentence.
    """

    field: str
    said: tuple[Said, ...]
    ids: tuple[str, ...]
    clash: bool
    title: str
    _shown: tuple[str, ...] = attrs.field(default=(), repr=False)

    @property
    def values(self) -> tuple[str, ...]:
        """The values as they are properly written."""
        return tuple(said.value for said in self.said)

    @property
    def value(self) -> str:
        """The first value."""
        return self.said[0].value

    @property
    def problem(self) -> str:
        """Why nothing recorded answers to it; "" where something does."""
        return "; ".join(said.problem for said in self.said if said.problem)

    @property
    def shown(self) -> str:
        """The values in a sentence, safe to print."""
        return (" or " if self.clash else " and ").join(self._shown)

    def __str__(self) -> str:
        return f"{self.title} {self.shown}"


@frozen
class Claim:
    """Everything that is said of one card.

    Attributes:
        parts: field by field, in the order of the fields.
        words: the listing that it was read from, "" where it was given field by field.
        heard: what was recognised in the listing, in order.
        condition: words of condition in it, each once.
        unread: what was not recognised, in order.
        cut: whether the listing was longer than what is read.
    """

    parts: tuple[Part, ...]
    words: str = ""
    heard: tuple[Hit, ...] = ()
    condition: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    cut: bool = False

    @property
    def altered(self) -> tuple[str, ...]:
        """The words by which the seller says that it is not as it left its maker: resealed, opened ..."""
        return tuple(word for word in self.condition if word in ALTERED)

    def part(self, name: str) -> Part | None:
        """What is claimed in a field."""
        return next((part for part in self.parts if part.field == name), None)

    def ids(self, name: str) -> tuple[str, ...]:
        """Full ids of what a field can mean; () where nothing is claimed in it, or nothing recorded."""
        part = self.part(name)
        return part.ids if part is not None else ()


def given(index: Index, fields: Iterable[tuple[str, object]], words: str = "") -> Claim:
    """The claim that fields and a listing make together.

    Args:
        index: what is recorded.
        fields: name and value; a value may be a text, a number, a notation value, or several of them.
        words: a listing's words, read for what is not given in a field.

    Errors: UsageError for a field that does not exist or a value that its field cannot have.
    """
    said: dict[str, dict[str, Said]] = {}
    for written, value in fields:
        name = field_named(index, written)
        for one in _several(name, value):
            text = read(index, name, str(one))
            if text.value or text.problem:
                said.setdefault(name, {}).setdefault(fold(text.value), text)
    base = heard(index, words) if words else Claim(())
    parts = {part.field: part for part in base.parts}
    parts.update({name: _part(index, name, tuple(values.values())) for name, values in said.items()})
    order = {name: at for at, name in enumerate(FIELDS)}
    ordered = sorted(parts.values(), key=lambda part: (order.get(part.field, len(order)), part.field))
    return evolve(base, parts=tuple(ordered))


def _several(name: str, value: object) -> tuple[object, ...]:
    values = tuple(value) if isinstance(value, (list, tuple, set, frozenset)) else (value,)
    if name == "language" and len(values) == 1 and isinstance(values[0], str):
        values = tuple(values[0].replace(",", " ").split())
    if not values or any(one is None or isinstance(one, (bytes, Mapping, bool)) for one in values):
        raise UsageError(f"{name} has no value that can be read: give {_about(name)}")
    return values


def _about(name: str) -> str:
    return FIELDS[name].about if name in FIELDS else "what was seen"


def heard(index: Index, words: str) -> Claim:
    """The claim that a listing's words make, with what was recognised in them and what was not."""
    text = words[:MOST_HEARD]
    if len(words) > MOST_HEARD:
        text = text[: text.rfind(" ") + 1] or text
    hits = read_listing(index, text)
    in_lines = {hit.span for hit in hits if hit.kind == "line"}
    said: dict[str, dict[str, Said]] = {}
    used: list[Hit] = []
    for hit in hits:
        used.append(hit)
        # A series may have its line's title: then the line is named, and nothing is said of a series.
        if hit.kind == "series" and hit.span in in_lines:
            continue
        found = of_hit(index, hit)
        if found is not None:
            said.setdefault(found[0], {}).setdefault(fold(found[1].value), found[1])
    order = list(FIELDS)
    parts = tuple(
        _part(index, name, tuple(values.values()))
        for name, values in sorted(said.items(), key=lambda item: order.index(item[0]))
    )
    condition = tuple(dict.fromkeys(str(hit.value) for hit in hits if hit.kind == "condition"))
    return Claim(parts, words, tuple(used), condition, _unread(text, used), len(text) < len(words))


def _unread(text: str, hits: list[Hit]) -> tuple[str, ...]:
    covered = bytearray(len(text))
    for hit in hits:
        start, end = hit.span
        covered[start:end] = b"\x01" * (end - start)
    left = "".join(" \n"[bool(covered[at])] if covered[at] else sign for at, sign in enumerate(text))
    runs = (" ".join(run.split()).strip(" ,.;:-–/|()!*&+") for run in left.split("\n"))
    return tuple(run for run in runs if not set(run.lower().split()) <= _SMALL)


_SMALL: Final = {
    *("a", "an", "and", "are", "at", "by", "for", "from", "has", "in", "is", "it", "no", "not", "of", "on"),
    *("or", "the", "to", "with", "&", "+", "/"),
}
"""Words of which nobody needs to be told that they were not read."""


# --- several values of one field -------------------------------------------------------------------------


def _part(index: Index, name: str, said: tuple[Said, ...]) -> Part:
    said = said[:_MOST_VALUES]
    several = name in FIELDS and FIELDS[name].several
    title = title_of(name)
    if len(said) == 1 or several:
        ids = tuple(dict.fromkeys(full for one in said for full in one.ids))
        return Part(name, said, ids, False, title, _shown(index, name, said))
    # Two ways to say one thing are no contradiction: `21` and `21A`, a maker by two names.
    shared = set(said[0].ids).intersection(*(one.ids for one in said[1:]))
    if shared and all(one.ids for one in said):
        said = (min(said, key=lambda one: len(one.ids)),)
        return Part(
            name, said, tuple(full for full in said[0].ids if full in shared), False, title,
            _shown(index, name, said),
        )  # fmt: skip
    ids = tuple(dict.fromkeys(full for one in said for full in one.ids))
    return Part(name, said, ids, True, title, _shown(index, name, said))


def _shown(index: Index, name: str, said: tuple[Said, ...]) -> tuple[str, ...]:
    return tuple(_one_shown(index, name, one) for one in said)


def _one_shown(index: Index, name: str, said: Said) -> str:
    if name == "figure" and said.ids:
        return " or ".join(dict.fromkeys(figure_name(index, full) for full in said.ids[:3]))
    if name == "maker" and said.ids:
        return " or ".join(maker_name(index, full) for full in said.ids[:3])
    if name in ("series", "back-series") and said.ids:
        return " or ".join(dict.fromkeys(clip(index.series[full].title, 60) for full in said.ids[:3]))
    if name == "line" and said.ids:
        return " or ".join(clip(index.lines[full].title, 60) for full in said.ids[:3])
    if name == "sticker" and said.ids:
        return " or ".join(short_id(full) for full in said.ids[:3])
    if name == "back" and said.ids and not Designation.is_valid(said.value):
        return " or ".join(str(index.backs[full].designation) for full in said.ids[:3])
    return clip(said.value, 60)
