"""A text has a space of another kind than the ordinary one."""

import re

from cardref.checks.rule import Rule
from cardref.checks.rules.text._texts import mended, noted
from cardref.finding import Severity

__all__ = ["RULE"]

_SPACES = re.compile("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000]")


def _ordinary(text: str) -> str:
    return _SPACES.sub(" ", text)


RULE = Rule(
    id="exotic-space",
    family="text",
    severity=Severity.WARNING,
    summary="A text has a space of another kind than the ordinary one.",
    rationale=(
        "Spaces that do not break, thin ones and wide ones come along when text is copied. They look "
        "like ordinary ones, and two equal names then differ."
    ),
    check=mended("has a space that is not the ordinary one", _ordinary, "write an ordinary space", safe=True),
    good=noted("Seen twice."),
    bad=noted("Seen\u00a0twice.", told=True),
    fix="safe",
)
