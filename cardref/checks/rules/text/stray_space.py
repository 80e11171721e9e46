"""A text has a space too many."""

import re

from cardref.checks.rule import Rule
from cardref.checks.rules.text._texts import mended, noted
from cardref.finding import Severity

__all__ = ["RULE"]


def _spaced(text: str) -> str:
    """Single spaces, and none at the ends of lines; what indents a line may be meant."""
    lines = text.split("\n")
    inner = [_INNER.sub(" ", line).rstrip(" ") for line in lines]
    if len(lines) == 1:
        return inner[0].strip(" ")
    return "\n".join(inner)


_INNER = re.compile("(?<=[^ ]) {2,}")


RULE = Rule(
    id="stray-space",
    family="text",
    severity=Severity.WARNING,
    summary="A text has a space too many.",
    rationale=(
        "Two names that differ in a space look alike and are not found together. In print nobody sees "
        "it, so it is never meant."
    ),
    check=mended("has a space too many", _spaced, "take it out", safe=True),
    good=noted("Seen twice."),
    bad=noted('"Seen  twice."', told=True),
    fix="safe",
)
