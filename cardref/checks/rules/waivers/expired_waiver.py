"""A waiver has expired."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.waivers._waivers import about, waived
from cardref.checks.waiving import has_expired
from cardref.finding import Severity
from cardref.model.bookkeeping import Waiver

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, waiver in corpus.records("waiver", Waiver):
        if has_expired(waiver, corpus.today):
            says = f"ended on {waiver.expires}: look again, then take it out or give it a later day"
            yield about(entry, waiver, says, ("expires",))


RULE = Rule(
    id="expired-waiver",
    family="waivers",
    severity=Severity.WARNING,
    summary="A waiver has expired.",
    rationale=(
        "The day was set so that somebody looks again. From then on the finding is told as before, "
        "until it is mended or the day is moved on."
    ),
    check=_check,
    good=waived('reason: The list is not published yet.\nexpires: "2030"'),
    bad=waived('reason: The list is not published yet.\nexpires: "2020"', "expires"),
)
