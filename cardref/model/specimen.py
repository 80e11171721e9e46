"""A user's own records: specimens, wants and observed sales, kept outside the dataset and sent nowhere.

They refer to the reference by full id (``tidewrack/quay-marl/c-0101``), so that they survive re-lettering; a
retired id leads to what took its place.

>>> Specimen(id="s-001", card="tidewrack/quay-marl/c-0101").status.value
'owned'
"""

import enum
from collections.abc import Mapping

from attrs import frozen

from cardref.model.condition import ConditionReport
from cardref.model.fields import EMPTY_MAP, about, refers, written
from cardref.notation.edtf import Date

__all__ = ["Basis", "Form", "Grade", "Money", "Sale", "Specimen", "Status", "Want"]


class Status(enum.StrEnum):
    """What the user has to do with a specimen."""

    OWNED = "owned"
    SEEN = "seen"
    OFFERED = "offered"
    GONE = "gone"


class Form(enum.StrEnum):
    """What the specimen physically is."""

    CARDED = "carded"
    LOOSE_CARD = "loose-card"
    FLAT_PROOF = "flat-proof"
    UNCUT_SHEET = "uncut-sheet"


class Basis(enum.StrEnum):
    """How it is known which card it is: somebody says so, or it was identified."""

    CLAIMED = "claimed"
    IDENTIFIED = "identified"


@frozen(kw_only=True)
class Money:
    """An amount in one currency. Amounts of different currencies are never added up.

    >>> Money(amount="12.50", currency="EUR").amount
    '12.50'
    """

    amount: str = written("amount", "The amount, with a point before the decimals.")
    currency: str = written("currency", "ISO 4217 code, such as EUR.")


@frozen(kw_only=True)
class Grade:
    """What a third party says of the condition, in its own words."""

    text: str = about("The grade, verbatim.")
    issuer: str = about("Who gave it.")


@frozen(kw_only=True)
class Specimen:
    """One physical thing in somebody's hands or on a photograph."""

    id: str = written("slug", "Short name in the user's own file.")
    status: Status = about("Owned, seen, offered, or gone (sold or swapped).", Status.OWNED)
    form: Form = about("What it is: carded figure, loose card, flat proof, uncut sheet.", Form.CARDED)
    card: str = refers("card", "The card, full id.", "")
    back: str = refers("back", "The back, full id, where the card is not known.", "")
    face: str = refers("face", "The face, full id, where the card is not known.", "")
    figure: str = refers("figure", "The figure, full id, where the face is not known.", "")
    maker: str = refers("maker", "The maker, where the back is not known.", "")
    basis: Basis = about("Whether that is claimed or was identified.", Basis.CLAIMED)
    code: str = about("Package code as printed, verbatim.", "")
    readings: Mapping[str, tuple[str, ...]] = about(
        "What was seen, by feature: a state, several possible states, or a length.",
        EMPTY_MAP,
        keys_refer="feature",
    )
    condition: ConditionReport | None = about("What state it is in.", None)
    grade: Grade | None = about("A third party's grade, in its own words.", None)
    photos: tuple[str, ...] = about("Photographs, by file name.", ())
    price: Money | None = about("What was paid or is asked.", None)
    source: str = about("From whom.", "")
    date: Date | None = about("When it was got, seen or offered, EDTF.", None)
    trade: bool = about("Whether it is for trade.", default=False)
    note: str = about("What else is worth telling.", "")


@frozen(kw_only=True)
class Want:
    """Something that the user looks for: a card, a back, or any card of a figure."""

    id: str = written("slug", "Short name in the user's own file.")
    card: str = refers("card", "The card wanted, full id.", "")
    back: str = refers("back", "Any card on this back, full id.", "")
    figure: str = refers("figure", "Any card of this figure, full id.", "")
    maker: str = refers("maker", "By this maker only.", "")
    most: Money | None = about("The most the user would pay.", None)
    note: str = about("What else is worth telling.", "")


@frozen(kw_only=True)
class Sale:
    """A sale that the user saw: what was paid, when, in which condition. No estimate follows from it."""

    id: str = written("slug", "Short name in the user's own file.")
    card: str = refers("card", "The card sold, full id.", "")
    back: str = refers("back", "The back, full id, where the card is not known.", "")
    figure: str = refers("figure", "The figure, full id, where no more is known.", "")
    date: Date = about("When, EDTF.")
    price: Money = about("What was paid.")
    condition: tuple[str, ...] = about("Words of condition, as the seller used them.", ())
    source: str = about("Where it was seen.", "")
    note: str = about("What else is worth telling.", "")
