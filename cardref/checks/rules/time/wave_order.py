"""A maker's waves are not listed in the order of their dates."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted, misplaced_waves
from cardref.checks.examples import small_line
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import place_of_wave
from cardref.finding import Severity

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    others = {
        full: rule for full, rule in doubted(corpus).items() if rule not in ("wave-order", "back-before-wave")
    }
    places = place_of_wave(index)
    for odd, other in misplaced_waves(index, others):
        entry = corpus.by_id.get(odd)
        if entry is None:
            continue
        told = "after" if places[odd] > places[other] else "before"
        dates = index.waves[odd].date, index.waves[other].date
        yield Hit(
            entry,
            f"{called(index, odd)} is dated {dates[0]}, but is listed {told} {called(index, other)} of "
            f"{dates[1]}: correct the date, or list the maker's waves in their order",
            ("date",),
            value=str(dates[0]),
            also=side(corpus, other, f"dated {dates[1]}", "date"),
        )


def _line(first: str, second: str) -> str:
    return f"""
        series:
          - {{id: spindle, title: Spindle, years: 1981/1983, sources: [binder]}}
        waves:
          - id: sp-1
            maker: pell-orrin
            series: spindle
            date: {first}
            standing: reported
            sources: [binder]
          - id: sp-2
            maker: pell-orrin
            series: spindle
            date: {second}
            standing: reported
            sources: [binder]
    """


RULE = Rule(
    id="wave-order",
    family="time",
    severity=Severity.WARNING,
    summary="A maker's waves are not listed in the order of their dates.",
    rationale=(
        "What a maker sold at any time is added up wave by wave, in the order in which they are listed. A "
        "wave out of place lets figures debut too early or too late."
    ),
    check=_check,
    good=small_line(_line("1982-03", "1983-03")),
    bad=small_line(_line("1983-03", "1982-03"), "spindle/wave/sp-2", "date"),
)
