"""A printer's slip shows a figure again that the back does not picture."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.pictures import shown_on
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    shown = shown_on(index)
    for entry, back in corpus.records("back", Back):
        if back.pictures is None or back.id not in shown:
            continue
        for number, slip in enumerate(back.pictures.slips):
            if slip.figure not in shown[back.id]:
                name = figure_name(index, slip.figure)
                yield Hit(
                    entry,
                    f"{called(index, back.id)} is said to show {name} {slip.times} times, but does not "
                    "picture it: name the figure that is shown again, or add it to plus",
                    ("pictures", "slips", number, "figure"),
                    value=slip.figure,
                    also=(Also(entry, "what it pictures", ("pictures",)),),
                )


def _more(figure: str) -> str:
    return f"""
        - id: b-009
          designation: 5A
          series: lanternfish
          count: 5
          pictures: {{based_on: b-001, slips: [{{figure: {figure}, note: Shown at both ends of the row.}}]}}
          released: 1982-01
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="slip-not-pictured",
    family="counting",
    severity=Severity.ERROR,
    summary="A printer's slip shows a figure again that the back does not picture.",
    rationale=(
        "A misprint that shows a figure twice is worth money, and known by which figure it is. A wrong name "
        "sends people after a card that does not exist."
    ),
    check=_check,
    good=backs(_more("brine-smith")),
    bad=backs(_more("night-keeper"), BACK, "pictures.slips.figure"),
)
