"""A file holds more than one document."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

_TERMS = "terms:\n  - {id: back, word: back, what: The printed reverse}\n"

RULE = Rule(
    id="several-documents",
    family="reading",
    severity=Severity.ERROR,
    summary="A file holds more than one document.",
    rationale=(
        "Most programs read the first document and never say that there is another, so records in it "
        "would be lost."
    ),
    check=faults("several-documents"),
    good=Example("glossary.yaml", _TERMS),
    bad=Example("glossary.yaml", _TERMS + "---\n" + _TERMS),
)
