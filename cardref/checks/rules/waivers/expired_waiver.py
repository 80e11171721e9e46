"""A waiver has expired."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.checks.waiving import has_expired
from cardref.finding import Severity
from cardref.model.bookkeeping import Waiver
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, waiver in corpus.records("waiver", Waiver):
        if has_expired(waiver, corpus.today):
            what = f"the waiver of {quoted(waiver.rule)} for {quoted(waiver.record)}"
            advice = "look again, then take it out or give it a later day"
            yield Hit(
                entry,
                f"{what} ended on {waiver.expires}: {advice}",
                ("expires",),
                value=f"{waiver.rule} {waiver.record}",
            )


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
    good=Example(
        "waivers.yaml",
        """\
waivers:
  - rule: version-step
    record: sample
    reason: The list is not published yet.
    expires: "2030"
""",
    ),
    bad=Example(
        "waivers.yaml",
        """\
waivers:
  - rule: version-step
    record: sample
    reason: The list is not published yet.
    expires: "2020"
""",
        field="expires",
    ),
)
