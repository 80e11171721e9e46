"""Backs of one count that a single uncertain look tells apart."""

from collections.abc import Iterator
from typing import Final

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.separation import siblings
from cardref.finding import Severity

__all__ = ["RULE"]

HIGH_MISREAD: Final = 0.1
"""A look that goes wrong one time in ten or more is not enough by itself. Common practice, no source."""


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for group in siblings(index):
        for pair in group.thin:
            only = pair.by[0]
            entry = corpus.by_id.get(pair.other)
            if entry is None or only.misread < HIGH_MISREAD:
                continue
            one = index.backs[pair.one].designation
            yield Hit(
                entry,
                f"{called(index, pair.other)} is told from {one} by {only.feature} alone, which is misread "
                f"{only.misread:.0%} of the time: record a difference that is easier to see",
                ("features", only.feature),
                value=f"{one} {only.feature}",
                also=side(corpus, pair.one, f"the only difference to {one}", "features", only.feature),
            )


def _more(states: str) -> str:
    return f"""
        - id: b-009
          designation: 6B
          series: lanternfish
          count: 6
          pictures: {{based_on: b-003}}
          features: {{{states}}}
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="thin-separation",
    family="features",
    severity=Severity.NOTE,
    summary="Backs of one count are told apart by one look alone that often goes wrong.",
    rationale=(
        "Who has only one thing to look at, and that one is hard to see, will be wrong about every tenth "
        "card. A second difference, however small, makes it safe."
    ),
    check=_check,
    needs=("back", "feature"),
    good=backs(_more("maker-line: one-line, waves-drawn: 6")),
    bad=backs(_more("waves-drawn: 5"), BACK, "features.waves-drawn"),
)
