"""A file is not YAML."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="yaml-syntax",
    family="reading",
    severity=Severity.ERROR,
    summary="A file is not YAML.",
    rationale=("Nothing that the file says can be used until it can be read."),
    check=faults("yaml-syntax"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse\n"),
)
