"""A record lacks a key that its kind must have."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "glossary.yaml"

RULE = Rule(
    id="missing-key",
    family="shape",
    severity=Severity.ERROR,
    summary="A record lacks a key that its kind must have.",
    rationale=(
        "Without it the record cannot be used: a back without a count has no name, a source without a "
        "kind cannot be weighed."
    ),
    check=problems("missing-key"),
    good=Example(
        _PATH,
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
""",
    ),
    bad=Example(
        _PATH,
        """\
terms:
  - id: back
    what: The printed reverse of a card.
""",
        record="term/back",
        field="",
    ),
)
