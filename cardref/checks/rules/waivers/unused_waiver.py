"""A waiver matches no finding."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.waivers._waivers import about, waived
from cardref.checks.waiving import has_expired
from cardref.finding import Severity
from cardref.model.bookkeeping import Waiver

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    outcome = corpus.outcome
    unread = {line for lines in corpus.gaps.values() for line in lines}
    for number, (entry, waiver) in enumerate(corpus.records("waiver", Waiver)):
        if number in outcome.used or waiver.rule not in outcome.ran or has_expired(waiver, corpus.today):
            continue
        if unread & {"", waiver.record.partition("/")[0]}:
            continue  # the finding may be about what could not be read
        says = "matches no finding: take it out, or correct the rule, record or field it names"
        yield about(entry, waiver, says, ("record",), value=f" {waiver.field}")


RULE = Rule(
    id="unused-waiver",
    family="waivers",
    severity=Severity.WARNING,
    summary="A waiver matches no finding.",
    rationale=(
        "A waiver without a finding hides the next one: the fault was mended, or the waiver was "
        "misspelt and never worked."
    ),
    check=_check,
    needs=("outcome",),
    good=waived("reason: The list is not published yet."),
    bad=waived(
        "reason: Counted twice, and it is so.",
        "record",
        rule="count-mismatch",
        record="lanternfish/pell-orrin/b-004",
    ),
)
