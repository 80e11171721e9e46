"""A card: one face on one back, as it was sold, tried or announced."""

import enum
from collections.abc import Mapping

from attrs import frozen

from cardref.model.evidence import Sighting, Supported
from cardref.model.fields import EMPTY_MAP, about, own_first, refers, written
from cardref.model.maker import Role
from cardref.notation.edtf import Date

__all__ = ["Card", "Made", "OriginMark", "OriginPlace"]


class Made(enum.StrEnum):
    """How a card came to be."""

    PRODUCTION = "production"
    PROOF = "proof"
    ANNOUNCED = "announced"


class OriginPlace(enum.StrEnum):
    """Where a country of origin is marked."""

    BOARD = "board"
    MOULD = "mould"
    STICKER = "sticker"


@frozen(kw_only=True)
class OriginMark:
    """A country of origin, and where it is marked."""

    country: str = written("country", "ISO 3166-1 alpha-2, or ISO 3166-3 alpha-4 if withdrawn.")
    where: OriginPlace = about("Where it is marked.")
    text: str = about("What it says, verbatim.", "")


@frozen(kw_only=True, field_transformer=own_first)
class Card(Supported):
    """A card. Kept in ``lines/<line>/cards/<maker>.yaml``.

    >>> Card(id="tidewrack/quay-marl/c-0101", face="tidewrack/quay-marl/f-031",
    ...      back="tidewrack/quay-marl/b-017").made.value
    'production'
    """

    id: str = written("slug", "Stable id, such as c-0101.")
    face: str = refers("face", "Its front.")
    back: str = refers("back", "Its reverse.")
    stickers: tuple[str, ...] = refers("sticker", "What is stuck on it.", ())
    roles: Mapping[Role, str] = about(
        "Who printed, licensed or sold it, where that is not its maker.", EMPTY_MAP, values_refer="maker"
    )
    origin: tuple[OriginMark, ...] = about("Countries of origin as marked.", ())
    extras: tuple[str, ...] = about("What else lies in the bubble.", ())
    features: Mapping[str, tuple[str, ...]] = about(
        "Feature states of bubble, board and figure: shape, sculpt, paint.", EMPTY_MAP, keys_refer="feature"
    )
    made: Made = about("How it came to be.", Made.PRODUCTION)
    released: Date | None = about("When it reached the shops, EDTF, where that is known by itself.", None)
    exception: str = about("Why this figure is on a back that does not picture it.", "")
    sightings: tuple[Sighting, ...] = about("Specimens seen.", ())

    @property
    def maker(self) -> str:
        """The maker's short name, from the id."""
        return self.id.split("/")[1]

    @property
    def seen(self) -> int:
        """How many specimens are recorded."""
        return sum(sighting.count for sighting in self.sightings)
