"""A dispute has fewer than two sides."""

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
        if record.standing is Standing.DISPUTED and len(record.sides) < 2:
            told = "no side is" if not record.sides else "one side alone is"
            yield Hit(
                entry,
                f"{corpus.named(entry)} is disputed, but {told} told: add what each side says under "
                "sides, with its sources",
                ("standing",),
                value="disputed",
            )


RULE = Rule(
    id="one-sided-dispute",
    family="evidence",
    severity=Severity.ERROR,
    summary="A dispute has fewer than two sides.",
    rationale=(
        "A dispute is only told when both sides are: what each says, so that a reader can weigh the one "
        "against the other."
    ),
    check=_check,
    good=one_card("""
        standing: disputed
        sources: [binder]
        sides:
          - {claim: Sold in shops in 1981., sources: [binder]}
          - {claim: A proof that never reached a shop., sources: [fair-photo]}
    """),
    bad=one_card(
        """
        standing: disputed
        sources: [binder]
        sides:
          - {claim: Sold in shops in 1981., sources: [binder]}
    """,
        "standing",
    ),
)
