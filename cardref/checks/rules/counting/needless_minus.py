"""A back leaves out a figure that was not there, or that it adds again."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, some
from cardref.facts.pictures import shown_on
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    shown = shown_on(index)
    for entry, back in corpus.records("back", Back):
        pictures = back.pictures
        if pictures is None or not pictures.minus:
            continue
        base = pictures.based_on
        if base and base not in shown:
            continue
        there = shown[base] if base else frozenset()
        needless = [figure for figure in pictures.minus if figure not in there or figure in pictures.plus]
        if not needless:
            continue
        again = needless[0] in there
        why = (
            "but adds it again"
            if again
            else f"but {called(index, base)} does not picture it"
            if base
            else ("but is based on no earlier back")
        )
        yield Hit(
            entry,
            f"{called(index, back.id)} leaves out {some(index, needless)}, {why}: take it out of minus, or "
            "name the figure that was meant",
            ("pictures", "minus", pictures.minus.index(needless[0])),
            value=needless[0],
            also=side(corpus, base, "the back it is based on", "pictures") if base else (),
        )


def _more(minus: str) -> str:
    return f"""
        - id: b-009
          designation: 3A
          series: lanternfish
          count: 3
          pictures: {{based_on: b-001, minus: [{minus}]}}
          released: 1982-01
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="needless-minus",
    family="counting",
    severity=Severity.ERROR,
    summary="A back leaves out a figure that was not there, or that it adds again.",
    rationale=(
        "What is left out must have been there. A minus without effect mostly names the wrong figure, and "
        "the one that was really dropped goes on being pictured."
    ),
    check=_check,
    good=backs(_more("tide-clerk")),
    bad=backs(_more("tide-clerk, night-keeper"), BACK, "pictures.minus"),
)
