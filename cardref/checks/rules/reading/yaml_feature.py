"""A file uses a part of YAML that readers treat each in their own way."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="yaml-feature",
    family="reading",
    severity=Severity.ERROR,
    summary="A file uses a part of YAML that readers treat each in their own way.",
    rationale=(
        "Tags, anchors, aliases and merge keys save typing, and cost certainty: what a record says should "
        "stand in the record, for everybody who reads it."
    ),
    check=faults("yaml-feature"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "terms:\n  - &first {id: back, word: back, what: The printed reverse}\n"),
)
