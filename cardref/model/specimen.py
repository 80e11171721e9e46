"""A user's own records: specimens, wants and observed sales, kept outside the dataset and sent nowhere.

They refer to the reference by full id (``tidewrack/quay-marl/c-0101``), so that they survive re-lettering; a
retired id leads to what took its place. What a back was called when it was written down may stand beside its
id: where the letter has changed since, that is told.

>>> Specimen(id="s-001", card="tidewrack/quay-marl/c-0101").status.value
'owned'
"""

import enum
from collections.abc import Mapping

from attrs import frozen

from cardref.model.condition import ConditionReport
from cardref.model.fields import EMPTY_MAP, about, refers
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from cardref.notation.money import Money

__all__ = ["Basis", "Form", "Grade", "Sale", "Specimen", "Status", "Want"]


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


def _own_id() -> str:
    """The id of a record in a user's file: short, and not made longer when it is read."""
    made: str = about("Short name in your own file; it stays when rows move.", form="slug", stays_short=True)
    return made


@frozen(kw_only=True)
class Grade:
    """What a third party says of the condition, in its own words."""

    text: str = about("The grade, verbatim.")
    issuer: str = about("Who gave it.")


@frozen(kw_only=True)
class Specimen:
    """One physical thing in somebody's hands or on a photograph."""

    id: str = _own_id()
    status: Status = about("Owned, seen, offered to you, or gone (sold or swapped).", Status.OWNED)
    form: Form = about("What it is: carded figure, loose card, flat proof, uncut sheet.", Form.CARDED)
    card: str = refers("card", "The card, full id.", "")
    figure: str = refers("figure", "The figure, full id; beside a card it lets a slip be seen.", "")
    back: str = refers("back", "The back, full id, where the card is not known.", "")
    designation: Designation | None = about(
        "What the back was called when this was written down, such as 25B; the id decides.", None
    )
    face: str = refers("face", "The face, full id, where the card is not known.", "")
    maker: str = refers("maker", "The maker, full id, where the back is not known.", "")
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
    price: Money | None = about("What was paid or is asked, such as 12.50 EUR.", None, form="money")
    seller: str = about("From whom.", "")
    date: Date | None = about("When it was got, seen or offered, EDTF.", None)
    trade: bool = about("Whether it is for trade.", default=False)
    note: str = about("What else is worth telling.", "")


@frozen(kw_only=True)
class Want:
    """Something that the user looks for: a card, a back, or any card of a figure."""

    id: str = _own_id()
    card: str = refers("card", "The card wanted, full id.", "")
    figure: str = refers("figure", "Any card of this figure, full id; with a back, on that back.", "")
    back: str = refers("back", "Any card on this back, full id.", "")
    maker: str = refers("maker", "By this maker only, full id.", "")
    most: Money | None = about("The most you would pay, such as 12.50 EUR.", None, form="money")
    note: str = about("What else is worth telling.", "")


@frozen(kw_only=True)
class Sale:
    """A sale that the user saw: what was paid, when, in which condition. No estimate follows from it."""

    id: str = _own_id()
    card: str = refers("card", "The card sold, full id.", "")
    figure: str = refers("figure", "The figure, full id, where no more is known.", "")
    back: str = refers("back", "The back, full id, where the card is not known.", "")
    date: Date = about("When, EDTF.")
    price: Money = about("What was paid, such as 12.50 EUR.", form="money")
    condition: tuple[str, ...] = about("Words of condition, as the seller used them.", ())
    where: str = about("Where it was seen.", "")
    note: str = about("What else is worth telling.", "")
