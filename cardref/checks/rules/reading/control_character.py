"""A control character stands in a file."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="control-character",
    family="reading",
    severity=Severity.ERROR,
    summary="A control character stands in a file.",
    rationale=(
        "A sign that cannot be seen makes two equal names differ, and a terminal or a log may act on it."
    ),
    check=faults("control-character"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: 'The \x1b[31mreverse'}\n"),
)
