"""A record is confirmed by one weak source alone."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.evidence._supported import named_sources, supported
from cardref.finding import Severity
from cardref.model.evidence import Standing
from cardref.model.kinds import short_id
from cardref.model.source import WEAK_SOURCES

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    sources = corpus.index.sources
    for entry, record in supported(corpus):
        if len(record.sources) > 1 or record.standing is not Standing.CONFIRMED:
            continue
        named = named_sources(record)
        source = sources.get(named[0]) if len(named) == 1 else None
        if source is not None and source.kind in WEAK_SOURCES:
            yield Hit(
                entry,
                f"{corpus.named(entry)} is confirmed by a {source.kind.value} alone ({short_id(source.id)}): "
                "name a better source beside it, or make it reported",
                ("standing",),
                value=source.id,
                also=side(corpus, source.id, f"a {source.kind.value}", "kind"),
            )


RULE = Rule(
    id="weak-confirmation",
    family="evidence",
    severity=Severity.WARNING,
    summary="A record is confirmed by one weak source alone.",
    rationale=(
        "Sellers err, and memories do. One listing, or one thing heard, is enough to report something, "
        "and not enough to confirm it."
    ),
    check=_check,
    good=one_card("""
        standing: reported
        sources: [old-listing]
    """),
    bad=one_card(
        """
        standing: confirmed
        sources: [old-listing]
    """,
        "standing",
    ),
)
