"""A word mixes letters of two scripts."""

import re
import unicodedata
from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.text._texts import noted, untidy
from cardref.finding import Severity
from cardref.text import quoted

__all__ = ["RULE"]

# A word may not mix these; others are written together, as the scripts of Japanese are.
_SCRIPTS = ("LATIN", "GREEK", "CYRILLIC", "ARMENIAN")


def _check(corpus: Corpus) -> Iterator[Hit]:
    for where, pointer, text, name in untidy(corpus):
        for word in re.findall(r"[^\W\d_]+", text):
            found = {script: sign for sign in word if (script := _script(sign))}
            if len(found) > 1:
                (one, sign), (other, another) = list(found.items())[:2]
                message = (
                    f"{name} mixes scripts in the word {quoted(word)}: {sign} is {one.title()}, {another} is "
                    f"{other.title()}; write it in one"
                )
                yield Hit(where, message, pointer, value=text)
                break


def _script(sign: str) -> str:
    name = unicodedata.name(sign, "")
    return next((script for script in _SCRIPTS if name.startswith(script)), "")


RULE = Rule(
    id="mixed-script",
    family="text",
    severity=Severity.WARNING,
    summary="A word mixes letters of two scripts.",
    rationale=(
        "A Cyrillic а in a Latin word looks right and is found by no search. It is a slip of the "
        "keyboard, or somebody's trick."
    ),
    check=_check,
    good=noted("Seen twice."),
    bad=noted("S\u0435en twice.", told=True),
)
