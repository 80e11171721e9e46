"""A value is not written in the form that its field has."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "retired.yaml"

RULE = Rule(
    id="ill-formed",
    family="shape",
    severity=Severity.ERROR,
    summary="A value is not written in the form that its field has.",
    rationale=(
        "Dates, designations, ids and links are written in one form each, so that they can be compared, "
        "sorted and followed."
    ),
    check=problems("ill-formed"),
    good=Example(
        _PATH,
        """\
retired:
  - id: lanternfish/pell-orrin/b-000
    reason: It was the same printing as b-002.
    date: 2025-01
""",
    ),
    bad=Example(
        _PATH,
        """\
retired:
  - id: lanternfish/pell-orrin/b-000
    reason: It was the same printing as b-002.
    date: January 2025
""",
        record="lanternfish/pell-orrin/b-000",
        field="date",
    ),
)
