"""A back is recorded to follow one with a later letter."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.counting import counts
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    known, said = index.backs, counts(index)
    for entry, back in corpus.records("back", Back):
        earlier = known.get(back.after) if back.after else None
        if earlier is None or earlier.count != back.count or earlier.maker != back.maker:
            continue
        if said[back.id].odd or said[earlier.id].odd:
            continue
        if back.designation.letter and earlier.designation.letter and back.designation < earlier.designation:
            yield Hit(
                entry,
                f"{called(index, back.id)} follows {called(index, earlier.id)}, whose letter is later: "
                "right if the letters were given in another order, else correct after",
                ("after",),
                value=earlier.id,
                also=side(corpus, earlier.id, "the earlier printing", "designation"),
            )


def _more(letter: str, other: str) -> str:
    return f"""
        - id: b-009
          designation: 6{letter}
          series: lanternfish
          count: 6
          pictures: {{based_on: b-003}}
          features: {{waves-drawn: 5}}
          after: b-010
          standing: confirmed
          sources: [binder]
        - id: b-010
          designation: 6{other}
          series: lanternfish
          count: 6
          pictures: {{based_on: b-003}}
          features: {{waves-drawn: 6}}
          after: b-003
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="after-letter",
    family="time",
    severity=Severity.NOTE,
    summary="A back is recorded to follow a printing with a later letter.",
    rationale=(
        "Letters are given as printings are found, so they may well be out of order; but a wrong letter in "
        "after looks just the same."
    ),
    check=_check,
    good=backs(_more("C", "B")),
    bad=backs(_more("B", "C"), BACK, "after"),
)
