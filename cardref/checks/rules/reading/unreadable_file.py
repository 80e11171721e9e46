"""A file or folder cannot be opened."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="unreadable-file",
    family="reading",
    severity=Severity.ERROR,
    summary="A file or folder cannot be opened.",
    rationale=(
        "Records that cannot be read are missing everywhere else, so it has to be said that they are."
    ),
    check=faults("unreadable-file"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "", made="pipe"),
)
