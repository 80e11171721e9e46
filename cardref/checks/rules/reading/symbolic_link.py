"""A file of the dataset is a symbolic link."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="symbolic-link",
    family="reading",
    severity=Severity.ERROR,
    summary="A file of the dataset is a symbolic link.",
    rationale=(
        "A link can lead to a file that others do not have, or to one that nobody meant to publish. "
        "Nothing is followed out of the dataset."
    ),
    check=faults("symbolic-link"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example("glossary.yaml", "/etc/hostname", made="link"),
)
