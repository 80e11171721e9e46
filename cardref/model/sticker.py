"""A sticker: an offer, a price, a second language, put on after printing."""

import enum

from attrs import frozen

from cardref.model.evidence import Supported
from cardref.model.fields import about, own_first, refers, written
from cardref.notation.edtf import Date

__all__ = ["Sticker", "StickerKind"]


class StickerKind(enum.StrEnum):
    """What a sticker is for."""

    OFFER = "offer"
    LANGUAGE = "language"
    ORIGIN = "origin"
    SELLER = "seller"
    PRICE = "price"
    CORRECTION = "correction"


@frozen(kw_only=True, field_transformer=own_first)
class Sticker(Supported):
    """A sticker. Kept in ``lines/<line>/stickers.yaml``.

    >>> Sticker(id="tidewrack/sticker/whistle", kind=StickerKind.OFFER, text="Free whistle!").kind.value
    'offer'
    """

    id: str = written("slug", "Short name.")
    kind: StickerKind = about("What it is for.")
    text: str = about("What it says, verbatim.", "")
    language: str = written("language", "BCP 47 tag of what it says.", "")
    by: tuple[str, ...] = refers("maker", "Who put it on.", ())
    where: str = about("Where it sits.", "")
    covers: tuple[str, ...] = about("What it hides: code, barcode, name, origin ...", ())
    released: Date | None = about("When it was put on, EDTF.", None)
