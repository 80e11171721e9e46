"""A text is not in Unicode's composed form (NFC)."""

import unicodedata

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


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)


_CHECK = mended("is not in Unicode's composed form (NFC)", _composed, "write it composed", safe=True)


RULE = Rule(
    id="decomposed-text",
    family="text",
    severity=Severity.WARNING,
    summary="A text is not in Unicode's composed form (NFC).",
    rationale=(
        "An accented letter can be written as one sign or as two. Both look the same, and a search for "
        "the one does not find the other."
    ),
    check=_CHECK,
    good=Example(_PATH, _CARD.format("A récif in blue.")),
    bad=Example(_PATH, _CARD.format("A re\u0301cif in blue."), "lanternfish/pell-orrin/c-020", "note"),
    fix="safe",
)
