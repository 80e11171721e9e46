"""A record is refuted and names no source."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.evidence._supported import supported
from cardref.finding import Severity
from cardref.model.evidence import Standing

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, record in supported(corpus):
        if record.standing is Standing.REFUTED and not record.sources:
            yield Hit(
                entry,
                f"{corpus.named(entry)} is refuted, but names no source: name who showed that it is not so",
                ("standing",),
                value="refuted",
            )


RULE = Rule(
    id="unsourced-refutation",
    family="evidence",
    severity=Severity.WARNING,
    summary="A record is refuted and names no source.",
    rationale=(
        "A thing that was once believed comes back again and again. Only a reader who can see why it "
        "was refuted will let it rest."
    ),
    check=_check,
    good=one_card("""
        standing: refuted
        sources: [binder]
    """),
    bad=one_card("standing: refuted", "standing"),
)
