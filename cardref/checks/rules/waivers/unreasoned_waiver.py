"""A waiver gives no reason."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.waivers._waivers import about, waived
from cardref.finding import Severity
from cardref.model.bookkeeping import Waiver

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, waiver in corpus.records("waiver", Waiver):
        if not waiver.reason.strip():
            yield about(entry, waiver, "gives no reason: say why it is accepted")


RULE = Rule(
    id="unreasoned-waiver",
    family="waivers",
    severity=Severity.WARNING,
    summary="A waiver gives no reason.",
    rationale=(
        "In two years nobody remembers why a finding was accepted. The reason tells whether it still holds."
    ),
    check=_check,
    good=waived("reason: The list is not published yet."),
    bad=waived(""),
)
