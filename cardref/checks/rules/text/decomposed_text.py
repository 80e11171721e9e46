"""A text is not in Unicode's composed form (NFC)."""

import unicodedata

from cardref.checks.rule import Rule
from cardref.checks.rules.text._texts import mended, noted
from cardref.finding import Severity

__all__ = ["RULE"]


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)


RULE = Rule(
    id="decomposed-text",
    family="text",
    severity=Severity.WARNING,
    summary="A text is not in Unicode's composed form (NFC).",
    rationale=(
        "An accented letter can be written as one sign or as two. Both look the same, and a search for "
        "the one does not find the other."
    ),
    check=mended("is not in Unicode's composed form (NFC)", _composed, "write it composed", safe=True),
    good=noted("A récif in blue."),
    bad=noted("A re\u0301cif in blue.", told=True),
    fix="safe",
)
