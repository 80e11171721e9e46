"""A line ends with a carriage return alone."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="line-end",
    family="reading",
    severity=Severity.ERROR,
    summary="A line ends with a carriage return alone.",
    rationale=(
        "Programs differ on whether a line ends there, so a record may be read in one way here and in "
        "another way elsewhere."
    ),
    check=faults("line-end"),
    good=Example("glossary.yaml", "terms:\r\n  - {id: back, word: back, what: The printed reverse}\r\n"),
    bad=Example("glossary.yaml", "terms:\r  - {id: back, word: back, what: The printed reverse}\n"),
)
