"""A text has a sign that nobody sees."""

import re

from cardref.checks.rule import Rule
from cardref.checks.rules.text._texts import mended, noted
from cardref.finding import Severity

__all__ = ["RULE"]

# What Unicode calls Default_Ignorable_Code_Point (DerivedCoreProperties, from memory), and the annotation
# marks FFF9 to FFFB. Left out: direction marks, which have a rule of their own, and variation selectors,
# which emoji, Mongolian and Japanese are written with.
# Joiners belong to the writing of Devanagari and Persian and to emoji; beside ASCII they are strays.
_UNSEEN = re.compile(
    "[\u00ad\u034f\u115f\u1160\u17b4\u17b5\u180e\u200b\u2060-\u2065\u206a-\u206f\u3164\ufeff\uffa0\ufff0-\ufffb"
    "\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e00ff\U000e01f0-\U000e0fff]|(?<=[\x00-\x7f])[\u200c\u200d]"
)


def _seen(text: str) -> str:
    return _UNSEEN.sub("", text)


RULE = Rule(
    id="invisible-sign",
    family="text",
    severity=Severity.WARNING,
    summary="A text has a sign that nobody sees.",
    rationale=(
        "Soft hyphens and spaces without width come along when text is copied. They make two equal "
        "names differ, and nobody can see why."
    ),
    check=mended("has a sign that nobody sees", _seen, "take it out", safe=True),
    good=noted("Seen twice."),
    bad=noted("Seen tw\u200bice.", told=True),
    fix="safe",
)
