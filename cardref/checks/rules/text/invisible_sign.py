"""A text has a sign that nobody sees."""

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

# Joiners belong to the writing of Devanagari and Persian and to emoji; beside ASCII they are strays.
_UNSEEN = re.compile("[\u00ad\u180e\u200b\u2060-\u2064\u206a-\u206f\ufeff]|(?<=[\x00-\x7f])[\u200c\u200d]")


def _seen(text: str) -> str:
    return _UNSEEN.sub("", text)


_CHECK = mended("has a sign that nobody sees", _seen, "take it out", safe=True)


RULE = Rule(
    id="invisible-sign",
    family="text",
    severity=Severity.WARNING,
    summary="A text has a sign that nobody sees.",
    rationale=(
        "Soft hyphens and spaces without width come along when text is copied. They make two equal "
        "names differ, and nobody can see why."
    ),
    check=_CHECK,
    good=Example(_PATH, _CARD.format("Seen twice.")),
    bad=Example(_PATH, _CARD.format("Seen tw\u200bice."), "lanternfish/pell-orrin/c-020", "note"),
    fix="safe",
)
