"""A text has a sign that turns the direction of writing."""

import re

from cardref.checks.rule import Rule
from cardref.checks.rules.text._texts import mended, noted
from cardref.finding import Severity

__all__ = ["RULE"]

_TURNS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def _straight(text: str) -> str:
    return _TURNS.sub("", text)


RULE = Rule(
    id="bidirectional-control",
    family="text",
    severity=Severity.ERROR,
    summary="A text has a sign that turns the direction of writing.",
    rationale=(
        "With such a sign a text is shown in another order than it is stored in, so that a code or a "
        "name can look like another one."
    ),
    check=mended("has a sign that turns the direction of writing", _straight, "take it out", safe=False),
    good=noted("Seen twice."),
    bad=noted("Seen \u202etwice.", told=True),
    fix="unsafe",
)
