"""A key stands twice in one record."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="duplicate-key",
    family="reading",
    severity=Severity.ERROR,
    summary="A key stands twice in one record.",
    rationale=(
        "One of the two values wins without a word, and which one depends on the program that reads the file."
    ),
    check=faults("duplicate-key"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example(
        "glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse, word: reverse}\n"
    ),
)
