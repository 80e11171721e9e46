"""A record has a key that its kind does not have."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "glossary.yaml"

RULE = Rule(
    id="unknown-key",
    family="shape",
    severity=Severity.ERROR,
    summary="A record has a key that its kind does not have.",
    rationale=(
        "What stands under a misspelt key is read by nobody: the fact is in the file and still missing."
    ),
    check=problems("unknown-key"),
    good=Example(
        _PATH,
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
    where: Turn the card round.
""",
    ),
    bad=Example(
        _PATH,
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
    whree: Turn the card round.
""",
        record="term/back",
        field="whree",
    ),
    fix="unsafe",
)
