"""A record refers to something of another line."""

from collections.abc import Iterator
from typing import Final

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import small_line
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.back import Back, Pictures
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.line import Wave
from cardref.model.sticker import Sticker
from cardref.storage.references import references

__all__ = ["RULE"]

_KINDS: Final = ("wave", "scheme", "figure", "sticker", "back", "face", "card")
"""Kinds whose records belong to one line and speak of nothing outside it."""

_FREE: Final = frozenset({"maker", "source", "feature", "term"})


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    if len(index.lines) < 2:
        return
    for kind in _KINDS:
        for entry, record in corpus.records(kind, object):
            prefix = entry.id.partition("/")[0] + "/"
            if all(full.startswith(prefix) for full in _plainly(record)):
                continue
            for pointer, kinds, full in references(kind, record):
                if full.startswith(prefix) or kinds[0] in _FREE or full not in index:
                    continue
                yield Hit(
                    entry,
                    f"{called(index, entry.id)} names {called(index, full)} of line "
                    f"{full.partition('/')[0]}: name one of its own line",
                    pointer,
                    value=full,
                    also=side(corpus, full, "of another line"),
                )


def _plainly(record: object) -> tuple[str, ...]:
    """What a record of a common kind refers to within its line; ("",) for others, which are looked at."""
    if isinstance(record, Card):
        return (record.face, record.back, *record.stickers)
    if isinstance(record, Face):
        return record.figure, record.series
    if isinstance(record, Wave):
        return (record.series, *record.debuts, *record.returns, *record.drops)
    if isinstance(record, Back):
        seen = record.pictures or Pictures()
        named = (record.series, record.wave, record.after, seen.based_on)
        figures = (*seen.plus, *seen.minus, *seen.silhouettes, *(slip.figure for slip in seen.slips))
        return (*filter(None, named), *figures)
    return () if isinstance(record, Sticker) else ("",)


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
