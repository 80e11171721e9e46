"""A text is too long."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="scalar-length",
    family="reading",
    severity=Severity.ERROR,
    summary="A text is too long.",
    rationale=(
        "A note of more than ten thousand characters is a document that belongs somewhere else, or a "
        "closing quote that is missing."
    ),
    check=faults("scalar-length"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: " + "reverse " * 1300 + "}\n"),
)
