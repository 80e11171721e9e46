"""A file is nested too deeply."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="nesting",
    family="reading",
    severity=Severity.ERROR,
    summary="A file is nested too deeply.",
    rationale=("No record is that deep: it is a slip of brackets, or a file made to bring a program down."),
    check=faults("nesting"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "terms: " + "[" * 70 + "]" * 70 + "\n"),
)
