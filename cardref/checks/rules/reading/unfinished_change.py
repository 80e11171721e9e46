"""A change of several files was cut off before the last of them was written."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity
from cardref.storage.layout import UNFINISHED

__all__ = ["RULE"]

RULE = Rule(
    id="unfinished-change",
    family="reading",
    severity=Severity.ERROR,
    summary="A change of several files was cut off before the last of them was written.",
    rationale=(
        "Every file is whole, but some are from before the change and some from after it, so that records "
        "may be there twice or not at all. The note of the change, a hidden file, has all that is needed to "
        "finish it, which the next command that changes the dataset does; it is not to be committed."
    ),
    check=faults("unfinished-change"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example(UNFINISHED, "{}\n"),
)
