"""A value is none of those that its field can have."""

from cardref.checks.rule import Example, Rule
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
    good=Example(
        _PATH,
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    made: proof
    sources: [binder]
""",
    ),
    bad=Example(
        _PATH,
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    made: proofs
    sources: [binder]
""",
        record="lanternfish/pell-orrin/c-020",
        field="made",
    ),
    fix="unsafe",
)
