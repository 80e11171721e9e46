"""A back's count is not the number of figures it pictures."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.facts.pictures import pictured
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    backs = corpus.index.backs
    for entry, back in corpus.records("back", Back):
        seen = pictured(backs, back)
        if seen is None or seen.shown == back.count:
            continue
        way = (
            " by way of " + ", ".join(backs[step].label for step in seen.steps[1:])
            if len(seen.steps) > 1
            else ""
        )
        yield Hit(
            entry,
            f"{back.label} says count {back.count}, but {count_of(seen.shown, 'figure')} can be counted from "
            f"what it pictures{way}: correct the count, or plus, minus and slips",
            ("count",),
            value=str(back.count),
            also=(Also(entry, f"gives {count_of(seen.shown, 'picture')}", ("pictures",)),),
        )


BACK = "lanternfish/pell-orrin/b-009"


def _more(count: int) -> str:
    return f"""\
line: lanternfish
maker: pell-orrin
backs:
  - id: b-009
    designation: {count}Z
    series: lanternfish
    count: {count}
    pictures: {{based_on: b-001, plus: [kelp-weaver]}}
    released: 1982-01
    sources: [binder]
"""


RULE = Rule(
    id="count-mismatch",
    family="counting",
    severity=Severity.ERROR,
    summary="A back's count is not the number of figures it pictures.",
    rationale=(
        "The count names the back. Somebody who counts the pictures at a fair and finds one more or one less "
        "than the reference says will take a common back for an unknown one."
    ),
    check=_check,
    good=Example("lines/lanternfish/backs/pell-orrin.more.yaml", _more(5)),
    bad=Example("lines/lanternfish/backs/pell-orrin.more.yaml", _more(6), BACK, "count"),
)
