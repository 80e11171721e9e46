"""A known modern copy, whole or in part."""

import enum
from collections.abc import Mapping

from attrs import frozen

from cardref.model.evidence import Supported
from cardref.model.fields import EMPTY_MAP, about, own_first, refers, written
from cardref.notation.edtf import Date

__all__ = ["Extent", "Reproduction"]


class Extent(enum.StrEnum):
    """What part of a card is modern."""

    WHOLE = "whole"
    BOARD = "board"
    BUBBLE = "bubble"
    SEAL = "seal"
    TOKEN = "token"  # noqa: S105 - the proof-of-purchase token, no password
    STICKER = "sticker"
    ACCESSORY = "accessory"
    NEVER_EXISTED = "never-existed"


@frozen(kw_only=True, field_transformer=own_first)
class Reproduction(Supported):
    """A known modern copy. Kept in ``lines/<line>/reproductions.yaml``.

    >>> Reproduction(id="tidewrack/reproduction/glossy", title="Glossy 25", extent=(Extent.BOARD,)).title
    'Glossy 25'
    """

    id: str = written("slug", "Short name.")
    title: str = about("What collectors call it, or a few words.")
    extent: tuple[Extent, ...] = about("What part is modern.", minimum=1)
    copies: tuple[str, ...] = refers(
        ("card", "back", "face"), "What it copies; none where the card never existed.", ()
    )
    features: Mapping[str, tuple[str, ...]] = about(
        "Feature states that give it away.", EMPTY_MAP, keys_refer="feature"
    )
    known: Date | None = about("Since when it is known, EDTF.", None)
