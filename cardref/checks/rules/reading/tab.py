"""A tab stands in a file."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="tab",
    family="reading",
    severity=Severity.ERROR,
    summary="A tab stands in a file.",
    rationale=(
        "Some programs that read YAML refuse tabs, others take them for spaces of any number: the same "
        "file then says different things to different people."
    ),
    check=faults("tab"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "terms:\n  - {id: back,\tword: back, what: The printed reverse}\n"),
)
