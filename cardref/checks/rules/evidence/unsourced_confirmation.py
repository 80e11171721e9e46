"""A record is confirmed and names no source."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.evidence._supported import named_sources, supported
from cardref.finding import Severity
from cardref.model.evidence import Standing

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, record in supported(corpus):
        if not record.sources and record.standing is Standing.CONFIRMED and not named_sources(record):
            yield Hit(
                entry,
                f"{corpus.named(entry)} is confirmed, but names no source: name one, or make it reported or "
                "unverified",
                ("standing",),
                value="confirmed",
            )


RULE = Rule(
    id="unsourced-confirmation",
    family="evidence",
    severity=Severity.ERROR,
    summary="A record is confirmed and names no source.",
    rationale=(
        "Confirmed means that somebody else can look it up. Without a source it is one person's word, "
        "and then it is reported or unverified."
    ),
    check=_check,
    good=one_card("""
        standing: confirmed
        sources: [binder]
    """),
    bad=one_card("standing: confirmed", "standing"),
)
