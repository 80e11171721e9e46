"""A text has a sign that turns the direction of writing."""

import re

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.text._texts import mended
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "lines/lanternfish/cards/pell-orrin.more.yaml"
_CARD = """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    sources: [binder]
    note: {}
"""

_TURNS = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def _straight(text: str) -> str:
    return _TURNS.sub("", text)


_CHECK = mended("has a sign that turns the direction of writing", _straight, "take it out", safe=False)


RULE = Rule(
    id="bidirectional-control",
    family="text",
    severity=Severity.ERROR,
    summary="A text has a sign that turns the direction of writing.",
    rationale=(
        "With such a sign a text is shown in another order than it is stored in, so that a code or a "
        "name can look like another one."
    ),
    check=_CHECK,
    good=Example(_PATH, _CARD.format("Seen twice.")),
    bad=Example(_PATH, _CARD.format("Seen \u202etwice."), "lanternfish/pell-orrin/c-020", "note"),
    fix="unsafe",
)
