"""A record tells the sides of a dispute and is not disputed."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Also, Hit, Rule
from cardref.checks.rules.evidence._supported import supported
from cardref.finding import Severity
from cardref.model.evidence import Standing
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, record in supported(corpus):
        if record.sides and record.standing is not Standing.DISPUTED:
            standing = record.standing.value
            yield Hit(
                entry,
                f"{corpus.named(entry)} tells {count_of(len(record.sides), 'side')} of a dispute, but is "
                f"{standing}: make it disputed, or tell in the note how it was settled",
                ("sides",),
                value=standing,
                also=(Also(entry, f"says {standing}", ("standing",)),),
            )


RULE = Rule(
    id="settled-dispute",
    family="evidence",
    severity=Severity.WARNING,
    summary="A record tells the sides of a dispute and is not disputed.",
    rationale=(
        "Either the dispute goes on, and the standing hides it, or it is settled, and the record still "
        "argues."
    ),
    check=_check,
    good=one_card("""
        standing: confirmed
        sources: [binder]
        note: Once thought to be a proof.
    """),
    bad=one_card(
        """
        standing: confirmed
        sources: [binder]
        sides:
          - {claim: Sold in shops in 1981., sources: [binder]}
          - {claim: A proof that never reached a shop., sources: [fair-photo]}
    """,
        "sides",
    ),
)
