"""A side of a dispute names no source."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.evidence._supported import supported
from cardref.finding import Severity
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, record in supported(corpus):
        for number, one in enumerate(record.sides):
            if not one.sources:
                yield Hit(
                    entry,
                    f"{corpus.named(entry)} does not say who claims {quoted(one.claim)}: name the source of "
                    "this side",
                    ("sides", number),
                    value=one.claim,
                )


RULE = Rule(
    id="unsourced-side",
    family="evidence",
    severity=Severity.WARNING,
    summary="A side of a dispute names no source.",
    rationale=("A claim that nobody is known to make cannot be weighed against one that somebody does."),
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
          - {claim: A proof that never reached a shop.}
    """,
        "sides",
    ),
)
