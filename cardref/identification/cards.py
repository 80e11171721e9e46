"""The backs or the cards of one line as a table of candidates, and what there is to look at on them.

By *back*, the candidates are the printed reverses, which is what people mean by a printing; by *card*, every
recorded pairing of a front with a reverse. Signs of copies are no features of the table: which printing it
is, and whether it is a copy, are two questions.

>>> from cardref.reference import load
>>> cards = card_table(load().index, "tidewrack", By.BACK)
>>> cards.table.titles["tidewrack/quay-marl/b-017"], "surface-sheen" in cards.signs
('quay-marl 25B', True)
>>> [note for note in cards.trace("tidewrack/quay-marl/b-017", "back-count").records]
['tidewrack/quay-marl/b-017']
"""

import enum
from collections.abc import Iterable, Mapping
from typing import Any

from attrs import evolve, frozen

from cardref.errors import UsageError
from cardref.facts.called import figure_name, maker_name
from cardref.facts.codebook import codebooks
from cardref.facts.codes import layout_sample
from cardref.identification.rows import NO_SEGMENT, NO_STICKER, Part, Rows
from cardref.identification.sights import (
    ANOTHER,
    BACK_ONLY,
    OWN,
    SEGMENT,
    Sight,
    catalogued,
    name_of,
    of_picture,
    of_segment,
    rooted,
)
from cardref.identification.table import Table
from cardref.index import Index
from cardref.model.card import Made
from cardref.model.feature import FeatureKind
from cardref.model.kinds import short_id
from cardref.text import clip

__all__ = ["LEAST_MISREAD", "By", "CardTable", "Trace", "card_table"]

LEAST_MISREAD = 0.08
"""No feature is taken to be misread less often than this: a catalogue has the rates of people who look
closely, and an answer is to be right for people who do not. Found by simulation (``tests/quality``): with it,
98 % of the answers are right where 5 % of the looks go wrong."""


class By(enum.StrEnum):
    """What the candidates are."""

    BACK = "back"
    CARD = "card"


@frozen
class Trace:
    """Where a recorded state comes from.

    Attributes:
        records: full ids of the records that say so.
        sources: full ids of the sources that these name.
    """

    records: tuple[str, ...]
    sources: tuple[str, ...]


class _Tracer:
    """Finds where a cell of a table comes from. A class, for what a table calls must pickle."""

    def __init__(self, rows: Rows, by: By) -> None:
        self.rows = rows
        self.by = by

    def __call__(self, candidate: str, feature: str) -> Trace:
        parts = self.rows.parts_of_card(candidate) if self.by is By.CARD else self._parts_of_back(candidate)
        records = tuple(record for record, part in parts.items() if feature in part)
        index = self.rows.index
        sources = (source for record in records for source in getattr(index.get(record), "sources", ()))
        return Trace(records, tuple(dict.fromkeys(sources)))

    def _parts_of_back(self, full: str) -> dict[str, Part]:
        allowed = self.rows.allowed_by(full)
        own = {**allowed.pop(full, {}), **self.rows.of_back(full)}
        return {
            full: own,
            **{card: {k: v for k, v in part.items() if k in _FOUND_ON} for card, part in allowed.items()},
        }


class CardTable:
    """Candidates of one line with everything there is to look at. Immutable. Made by :func:`card_table`.

    Attributes:
        index: the records.
        line: short id of the line.
        by: what the candidates are.
        sights: what tells printings apart, by name, in the order in which equals are proposed.
        signs: what may tell a copy, by name; never part of the table.
        slugs: the catalogue's name for each of its features, by the name it has here.
        rows: where the cells come from.
        table: the table.
        backs: candidate -> full id of its back.
    """

    def __init__(self, index: Index, line: str, by: By) -> None:
        self.index = index
        self.line = line
        self.by = by
        self.rows = Rows(index, line)
        names = self.rows.backs() if by is By.BACK else self.rows.cards()
        if not names:
            what = "backs" if by is By.BACK else "cards"
            raise UsageError(f"no {what} of {clip(line, 60)} are recorded: there is nothing to choose from")
        found = catalogued(index, line)
        catalogue = {name_of(slug): sight for slug, sight in found.items()}
        self.slugs: Mapping[str, str] = {name_of(slug): slug for slug in found}
        signed = {name for name, slug in self.slugs.items() if self.rows.catalogue[slug].sign is not None}
        self.signs: Mapping[str, Sight] = {name: one for name, one in catalogue.items() if name in signed}
        plain = {name: sight for name, sight in catalogue.items() if name not in signed}
        rows = (
            {name: self._row_of_back(name) for name in names} if by is By.BACK else self._rows_of_cards(names)
        )
        own = {**OWN, **self._segments(), **self._pictures()}
        self.sights: Mapping[str, Sight] = self._sights({**own, **plain}, rows)
        self.backs: Mapping[str, str] = {
            name: name if by is By.BACK else index.cards[name].back for name in names
        }
        features = rooted({name: sight.feature for name, sight in self.sights.items()})
        for name in set().union(*rows.values()) - features.keys():  # signs, and what makes no sense
            for row in rows.values():
                row.pop(name, None)
        self.table = Table(
            features.values(),
            rows,
            least_misread=LEAST_MISREAD,
            titles={name: self._title(name) for name in names},
            where=_Tracer(self.rows, by),
        )

    def trace(self, candidate: str, feature: str) -> Trace:
        """Where a cell comes from."""
        found = self.table.where(candidate, feature)
        assert isinstance(found, Trace)  # noqa: S101 - it is our own tracer
        return found

    # --- rows

    def _rows_of_cards(self, names: Iterable[str]) -> dict[str, dict[str, Any]]:
        known: dict[str, Part] = {}  # one back or face is shared by many cards
        return {name: self._row_of_card(name, known) for name in names}

    def _row_of_card(self, full: str, known: dict[str, Part]) -> dict[str, Any]:
        card = self.index.cards[full]
        if card.back not in known:
            known[card.back] = self.rows.of_back(card.back)
        if card.face not in known:
            known[card.face] = self.rows.of_face(card.face)
        row: dict[str, Any] = {}
        own: dict[str, None] = {}
        for part in (known[card.back], known[card.face], self.rows.of_card(full)):
            row.update(part)
            own[part["maker"][0]] = None
        row["maker"] = _names(own, row["maker"])
        return row

    def _row_of_back(self, full: str) -> dict[str, Any]:
        row = dict(self.rows.of_back(full))
        allowed = self.rows.allowed_by(full)
        others: dict[str, None] = {}
        found: dict[str, dict[Any, None]] = {}
        for part in allowed.values():
            for name, value in part.items():
                if name in _FOUND_ON or name.startswith(SEGMENT):
                    states = value if isinstance(value, tuple) else (value,)
                    found.setdefault(name, {}).update(dict.fromkeys(states))
            others.update(dict.fromkeys(part.get("maker", ())))
        row.update((name, tuple(states)) for name, states in found.items())
        row["maker"] = _names(dict.fromkeys(row["maker"]), others)
        return row

    # --- sights

    def _segments(self) -> dict[str, Sight]:
        places: dict[str, str] = {}
        for scheme in self.index.schemes.values():
            if scheme.id.startswith(f"{self.line}/"):
                for segment in scheme.segments:
                    had = places.setdefault(segment.name, scheme.where)
                    if had != scheme.where:
                        places[segment.name] = ""  # makers print it in different places
        return {SEGMENT + name: of_segment(name, places[name]) for name in self.rows.segments}

    def _pictures(self) -> dict[str, Sight]:
        sights = (of_picture(short_id(full), figure_name(self.index, full)) for full in self.rows.varying)
        return {sight.id: sight for sight in sights}

    def _sights(self, sights: Mapping[str, Sight], rows: Mapping[str, Mapping[str, Any]]) -> dict[str, Sight]:
        """Those of which something is recorded, with the states that occur."""
        there = set().union(*rows.values())
        found = {}
        for name, sight in sights.items():
            if name not in there:
                continue
            one = sight
            if name in OWN or name.startswith(SEGMENT):
                if one.feature.kind is FeatureKind.CHOICE:
                    words = sorted(_occurring(name, rows.values()))
                    one = one.with_states((*words, ANOTHER), self._labels(name, words))
                if self.by is By.BACK and (name in _FOUND_ON or name.startswith(SEGMENT)):
                    one = evolve(one, feature=evolve(one.feature, given=True))
            found[name] = one
        return found

    def _labels(self, name: str, states: Iterable[str]) -> dict[str, str]:
        labels = {state: self._label(name, state) for state in states}
        return {state: label for state, label in labels.items() if label and label != state}

    def _label(self, name: str, state: str) -> str:
        """What a state of our own is called; "" where it says so itself."""
        index, line = self.index, self.line
        if name == "maker":
            maker = f"maker/{state}"
            return maker_name(index, maker) if maker in index.makers else ""
        if name in ("series-front", "series-back"):
            series = index.series.get(f"{line}/series/{state}")
            return series.title if series else ""
        if name == "figure":
            return figure_name(index, f"{line}/figure/{state}")
        if name == "sticker":
            sticker = index.stickers.get(f"{line}/sticker/{state}")
            return sticker.text if sticker else "no sticker" if state == NO_STICKER else ""
        if name.startswith("origin-"):
            return self.rows.origin_texts.get((name, state), "")
        if name == "code-layout":
            book = codebooks(index).get(f"{line}/scheme/{state}")
            return layout_sample(book) if book else ""
        if name.startswith(SEGMENT):
            return (
                "the code has no such part"
                if state == NO_SEGMENT
                else self.rows.meanings.get((name, state), "")
            )
        return ""

    # --- names

    def _title(self, name: str) -> str:
        if self.by is By.BACK:
            return self.index.backs[name].label
        card = self.index.cards[name]
        figure = figure_name(self.index, self.index.faces[card.face].figure)
        proof = ", proof" if card.made is Made.PROOF else ""
        return f"{figure} on {self.index.backs[card.back].label} ({short_id(name)}{proof})"


def _occurring(name: str, rows: Iterable[Mapping[str, Any]]) -> set[str]:
    """All states of one feature that are recorded."""
    values = (row[name] for row in rows if name in row)
    states: set[str] = set()
    # Most rows say one of a few things, so equal values are taken apart once.
    for value in {tuple(value) if isinstance(value, tuple | dict) else (value,) for value in values}:
        states.update(map(str, value))
    return states


OTHER_NAME = 0.2
"""How often another company's name on a card is read for its maker's. Assumed; common practice, no source."""


def _names(own: Iterable[str], others: Iterable[str]) -> str | tuple[str, ...] | dict[str, float]:
    """The cell for whose names stand on a card: its makers', and those of licensees and sellers.

    Reading the maker's name is as likely on every card that bears another one, however many these are.
    """
    mine = tuple(dict.fromkeys(own))
    rest = [name for name in dict.fromkeys(others) if name not in mine]
    if not rest:
        return mine if len(mine) > 1 else mine[0]
    shares = dict.fromkeys(mine, (1.0 - OTHER_NAME) / len(mine))
    return {**shares, **dict.fromkeys(rest, OTHER_NAME / len(rest))}


_FOUND_ON = frozenset(OWN) - BACK_ONLY - {"maker"}
"""What is found on a card's front or on the whole card: a back only allows it."""


def card_table(index: Index, line: str, by: By) -> CardTable:
    """The table of a line (short id), worked out once for an index.

    Errors: UsageError where nothing is recorded.
    """
    shelf = index.derived(_Shelf)
    key = line, by
    if key not in shelf.tables:
        # Two threads may both come here; they work out equal tables, and one of them stays.
        shelf.tables[key] = CardTable(index, line, by)
    return shelf.tables[key]


class _Shelf:
    """The tables of an index made so far."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self.tables: dict[tuple[str, By], CardTable] = {}
