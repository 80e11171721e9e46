"""A wave or back lies outside the years of its series."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted, outside_series
from cardref.checks.examples import small_line
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.index import Index
from cardref.notation.edtf import Date
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for shared in outside_series(index, doubted(corpus)):
        name, years = called(index, shared.key), index.series[shared.key].years
        if shared.at_fault and shared.key in corpus.by_id:
            first = shared.items[0]
            yield Hit(
                corpus.by_id[shared.key],
                f"{name} was sold {years}, but {count_of(len(shared.items), 'date')} of its waves and backs "
                f"lie outside, {called(index, first)} with {_date(index, first)[1]} first: correct the "
                "years of the series",
                ("years",),
                value=str(years),
                also=sides(corpus, shared.items, f"outside {years}"),
            )
            continue
        for full in shared.items:
            field, date = _date(index, full)
            if full in corpus.by_id:
                yield Hit(
                    corpus.by_id[full],
                    f"{called(index, full)} has {field} {date}, but {name} was sold {years}: correct the "
                    "date, or the series",
                    (field,),
                    value=str(date),
                    also=side(corpus, shared.key, f"sold {years}", "years"),
                )


def _date(index: Index, full: str) -> tuple[str, Date | None]:
    """The field with the date of a wave or back, and the date."""
    if full in index.waves:
        return "date", index.waves[full].date
    return "released", index.backs[full].released


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
