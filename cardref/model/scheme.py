"""A code scheme: how a maker writes the small code on its cards, as data.

Adding a scheme needs no code, and no regular expression ever comes from data.

>>> from cardref.notation.code import PackageCode
>>> figure = SchemeSegment(name="figure", width=3, meaning="figure")
>>> back = SchemeSegment(name="back", width=2, meaning="back", before="/")
>>> scheme = Scheme(id="tidewrack/scheme/small", makers=("maker/quay-marl",), segments=(figure, back))
>>> PackageCode.parse("031/25", scheme.layout).meaning("back")
'25'
"""

from collections.abc import Mapping

from attrs import frozen

from cardref.lazy import cached_property
from cardref.model.evidence import Supported
from cardref.model.fields import EMPTY_MAP, about, own_first, refers, written
from cardref.notation.edtf import Date
from cardref.notation.layout import CodeLayout, Segment

__all__ = ["Scheme", "SchemeSegment"]


@frozen(kw_only=True)
class SchemeSegment:
    """One segment of a code: so many signs of one alphabet, with one meaning."""

    name: str = written("slug", "What to call it.")
    width: int = about("How many signs.", minimum=1, maximum=20)
    alphabet: str = about(
        "digits, upper (A-Z) or alphanumeric (both).", "digits", choices=("digits", "upper", "alphanumeric")
    )
    meaning: str = about(
        "What it stands for.", choices=("series", "figure", "back", "printing", "check", "other")
    )
    before: str = about("The separator written before it.", "")
    table: Mapping[str, str] = about(
        "From segment to meaning: a series, a figure, a back count, or words.", EMPTY_MAP
    )


@frozen(kw_only=True, field_transformer=own_first)
class Scheme(Supported):
    """A code scheme. Kept in ``lines/<line>/line.yaml``."""

    id: str = written("slug", "Short name.")
    makers: tuple[str, ...] = refers("maker", "Whose codes they are.")
    series: tuple[str, ...] = refers("series", "Series that it holds for; all when absent.", ())
    counts: tuple[int, ...] = about(
        "Back counts under which a code is printed; all when absent.", (), minimum=0
    )
    valid: Date | None = about("When it was in use, EDTF.", None)
    where: str = about("Where on the card it is printed.", "")
    digits: str = about("In which digits it is printed.", "latin", choices=("latin", "devanagari"))
    check: str = about("Check digit algorithm.", "", choices=("", "luhn", "gtin", "mod11-10"))
    segments: tuple[SchemeSegment, ...] = about("The segments in order.", minimum=1)

    @cached_property
    def layout(self) -> CodeLayout:
        """The layout that :meth:`cardref.PackageCode.parse` reads."""
        return CodeLayout(
            segments=tuple(Segment(s.name, s.width, s.alphabet, s.meaning, s.before) for s in self.segments),
            digits=self.digits,
            check=self.check,
        )
