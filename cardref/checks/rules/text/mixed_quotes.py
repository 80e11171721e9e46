"""A text mixes straight and typographic quotes."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.text._texts import noted, untidy
from cardref.finding import Severity

__all__ = ["RULE"]

_PAIRS = (("'", "\u2018\u2019\u201a\u201b"), ('"', "\u201c\u201d\u201e\u201f"))


def _check(corpus: Corpus) -> Iterator[Hit]:
    for where, pointer, text, name in untidy(corpus):
        for straight, curly in _PAIRS:
            bent = next((sign for sign in text if sign in curly), "")
            if bent and straight in text:
                message = f"{name} mixes quotes, {straight} and {bent}: write one kind"
                yield Hit(where, message, pointer, value=text)
                break


RULE = Rule(
    id="mixed-quotes",
    family="text",
    severity=Severity.NOTE,
    summary="A text mixes straight and typographic quotes.",
    rationale=(
        "Quotes of two kinds in one text are mostly two hands at work. In one kind the text can be "
        "searched for and compared."
    ),
    check=_check,
    good=noted("\"It says 'free' on it.\""),
    bad=noted('"It says \u2018free\' on it."', told=True),
)
