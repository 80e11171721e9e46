"""A byte order mark stands in a file."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="byte-order-mark",
    family="reading",
    severity=Severity.ERROR,
    summary="A byte order mark stands in a file.",
    rationale=(
        "The mark cannot be seen. At the start some programs take it for a part of the first word, and "
        "inside a text it makes two equal names differ."
    ),
    check=faults("byte-order-mark"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "\ufeffterms:\n  - {id: back, word: back, what: The printed reverse}\n"),
)
