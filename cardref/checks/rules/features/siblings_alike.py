"""Backs of one count that nothing recorded tells apart."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called, listed
from cardref.facts.separation import Separation, siblings
from cardref.finding import Severity
from cardref.index import Index

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for group in siblings(index):
        by_later: dict[str, list[Separation]] = {}
        for pair in (*group.alike, *group.open):
            by_later.setdefault(pair.other, []).append(pair)
        for later, pairs in by_later.items():
            entry = corpus.by_id.get(later)
            if entry is None:
                continue
            others = listed(str(index.backs[pair.one].designation) for pair in pairs)
            yield Hit(
                entry,
                f"{called(index, later)} cannot be told from {others} by anything recorded: "
                f"{_advice(pairs[0])}",
                ("features",),
                value=others,
                also=tuple(also for pair in pairs[:4] for also in _place(corpus, index, pair)),
            )


def _advice(pair: Separation) -> str:
    if pair.close:
        return f"{pair.close[0].feature} differs by less than its tool can tell, so find another difference"
    if pair.unknown:
        return f"look at {listed(pair.unknown, 3)}, recorded for only one of them"
    return "find the difference, or retire one of them"


def _place(corpus: Corpus, index: Index, pair: Separation) -> Iterator[Also]:
    yield from side(corpus, pair.one, f"{index.backs[pair.one].designation} is recorded alike", "features")


def _more(waves: int) -> str:
    return f"""
        - id: b-009
          designation: 6B
          series: lanternfish
          count: 6
          claimed: same
          pictures: {{based_on: b-003}}
          languages: [en]
          features:
            maker-line: two-lines
            offer-flash: present
            offer-token: whistle
            waves-drawn: {waves}
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="siblings-alike",
    family="features",
    severity=Severity.NOTE,
    summary="Backs of one count are told apart by nothing that is recorded.",
    rationale=(
        "A letter says that there is a difference. Where none is written down, nobody with a card in hand "
        "can say which of the two it is, and both are worth what the commoner one is worth."
    ),
    check=_check,
    needs=("back", "feature"),
    good=backs(_more(5)),
    bad=backs(_more(4), BACK, "features"),
)
