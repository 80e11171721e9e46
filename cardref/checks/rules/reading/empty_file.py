"""A file is empty."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="empty-file",
    family="reading",
    severity=Severity.ERROR,
    summary="A file is empty.",
    rationale=(
        "An empty file is mostly a file whose content was lost. Where there is nothing to record, the "
        "file can go."
    ),
    check=faults("empty-file"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "# nothing yet\n"),
)
