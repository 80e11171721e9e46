"""A record refers to something of another line."""

from collections.abc import Iterable, Iterator
from typing import Final

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import small_line
from cardref.checks.linking import values
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.storage.loader import Entry
from cardref.storage.references import links, references

__all__ = ["RULE"]

_FREE: Final = frozenset({"maker", "source", "feature", "term"})
"""Kinds whose records belong to no line."""


def _check(corpus: Corpus) -> Iterator[Hit]:
    if len(corpus.index.lines) < 2:
        return
    # Cards and faces are many, and nearly all of them can be passed over at a glance.
    for entry, card in corpus.records("card", Card):
        prefix = card.id[: card.id.find("/") + 1]
        if card.stickers or not (card.face.startswith(prefix) and card.back.startswith(prefix)):
            yield from _abroad(corpus, "card", entry, card, prefix)
    for entry, face in corpus.records("face", Face):
        prefix = face.id[: face.id.find("/") + 1]
        if not (face.figure.startswith(prefix) and face.series.startswith(prefix)):
            yield from _abroad(corpus, "face", entry, face, prefix)
    for kind in ("wave", "scheme", "figure", "back"):
        leaving = {
            entry
            for link in links(kind)
            if link.kinds[0] not in _FREE
            for entry, _, value in values(corpus.entries(kind), link)
            if not all(full.startswith(f"{entry.file.line}/") for full in _each(value))
        }
        for entry, record in corpus.records(kind, object) if leaving else ():
            if entry in leaving:
                yield from _abroad(corpus, kind, entry, record, f"{entry.file.line}/")


def _each(value: str | Iterable[str]) -> Iterable[str]:
    return (value,) if isinstance(value, str) else value


def _abroad(corpus: Corpus, kind: str, entry: Entry, record: object, prefix: str) -> Iterator[Hit]:
    """What a record refers to outside its line, of what belongs to a line."""
    index = corpus.index
    for pointer, kinds, full in references(kind, record):
        if full.startswith(prefix) or kinds[0] in _FREE or full not in index:
            continue
        line = full.partition("/")[0]
        yield Hit(
            entry,
            f"{called(index, entry.id)} names {called(index, full)} of line {line}: name one of its own line",
            pointer,
            value=full,
            also=side(corpus, full, "of another line"),
        )


def _line(series: str) -> str:
    return f"""
        series:
          - {{id: spindle, title: Spindle, years: 1981/1983, sources: [binder]}}
        waves:
          - id: sp-1
            maker: pell-orrin
            series: {series}
            date: 1982-03
            standing: reported
            sources: [binder]
    """


RULE = Rule(
    id="other-line",
    family="cards",
    severity=Severity.ERROR,
    summary="A record refers to something of another line.",
    rationale=(
        "Lines have nothing to do with one another: no figure, back or wave of one is part of the other. A "
        "name that leads there was copied from the wrong file."
    ),
    check=_check,
    good=small_line(_line("spindle")),
    bad=small_line(_line("lanternfish/series/lanternfish"), "spindle/wave/sp-1", "series"),
)
