"""A back's figures are derived from a back that is younger."""

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
        if back.pictures is None or not back.pictures.based_on or back.pictures.based_on == back.after:
            continue
        base = backs.get(back.pictures.based_on)
        # Another maker's back may well have been copied before its own date is known here.
        if base is None or base is back or base.maker != back.maker or back.id in doubt or base.id in doubt:
            continue
        why = out_of_order(index, back, base)
        if why and not _told(index.backs.get(back.after), back, corpus):
            yield Hit(
                entry,
                f"{called(index, back.id)} takes its figures from {called(index, base.id)}, but {why}: base "
                "it on an earlier back, or correct the date",
                ("pictures", "based_on"),
                value=base.id,
                also=side(corpus, base.id, "recorded as the earlier back", "released"),
            )


def _told(earlier: Back | None, back: Back, corpus: Corpus) -> bool:
    """Whether the same date is already told by what the back follows."""
    return earlier is not None and bool(out_of_order(corpus.index, back, earlier))


def _more(date: str) -> str:
    return f"""
        - id: b-009
          designation: 4C
          series: lanternfish
          count: 4
          pictures: {{based_on: b-002}}
          features: {{waves-drawn: 5}}
          released: {date}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="base-order",
    family="time",
    severity=Severity.WARNING,
    summary="A back's figures are derived from a back that is younger.",
    rationale=(
        "What a back pictures is said by what changed since an earlier one. Said the wrong way round it is "
        "easily got wrong: what was added reads as dropped."
    ),
    check=_check,
    good=backs(_more("1982-01")),
    bad=backs(_more("1981-05"), BACK, "pictures.based_on"),
)
