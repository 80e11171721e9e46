"""A statement rests on a source that is older than what it says."""

from collections.abc import Iterator
from typing import Any, Final

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import surely_before
from cardref.finding import Severity
from cardref.model.source import Source, SourceKind
from cardref.notation.edtf import Date
from cardref.storage.loader import Entry

__all__ = ["RULE"]

_FIELDS: Final = {
    "back": "released",
    "card": "released",
    "wave": "date",
    "sticker": "released",
    "reproduction": "known",
}

ANNOUNCE: Final = frozenset({SourceKind.CATALOGUE, SourceKind.PAPERS, SourceKind.PRINT})
"""Kinds that tell of what is to come: a year ahead is nothing strange."""


def _too_old(source: Source, date: Date) -> bool:
    if not surely_before(source.date, date):
        return False
    if source.kind not in ANNOUNCE:
        return True
    return (
        source.date is not None
        and source.date.latest is not None
        and date.earliest is not None
        and (date.earliest.year - source.date.latest.year > 1)
    )


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    known = index.sources
    clashes: list[tuple[str, tuple[Entry, int, str, Date]]] = []
    checked: dict[str, int] = {}
    for kind, field in _FIELDS.items():
        for entry, record in corpus.records(kind, _Dated):
            date = getattr(record, field)
            if date is None or not record.sources or entry.id in doubt:
                continue
            dated = [(n, known[full]) for n, full in enumerate(record.sources) if full in known]
            for _, source in dated:
                checked[source.id] = checked.get(source.id, 0) + 1
            # One source that is young enough can carry the date.
            if dated and all(_too_old(source, date) for _, source in dated):
                clashes.append((dated[0][1].id, (entry, dated[0][0], field, date)))
    for shared in by_shared(clashes, checked):
        name, of = called(index, shared.key), known[shared.key].date
        if shared.at_fault and shared.key in corpus.by_id:
            yield Hit(
                corpus.by_id[shared.key],
                f"{name} is of {of}, but is named for what came later, "
                f"{called(index, shared.items[0][0].id)} of {shared.items[0][3]} first: correct its date",
                ("date",),
                value=str(of),
                also=sides(corpus, (one[0].id for one in shared.items), f"later than {of}", ("sources",)),
            )
            continue
        for entry, number, field, date in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} is dated {date}, but {name}, which it rests on, is of {of}: "
                f"name a source that can know, or correct {field}",
                ("sources", number),
                value=shared.key,
                also=side(corpus, shared.key, f"of {of}", "date"),
            )


_Dated: Any = object  # records with sources and a date, whatever their class


def _more(source: str) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-003
          released: "1984"
          standing: reported
          sources: [{source}]
    """


RULE = Rule(
    id="source-before-statement",
    family="time",
    severity=Severity.WARNING,
    summary="A statement rests on a source that is older than what it says.",
    rationale=(
        "A photograph of 1981 shows no card of 1984. A catalogue may tell of the coming year, but not of "
        "one long after. The date or the source is wrong, and nobody can check the one by the other."
    ),
    check=_check,
    good=cards(_more("late-list")),
    bad=cards(_more("spring-list"), CARD, "sources"),
)
