"""The columns of a spreadsheet of specimens: readable headers, one for each thing that a specimen can say.

Case, ``_`` and ``-`` in a header do not matter. A condition has a column for each part; what was seen of
features stands in one cell, as ``cardref identify`` takes it:

>>> column_named("Hang-Tab").pointer, column_named("seller").pointer, column_named("selller") is None
(('condition', 'hang_tab'), ('seller',), True)
>>> raw_of({"id": "7", "readings": "gulls=3; visor=square|round", "price": "5", "currency": "EUR"})
{'id': '7', 'readings': {'gulls': '3', 'visor': ['square', 'round']}, 'price': '5 EUR'}
"""

import re
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from typing import Any, Final

import attrs
from attrs import frozen

from cardref.location import Pointer
from cardref.model.condition import PARTS, ConditionReport, Defect
from cardref.model.specimen import Grade, Specimen
from cardref.notation.length import Length
from cardref.storage.cells import harmless, unguarded

__all__ = ["COLUMNS", "CURRENCY", "Column", "cell_read", "cells_of", "column_named", "raw_of"]


@frozen
class Column:
    """One column.

    Attributes:
        header: what stands above it.
        pointer: the way to its value in a specimen.
        about: what it holds, in a sentence.
        also: other headers that are taken for it.
        read: from the text of a cell to what a file would say.
    """

    header: str
    pointer: Pointer
    about: str
    also: tuple[str, ...] = ()
    read: Callable[[str], Any] = str


# --- from a cell -----------------------------------------------------------------------------------------

_FLAGS: Final = {"yes": True, "y": True, "x": True, "true": True, "1": True}
_FLAGS_OFF: Final = {"no": False, "n": False, "false": False, "0": False}


@lru_cache(maxsize=1024)
def _word(cell: str) -> str:
    """One word of a list of words: a spreadsheet may begin it with a capital, or write it apart."""
    return re.sub(r"[\s_-]+", "-", cell.lower())


def _flag(cell: str) -> Any:
    return (_FLAGS | _FLAGS_OFF).get(cell.lower(), cell)


def _list(cell: str) -> list[str]:
    return [part.strip() for part in cell.split(";") if part.strip()]


def _pairs(cell: str) -> Any:
    """``gulls=3; visor=square|round``; the cell itself where it is not written so."""
    found: dict[str, Any] = {}
    for part in _list(cell):
        name, equals, value = (piece.strip() for piece in part.partition("="))
        states = [state.strip() for state in value.split("|")]
        if not equals or not name or not all(states) or name in found:
            return cell
        found[name] = states[0] if len(states) == 1 else states
    return found


def _defects(cell: str) -> Any:
    """``bubble: dent, lower left, 4 mm; edges: tear``; the cell itself where it is not written so."""
    found = []
    for part in _list(cell):
        name, colon, rest = part.partition(":")
        words = [word.strip() for word in rest.split(",") if word.strip()]
        if not colon or not words:
            return cell
        one = {"part": _word(name.strip()), "what": words[0]}
        if len(words) > 1 and Length.is_valid(words[-1]):
            one["size"] = words.pop()
        if len(words) > 1:
            one["where"] = ", ".join(words[1:])
        found.append(one)
    return found


# --- the table -------------------------------------------------------------------------------------------


def _about(record: type, name: str) -> str:
    told: str = getattr(attrs.fields(record), name).metadata["about"]
    return told


CURRENCY: Final = Column(
    "currency", ("price",), "ISO 4217 code of the price, where it does not stand beside the amount."
)
"""The one column that holds only a part of a value."""


def _own(name: str, also: tuple[str, ...] = (), read: Callable[[str], Any] = str, header: str = "") -> Column:
    return Column(header or name, (name,), _about(Specimen, name), also, read)


def _of_condition(name: str, header: str, read: Callable[[str], Any] = str) -> Column:
    return Column(header, ("condition", name), _about(ConditionReport, name), (), read)


COLUMNS: Final = (
    _own("id", ("no", "nr")),
    _own("status", read=_word),
    _own("form", read=_word),
    _own("card"),
    _own("figure"),
    _own("back"),
    _own("designation"),
    _own("face"),
    _own("maker"),
    _own("basis", read=_word),
    _own("code", ("package code",)),
    _own("readings", ("seen",), _pairs),
    *(_of_condition(part.field, part.name.replace("-", " "), _word) for part in PARTS.values()),
    _of_condition("defects", "defects", _defects),
    _of_condition("date", "condition date"),
    _of_condition("by", "condition by"),
    _of_condition("note", "condition note"),
    Column("grade", ("grade", "text"), _about(Grade, "text")),
    Column("grade by", ("grade", "issuer"), _about(Grade, "issuer"), ("graded by",)),
    _own("photos", ("photo",), _list),
    _own("price", ("paid",)),
    CURRENCY,
    _own("seller", ("from", "from whom", "bought from")),
    _own("date"),
    _own("trade", ("for trade",), _flag),
    _own("note", ("notes",)),
)
"""All columns, in the order in which a new table has them. Only ``id`` must be there."""


def _plain(header: str) -> str:
    return re.sub(r"[\s_-]+", " ", header.strip().lower())


_BY_HEADER: Final = {name: column for column in COLUMNS for name in (column.header, *column.also)}


def column_named(header: str) -> Column | None:
    """The column that stands under a header."""
    return _BY_HEADER.get(_plain(header))


def cell_read(header: str, text: str) -> Any:
    """What a cell under ``header`` (one that is known) says, as plain values."""
    return _BY_HEADER[header].read(text)


def raw_of(cells: Mapping[str, str]) -> dict[str, Any]:
    """What a row says, by header, as a YAML file would say it: nothing that is wrong is left out."""
    columns = [(name, _BY_HEADER[name]) for name in cells]
    return Reader([column for _, column in columns]).raw([cells[name] for name, _ in columns])


class Reader:
    """Rows under given columns (None for one that is not known) to plain values."""

    def __init__(self, columns: Iterable[Column | None]) -> None:
        self._steps = [(at, column) for at, column in enumerate(columns) if column is not None]

    def raw(self, cells: list[str]) -> dict[str, Any]:
        """What a row says; empty cells say nothing."""
        made: dict[str, Any] = {}
        size = len(cells)
        currency = ""
        for at, column in self._steps:
            if at >= size or not cells[at]:
                continue
            text = unguarded(cells[at].strip()).strip()
            if not text:
                continue
            if column is CURRENCY:
                currency = text
                continue
            value = text if column.read is str else column.read(text)
            if len(column.pointer) == 1:
                made[str(column.pointer[0])] = value
            else:
                made.setdefault(str(column.pointer[0]), {})[str(column.pointer[1])] = value
        if currency and "price" in made:
            made["price"] = f"{made['price']} {currency}"
        return made


# --- to a cell -------------------------------------------------------------------------------------------


def cells_of(raw: Mapping[str, Any], columns: Iterable[Column | None]) -> tuple[list[str], list[str]]:
    """A specimen's plain values as a row under ``columns``, and what has no column there (dotted fields).

    >>> cells_of({"id": "8", "price": "5 EUR", "note": "=1"}, [column_named("id"), column_named("note")])
    (['8', "'=1"], ['price'])
    """
    left = dict(_leaves(raw))
    columns = list(columns)
    apart = CURRENCY in columns
    row = []
    for column in columns:
        value = left.get(column.pointer, "") if column is not None else ""
        if column is not None and column.pointer == ("price",) and apart and value:
            amount, _, code = value.partition(" ")
            value = code if column is CURRENCY else amount
        row.append(harmless(value))
    known = {column.pointer for column in columns if column is not None and column is not CURRENCY}
    return row, [".".join(map(str, pointer)) for pointer in left if pointer not in known]


def _leaves(raw: Mapping[str, Any]) -> Iterable[tuple[Pointer, str]]:
    for key, value in raw.items():
        if key in ("condition", "grade"):
            for name, inner in value.items():
                yield (key, name), _written(name, inner)
        else:
            yield (key,), _written(key, value)


def _written(name: str, value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if name == "readings":
        pairs = (f"{key}={_states(state)}" for key, state in value.items())
        return "; ".join(pairs)
    if name == "defects":
        return "; ".join(map(_written_defect, value))
    if isinstance(value, list):
        return "; ".join(value)
    return str(value)


def _states(state: Any) -> str:
    return "|".join(map(str, state)) if isinstance(state, list) else str(state)


def _written_defect(one: Mapping[str, str]) -> str:
    known = Defect(**one)
    words = [word for word in (known.what, known.where, known.size) if word]
    return f"{known.part}: {', '.join(words)}"
