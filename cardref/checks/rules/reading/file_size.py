"""A file is too large."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="file-size",
    family="reading",
    severity=Severity.ERROR,
    summary="A file is too large.",
    rationale=(
        "A file of more than a megabyte cannot be reviewed in a diff, and it takes long to say what is "
        "wrong in it. A maker's file can be kept in parts."
    ),
    check=faults("file-size"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "# " + "a long comment " * 70_000 + "\n"),
)
