"""A waiver gives no reason."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.bookkeeping import Waiver
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, waiver in corpus.records("waiver", Waiver):
        if not waiver.reason.strip():
            what = f"the waiver of {quoted(waiver.rule)} for {quoted(waiver.record)}"
            yield Hit(
                entry,
                f"{what} gives no reason: say why it is accepted",
                value=f"{waiver.rule} {waiver.record}",
            )


RULE = Rule(
    id="unreasoned-waiver",
    family="waivers",
    severity=Severity.WARNING,
    summary="A waiver gives no reason.",
    rationale=(
        "In two years nobody remembers why a finding was accepted. The reason tells whether it still holds."
    ),
    check=_check,
    good=Example(
        "waivers.yaml",
        """\
waivers:
  - rule: version-step
    record: sample
    reason: The list is not published yet.
""",
    ),
    bad=Example(
        "waivers.yaml",
        """\
waivers:
  - rule: version-step
    record: sample
""",
    ),
)
