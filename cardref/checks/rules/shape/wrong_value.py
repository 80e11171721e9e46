"""A value is none of those that its field can have."""

from cardref.checks.examples import one_card
from cardref.checks.rule import Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "lines/lanternfish/cards/pell-orrin.more.yaml"

RULE = Rule(
    id="wrong-value",
    family="shape",
    severity=Severity.ERROR,
    summary="A value is none of those that its field can have.",
    rationale=(
        "A word of one's own may be clear to the writer. No program finds it, and no other contributor "
        "will use the same one."
    ),
    check=problems("wrong-value"),
    good=one_card("""
        made: proof
        sources: [binder]
    """),
    bad=one_card(
        """
        made: proofs
        sources: [binder]
    """,
        "made",
    ),
    fix="unsafe",
)
