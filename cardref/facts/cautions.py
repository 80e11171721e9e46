"""The cautions that go with every word about genuineness. All are common practice, no source.

>>> care("lamp")
('old board is fragile: tilt the lamp, do not bend the card',)
"""

from collections.abc import Mapping
from typing import Final

from cardref.model.feature import Feature
from cardref.text import clip

__all__ = ["AGE", "CARE", "HANDLE", "NOT_ALL_COPIES", "NO_PROOF", "care", "care_with"]

NO_PROOF: Final = (
    "A sign is not proof, and nothing here authenticates a card: have it inspected in hand by experienced "
    "people."
)
"""Goes with every statement about genuineness."""

HANDLE: Final = (
    "Never open, press or heat a bubble; old board is fragile; ultraviolet light harms eyes and fades ink."
)
"""Goes with every invitation to look for signs."""

NOT_ALL_COPIES: Final = "A card that matches no known copy may still be a copy."
"""Goes with every list of known copies, an empty one too."""

AGE: Final = "What hurts and what is merely age is common practice, no source."
"""Goes with every description of a condition."""

CARE: Final[Mapping[str, tuple[str, ...]]] = {
    "ultraviolet": (
        "ultraviolet light harms eyes and skin and fades ink: never look into the torch, a second is enough",
    ),
    "bubble": ("never open, press or heat a bubble",),
    "loupe": ("a loupe laid on a bubble scratches it",),
    "lamp": ("old board is fragile: tilt the lamp, do not bend the card",),
    "scales": ("old board is fragile: hold a card by its edges",),
}
"""What to take care of, by the tool that a look needs or the side that is looked at."""


_SAID_BY: Final[Mapping[str, str]] = {
    "ultraviolet": "eyes", "bubble": "heat", "loupe": "scratch", "lamp": "bend", "scales": "edges",
}  # fmt: skip


def care(*of: str, said: str = "") -> tuple[str, ...]:
    """The cautions for these tools and sides, each once, but for what ``said`` has already.

    >>> care("ultraviolet", said="Ultraviolet light harms eyes.")
    ()
    """
    wanted = (one for one in of if one in CARE and _SAID_BY[one] not in said)
    return tuple(dict.fromkeys(text for one in wanted for text in CARE[one]))


def care_with(feature: Feature) -> tuple[str, ...]:
    """The cautions for a look at a feature: its own first, then of its tool and side what that leaves out."""
    own = (clip(feature.sign.caution, 300),) if feature.sign is not None and feature.sign.caution else ()
    return tuple(dict.fromkeys((*own, *care(feature.tool, feature.side, said=" ".join(own)))))
