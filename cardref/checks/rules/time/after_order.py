"""A back is recorded to follow one that is younger."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.printings import out_of_order
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    backs, doubt = index.backs, doubted(corpus)
    for entry, back in corpus.records("back", Back):
        earlier = backs.get(back.after) if back.after else None
        if earlier is None or earlier is back or back.id in doubt or earlier.id in doubt:
            continue
        why = out_of_order(index, back, earlier)
        if why:
            yield Hit(
                entry,
                f"{called(index, back.id)} is recorded to follow {called(index, earlier.id)}, but {why}: "
                "correct after, or the date",
                ("after",),
                value=earlier.id,
                also=side(corpus, earlier.id, "recorded as the earlier printing", "released"),
            )


def _more(date: str) -> str:
    return f"""
        - id: b-009
          designation: 4C
          series: lanternfish
          count: 4
          pictures: {{based_on: b-001}}
          features: {{waves-drawn: 5}}
          released: {date}
          after: b-002
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="after-order",
    family="time",
    severity=Severity.ERROR,
    summary="A back is recorded to follow a printing that is younger than itself.",
    rationale=(
        "Which printing came first is what many collectors pay for. An order that its own dates contradict "
        "is worth less than none."
    ),
    check=_check,
    good=backs(_more("1982-01")),
    bad=backs(_more("1981-05"), BACK, "after"),
)
