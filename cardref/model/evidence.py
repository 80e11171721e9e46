"""How well a statement is supported: standing, sources, sides of a dispute, sightings.

>>> Sighting(source="source/fair-1", count=2).count
2
"""

import enum

from attrs import frozen

from cardref.model.fields import about, refers
from cardref.notation.edtf import Date

__all__ = ["Side", "Sighting", "Standing", "Supported"]


class Standing(enum.StrEnum):
    """How well a record is supported."""

    CONFIRMED = "confirmed"
    REPORTED = "reported"
    DISPUTED = "disputed"
    REFUTED = "refuted"
    UNVERIFIED = "unverified"


@frozen(kw_only=True)
class Side:
    """One side of a dispute: what it says, and who says it."""

    claim: str = about("What this side says, in a sentence.")
    sources: tuple[str, ...] = refers("source", "Who says it.", ())


@frozen(kw_only=True)
class Sighting:
    """Specimens counted as evidence that a combination exists."""

    source: str = refers("source", "Where it was seen.")
    count: int = about("How many specimens, from 1.", 1, minimum=1)
    seen: Date | None = about("When it was seen.", None)
    note: str = about("What else is worth telling.", "")


@frozen(kw_only=True)
class Supported:
    """The fields that every statement about the world carries."""

    standing: Standing = about("How well it is supported.", Standing.UNVERIFIED)
    sources: tuple[str, ...] = refers("source", "Where it comes from.", ())
    sides: tuple[Side, ...] = about("Both sides of a dispute, each with its sources.", ())
    note: str = about("What else is worth telling.", "")
