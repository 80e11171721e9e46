"""A file says that it belongs to another line or maker than its place."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import frame
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="misplaced-file",
    family="reading",
    severity=Severity.ERROR,
    summary="A file says that it belongs to another line or maker than its place.",
    rationale=(
        "A reader looks for records by folder and file name. Where the two disagree, the records of one "
        "maker are taken for those of another."
    ),
    check=frame("misplaced-file"),
    good=Example(
        "lines/lanternfish/cards/pell-orrin.more.yaml", "line: lanternfish\nmaker: pell-orrin\ncards: []\n"
    ),
    bad=Example(
        "lines/lanternfish/cards/pell-orrin.more.yaml",
        "line: lanternfish\nmaker: morvane\ncards: []\n",
        field="maker",
    ),
)
