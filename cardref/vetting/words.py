"""A seller's words of condition: which contradict each other, and what to ask because of them.

What the words mean and what to ask is common practice, no source.

>>> [statement.because for statement in conflicts(("unpunched", "punched"))]
['a card is not both unpunched and punched']
>>> [ask.photo for ask in asks_for(("factory sealed",))]
['the foot of the bubble all round, tilted under one lamp']
"""

from collections.abc import Iterable
from typing import Final

from cardref.facts.cautions import NO_PROOF, care
from cardref.vetting.asking import Ask
from cardref.vetting.statement import Statement, Status

__all__ = ["asks_for", "conflicts"]

_OPPOSITES: Final = (
    (("unpunched",), ("punched",)),
    (("sealed", "factory sealed"), ("opened", "loose", "resealed", "reglued")),
    (("carded", "on card"), ("loose",)),
    (("complete",), ("incomplete",)),
    (("proof of purchase",), ("proof of purchase cut",)),
    (("good condition",), ("poor condition",)),
    (("clear bubble",), ("yellowed",)),
)
_AS_MADE: Final = ("mint",)
_WORN: Final = (
    "crushed", "dented", "cracked", "lifting", "reglued", "brittle", "creased", "veins", "bent", "curled",
    "warped", "torn", "worn", "scuffed", "faded", "stained", "water damage", "sticker residue", "writing",
    "taped", "trimmed", "broken", "repaired", "restored", "opened", "resealed", "yellowed", "incomplete",
)  # fmt: skip

_ASKS: Final = (
    (
        ("sealed", "factory sealed", "resealed", "reglued", "opened", "lifting", "clear bubble"),
        "the foot of the bubble all round, tilted under one lamp",
        "whether it was opened shows there, if anywhere: a second line, glue, missing dents",
        "bubble",
    ),
    (
        ("unpunched",),
        "the hang tab from both sides, close",
        "a filled hole is a repair",
        "lamp",
    ),
    (
        ("proof of purchase",),
        "the reverse round the token, with light from the side",
        "a raised step shows that a token was let in again",
        "lamp",
    ),
    (
        ("repaired", "restored", "taped", "trimmed"),
        "each repaired place, close, from both sides",
        "ask what was done, by whom and when: a repair that is told is a repair",
        "lamp",
    ),
    (
        ("creased", "veins", "bent", "torn", "water damage", "crushed", "cracked", "dented"),
        "each damaged place with a ruler beside it, the board tilted under one lamp",
        "place and size say more than a word",
        "lamp",
    ),
)


def conflicts(words: Iterable[str]) -> tuple[Statement, ...]:
    """Statements about words of condition that do not go together."""
    said = tuple(dict.fromkeys(words))
    found = []
    for ones, others in _OPPOSITES:
        for one in (word for word in said if word in ones):
            found += [
                _statement(Status.CONTRADICTED, f"a card is not both {one} and {other}")
                for other in said
                if other in others
            ]
    found += [
        _statement(Status.CONTRADICTED, f"the words say both {word} and not {word}: which is right?")
        for word in said
        if f"not {word}" in said
    ]
    worn = [word for word in said if word in _WORN]
    for word in said:
        if word in _AS_MADE and worn:
            found.append(_statement(Status.UNKNOWN, f"{word} and {worn[0]}: ask which part is meant by each"))
    return tuple(found)


def _statement(status: Status, because: str) -> Statement:
    return Statement(("condition", "condition"), status, because)


def asks_for(words: Iterable[str]) -> tuple[Ask, ...]:
    """What to ask because of a seller's words: that something is so is easily written."""
    said = set(words)
    return tuple(
        Ask(photo, (), why=why, cautions=(*care(of), NO_PROOF))
        for terms, photo, why, of in _ASKS
        if not said.isdisjoint(terms)
    )
