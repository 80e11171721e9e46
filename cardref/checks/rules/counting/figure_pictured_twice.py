"""A back adds a figure that it pictures already."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, some
from cardref.facts.counting import counts
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    said = counts(index)
    for entry, back in corpus.records("back", Back):
        needless = said[back.id].needless
        if not needless or back.pictures is None or index.backs[back.id] is not back:
            continue
        places = [place for place, figure in enumerate(back.pictures.plus) if figure == needless[0]]
        base = back.pictures.based_on
        there = (
            "it names twice" if len(places) > 1 else f"stands there already by way of {called(index, base)}"
        )
        yield Hit(
            entry,
            f"{called(index, back.id)} adds {some(index, needless)}, which {there}: take it out or name the "
            "figure that was meant; if it is really shown twice, record a printer's slip",
            ("pictures", "plus", places[-1]),
            value=needless[0],
            also=side(corpus, base, "the back it is based on", "pictures") if base else (),
        )


def _more(plus: str) -> str:
    return f"""
        - id: b-009
          designation: 5A
          series: lanternfish
          count: 5
          pictures: {{based_on: b-001, plus: [{plus}]}}
          released: 1982-01
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="figure-pictured-twice",
    family="counting",
    severity=Severity.ERROR,
    summary="A back adds a figure that it pictures already.",
    rationale=(
        "A figure that is added twice mostly stands for another one that was meant. Then a card of that "
        "other figure on this back looks wrong although it is right."
    ),
    check=_check,
    good=backs(_more("kelp-weaver")),
    bad=backs(_more("gull-warden"), BACK, "pictures.plus"),
)
