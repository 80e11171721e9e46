"""A text has a space of another kind than the ordinary one."""

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

_SPACES = re.compile("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]")


def _ordinary(text: str) -> str:
    return _SPACES.sub(" ", text)


_CHECK = mended("has a space that is not the ordinary one", _ordinary, "write an ordinary space", safe=True)


RULE = Rule(
    id="exotic-space",
    family="text",
    severity=Severity.WARNING,
    summary="A text has a space of another kind than the ordinary one.",
    rationale=(
        "Spaces that do not break, thin ones and wide ones come along when text is copied. They look "
        "like ordinary ones, and two equal names then differ."
    ),
    check=_CHECK,
    good=Example(_PATH, _CARD.format("Seen twice.")),
    bad=Example(_PATH, _CARD.format("Seen\u00a0twice."), "lanternfish/pell-orrin/c-020", "note"),
    fix="safe",
)
