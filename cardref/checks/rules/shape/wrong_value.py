"""A value is none of those that its field can have."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "glossary.yaml"

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
    where: ""
""",
        record="term/back",
        field="where",
    ),
)
