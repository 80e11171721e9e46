"""A face: the printed front of a card, with everything printed on it as it is printed."""

from collections.abc import Mapping

from attrs import frozen

from cardref.model.evidence import Supported
from cardref.model.fields import EMPTY_MAP, about, own_first, refers, written

__all__ = ["NO_CODE", "UNREAD_CODE", "Face"]

NO_CODE = "none"
UNREAD_CODE = "unread"


@frozen(kw_only=True, field_transformer=own_first)
class Face(Supported):
    """A face. Kept in ``lines/<line>/faces/<maker>.yaml``.

    >>> Face(id="tidewrack/quay-marl/f-031", figure="tidewrack/figure/lamp-diver",
    ...      series="tidewrack/series/tidewrack", codes=("7K 2046/031",)).codes
    ('7K 2046/031',)
    """

    id: str = written("slug", "Stable id, such as f-031.")
    figure: str = refers("figure", "The figure shown.")
    series: str = refers("series", "The series on the front.")
    languages: tuple[str, ...] = written("language", "Languages printed on it, BCP 47.", ())
    name: str = about("The figure's name as printed.", "")
    number: str = about("The maker's product number as printed.", "")
    barcode: str = about("The barcode's digits as printed.", "")
    picture: str = about("Which picture it shows, where a figure has several.", "")
    codes: tuple[str, ...] | str | None = about(
        "Package codes verbatim; or `none` (none is printed), or `unread` (hidden). Absent: nobody looked.",
        None,
        choices=(NO_CODE, UNREAD_CODE),
    )
    features: Mapping[str, tuple[str, ...]] = about("Feature states.", EMPTY_MAP, keys_refer="feature")

    @property
    def maker(self) -> str:
        """The maker's short name, from the id."""
        return self.id.split("/")[1]

    @property
    def printed_codes(self) -> tuple[str, ...]:
        """The codes that were read; empty where none is printed or none was read."""
        return self.codes if isinstance(self.codes, tuple) else ()
