"""A back: the printed reverse, named by how many figures it pictures."""

import enum
from collections.abc import Mapping

from attrs import frozen

from cardref.model.evidence import Supported
from cardref.model.fields import EMPTY_MAP, about, own_first, refers, written
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date

__all__ = ["Back", "Concordance", "Pictures", "Relation", "Slip"]


class Relation(enum.StrEnum):
    """How another reference's designation relates to ours: SKOS mapping relations (W3C, 2009)."""

    EXACT = "exact"
    BROADER = "broader"
    NARROWER = "narrower"
    RELATED = "related"


@frozen(kw_only=True)
class Concordance:
    """What another reference calls this back."""

    reference: str = refers("source", "The other reference.")
    designation: str = about("What it calls the back, verbatim.")
    relation: Relation = about("How its back relates to ours.", Relation.EXACT)


@frozen(kw_only=True)
class Slip:
    """A printer's slip in what is pictured: a figure shown more than once."""

    figure: str = refers("figure", "The figure shown again.")
    times: int = about("How often it is shown in all.", 2, minimum=2)
    note: str = about("What is seen.", "")


@frozen(kw_only=True)
class Pictures:
    """What a back pictures, said by what changed since an earlier back, or in full."""

    based_on: str = refers("back", "The earlier back whose figures stand here too.", "")
    plus: tuple[str, ...] = refers(
        "figure", "Figures added (all of them where there is no earlier back).", ()
    )
    minus: tuple[str, ...] = refers("figure", "Figures left out.", ())
    silhouettes: tuple[str, ...] = refers("figure", "Figures shown blacked out.", ())
    slips: tuple[Slip, ...] = about("Printer's slips.", ())


@frozen(kw_only=True, field_transformer=own_first)
class Back(Supported):
    """A back. Kept in ``lines/<line>/backs/<maker>.yaml``.

    >>> Back(id="tidewrack/quay-marl/b-017", designation=Designation.parse("25B"), count=25,
    ...      series="tidewrack/series/tidewrack").label
    'quay-marl 25B'
    """

    id: str = written("slug", "Stable id without the letter, such as b-017.")
    designation: Designation = about("Back count and letter, such as 25B.")
    series: str = refers("series", "The series on the back.")
    wave: str = refers("wave", "The latest wave it pictures.", "")
    count: int = about("How many figures it pictures; 0 is a blank back.", minimum=0, maximum=999)
    claimed: int | str | None = about(
        "How many figures it says there are: a number where that differs from the count, `same`, or "
        "`none` where it says nothing. Absent: nobody looked.",
        None,
        choices=("same", "none"),
        minimum=0,
    )
    pictures: Pictures | None = about("What it pictures.", None)
    languages: tuple[str, ...] = written("language", "Languages printed on it, BCP 47.", ())
    released: Date | None = about("When it reached the shops, EDTF.", None)
    features: Mapping[str, tuple[str, ...]] = about("Feature states.", EMPTY_MAP, keys_refer="feature")
    after: str = refers("back", "The printing it follows, if known.", "")
    concordance: tuple[Concordance, ...] = about("What other references call it.", ())

    @property
    def maker(self) -> str:
        """The maker's short name, from the id."""
        return self.id.split("/")[1]

    @property
    def label(self) -> str:
        """What people say: ``quay-marl 25B``."""
        return f"{self.maker} {self.designation}"
