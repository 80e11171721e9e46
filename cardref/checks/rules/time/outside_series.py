"""A wave or back lies outside the years of its series."""

from collections import Counter
from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import small_line
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.model.line import Wave
from cardref.notation.edtf import Date
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _dated(corpus: Corpus) -> Iterator[tuple[Entry, str, str, Date]]:
    for entry, wave in corpus.records("wave", Wave):
        if wave.date is not None:
            yield entry, "date", wave.series, wave.date
    for entry, back in corpus.records("back", Back):
        if back.released is not None:
            yield entry, "released", back.series, back.released


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    clashes: list[tuple[str, tuple[Entry, str, Date]]] = []
    checked: Counter[str] = Counter()
    for entry, field, full, date in _dated(corpus):
        series = index.series.get(full)
        if series is not None and series.years is not None:
            checked[full] += 1
            if doubt.get(entry.id) == "outside-series":
                clashes.append((full, (entry, field, date)))
    for shared in by_shared(clashes, checked):
        name, years = called(index, shared.key), index.series[shared.key].years
        if shared.at_fault and shared.key in corpus.by_id:
            entry, field, date = shared.items[0]
            yield Hit(
                corpus.by_id[shared.key],
                f"{name} was sold {years}, but {count_of(len(shared.items), 'date')} of its waves and backs "
                f"lie outside, {called(index, entry.id)} with {date} first: correct the years of the series",
                ("years",),
                value=str(years),
                also=sides(corpus, (one.id for one, _, _ in shared.items), f"outside {years}"),
            )
            continue
        for entry, field, date in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} has {field} {date}, but {name} was sold {years}: correct the "
                "date, or the series",
                (field,),
                value=str(date),
                also=side(corpus, shared.key, f"sold {years}", "years"),
            )


def _line(date: str) -> str:
    return f"""
        series:
          - {{id: spindle, title: Spindle, years: 1981/1982, sources: [binder]}}
        waves:
          - id: sp-1
            maker: pell-orrin
            series: spindle
            date: {date}
            standing: reported
            sources: [binder]
    """


RULE = Rule(
    id="outside-series",
    family="time",
    severity=Severity.ERROR,
    summary="A wave or back is dated outside the years of its series.",
    rationale=(
        "A series is sold from its first card to its last. A printing outside these years is of another "
        "series, or its year is wrong, and a buyer who dates a card by it is misled."
    ),
    check=_check,
    good=small_line(_line("1982-03")),
    bad=small_line(_line("1983-03"), "spindle/wave/sp-1", "date"),
)
