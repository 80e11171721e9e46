"""What follows from the records, as relations: for tools that can only look things up.

Worked out by :mod:`cardref.facts`, so that a database says what the library says. The names begin with
``derived``; nothing in them is recorded anywhere.

>>> [relation.name for relation in DERIVED]
['derived_release', 'derived_order', 'derived_first_back', 'derived_separation']
"""

from collections.abc import Iterator

from cardref.export.relation import Column, Relation, Row
from cardref.facts.bounds import Limit, released
from cardref.facts.pictures import pictures_of
from cardref.facts.printings import first_back, printing_order
from cardref.facts.separation import MOST_SIBLINGS, separation, siblings
from cardref.index import Index

__all__ = ["DERIVED"]


def _releases(index: Index) -> Iterator[Row]:
    for table in (index.backs, index.faces, index.cards):
        for full in table:
            bounds = released(index, full)
            yield full, *_day(bounds.earliest), *_day(bounds.latest)


def _day(limit: Limit | None) -> tuple[str | None, int | None]:
    # A date column holds what ISO 8601 writes with four digits of a year; what lies outside is left out.
    if limit is None or not 0 <= limit.day.year <= 9999:
        return None, None
    return str(limit.day), int(limit.about)


def _order(index: Index) -> Iterator[Row]:
    for ids in printing_order(index).values():
        for place, full in enumerate(ids, 1):
            yield full, place


def _first_backs(index: Index) -> Iterator[Row]:
    pairs = {
        (figure, f"maker/{index.backs[back].maker}")
        for back, seen in pictures_of(index).items()
        if seen is not None
        for figure in seen.figures
    }
    for figure, maker in sorted(pairs):
        answer = first_back(index, figure, maker)
        yield figure, maker, answer.records[0], int(answer.verdict == "yes")


def _separations(index: Index) -> Iterator[Row]:
    for group in siblings(index):
        few = group.backs[:MOST_SIBLINGS]
        for number, one in enumerate(few):
            for other in few[number + 1 :]:
                pair = separation(index, one, other)
                verdict = "yes" if pair.by else "unknown" if pair.unknown else "no"
                yield one, other, verdict, "; ".join(separator.feature for separator in pair.by) or None


def _text(name: str, refers: str, about: str, *, required: bool = True) -> Column:
    return Column(name, "text", refers, about, required)


DERIVED = (
    Relation(
        "derived_release",
        (
            _text("id", "", "A back, face or card."),
            Column("earliest", "date", "", "It cannot have reached the shops before; absent: nothing tells."),
            Column("earliest_about", "boolean", "", "The date behind it is uncertain or approximate."),
            Column(
                "latest", "date", "", "It cannot have reached the shops first after; absent: nothing tells."
            ),
            Column("latest_about", "boolean", "", "The date behind it is uncertain or approximate."),
        ),
        ("id",),
        _releases,
    ),
    Relation(
        "derived_order",
        (
            _text("back_id", "back", "A back."),
            Column("place", "integer", "", "Place in the maker's order of printing, from 1.", required=True),
        ),
        ("back_id",),
        _order,
    ),
    Relation(
        "derived_first_back",
        (
            _text("figure_id", "figure", "A figure."),
            _text("maker_id", "maker", "A maker."),
            _text("back_id", "back", "The first back of this maker that pictures the figure."),
            Column("sure", "boolean", "", "False where others may be as early.", required=True),
        ),
        ("figure_id", "maker_id"),
        _first_backs,
    ),
    Relation(
        "derived_separation",
        (
            _text("back_id", "back", "A back."),
            _text("other_id", "back", "Another of the same line, maker and count."),
            _text("told_apart", "", "yes, no, or unknown where something is recorded for one of them only."),
            _text("by", "", "The features that tell them apart, most reliable first.", required=False),
        ),
        ("back_id", "other_id"),
        _separations,
    ),
)
"""Every relation of what follows."""
