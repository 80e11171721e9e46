"""A claimed total is recorded as differing from the count, but does not."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Also, Hit, Mend, Rule
from cardref.facts.called import called
from cardref.facts.counting import counts
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    said = counts(index)
    for entry, back in corpus.records("back", Back):
        # Where the count itself is doubted, that is the thing to tell.
        if isinstance(back.claimed, int) and back.claimed == back.count and not said[back.id].odd:
            yield Hit(
                entry,
                f"{called(index, back.id)} claims {back.claimed} figures, which is its count: a number is "
                "written where it differs, so write same, or correct the number",
                ("claimed",),
                value=str(back.claimed),
                also=(Also(entry, f"says {back.count}", ("count",)),),
                mend=Mend("write same", "same"),
            )


def _more(claimed: int) -> str:
    return f"""
        - id: b-009
          designation: 5A
          series: lanternfish
          count: 5
          claimed: {claimed}
          pictures: {{based_on: b-001, plus: [kelp-weaver]}}
          released: 1982-01
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="claimed-total",
    family="counting",
    severity=Severity.WARNING,
    summary="A claimed total is recorded as differing from the count, but does not.",
    rationale=(
        "A back that says in words another number than it pictures is known by that. A number that is no "
        "other was mistyped, or stands where same belongs."
    ),
    check=_check,
    fix="unsafe",
    good=backs(_more(12)),
    bad=backs(_more(5), BACK, "claimed"),
)
