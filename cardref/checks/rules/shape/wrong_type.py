"""A value is of another type than its field."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "glossary.yaml"

RULE = Rule(
    id="wrong-type",
    family="shape",
    severity=Severity.ERROR,
    summary="A value is of another type than its field.",
    rationale=(
        "A list where one text is meant, or a text where a number is meant, cannot be compared with what "
        "others recorded."
    ),
    check=problems("wrong-type"),
    good=Example(
        _PATH,
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
    also: [reverse]
""",
    ),
    bad=Example(
        _PATH,
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
    also: reverse
""",
        record="term/back",
        field="also",
    ),
)
