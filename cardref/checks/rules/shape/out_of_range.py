"""A number is smaller or larger than its field allows."""

from cardref.checks.examples import one_card
from cardref.checks.rule import Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "lines/lanternfish/cards/pell-orrin.more.yaml"

RULE = Rule(
    id="out-of-range",
    family="shape",
    severity=Severity.ERROR,
    summary="A number is smaller or larger than its field allows.",
    rationale=(
        "Nobody saw a card zero times, and no back pictures two thousand figures: a digit too many or too "
        "few is the usual reason."
    ),
    check=problems("out-of-range"),
    good=one_card("""
        sources: [binder]
        sightings: [{source: binder, count: 1}]
    """),
    bad=one_card(
        """
        sources: [binder]
        sightings: [{source: binder, count: 0}]
    """,
        "sightings.count",
    ),
)
