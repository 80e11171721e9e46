"""A file has no place in a dataset."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="unknown-file",
    family="reading",
    severity=Severity.ERROR,
    summary="A file has no place in a dataset.",
    rationale=(
        "What is in it is read by nobody. Mostly its name is a slip, and its records are then missing "
        "everywhere else."
    ),
    check=faults("unknown-file"),
    good=Example(
        "lines/lanternfish/cards/pell-orrin.more.yaml", "line: lanternfish\nmaker: pell-orrin\ncards: []\n"
    ),
    bad=Example(
        "lines/lanternfish/cards/pell-orrin.more.yml", "line: lanternfish\nmaker: pell-orrin\ncards: []\n"
    ),
)
