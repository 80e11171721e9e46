"""A file holds the markers of an unfinished merge."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="merge-conflict",
    family="reading",
    severity=Severity.ERROR,
    summary="A file holds the markers of an unfinished merge.",
    rationale=("Both sides of the conflict are in the file, and only a person can tell which one is true."),
    check=faults("merge-conflict"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse}\n"),
    bad=Example(
        "glossary.yaml",
        """\
terms:
<<<<<<< ours
  - {id: back, word: back, what: The printed reverse}
=======
  - {id: back, word: back, what: The back of a card}
>>>>>>> theirs
""",
    ),
)
