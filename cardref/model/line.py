"""A line and what it consists of: series, and the waves in which makers added figures."""

from collections.abc import Mapping

from attrs import frozen

from cardref.model.evidence import Supported
from cardref.model.fields import EMPTY_MAP, about, own_first, refers, written
from cardref.notation.edtf import Date

__all__ = ["Line", "Series", "Wave"]


@frozen(kw_only=True)
class Line:
    """A range of carded toys sold under one idea. Kept at the top of ``lines/<line>/line.yaml``.

    >>> Line(id="tidewrack", title="Tidewrack", home="maker/quay-marl").title
    'Tidewrack'
    """

    id: str = written("slug", "Short name, the first part of every id in the line.")
    title: str = about("The line's title.")
    titles: Mapping[str, str] = about(
        "Titles in other languages, by BCP 47 tag.", EMPTY_MAP, keys_form="language"
    )
    home: str = refers("maker", "The maker who started the line.")
    makers: tuple[str, ...] = refers("maker", "Everybody who made or sold it, the home maker included.", ())
    uncoded: tuple[str, ...] = refers("maker", "Makers who print no package code on any card.", ())
    sources: tuple[str, ...] = refers("source", "Where this comes from.", ())
    note: str = about("What else is worth telling.", "")

    @property
    def forms(self) -> tuple[str, ...]:
        """Its title in every language."""
        return self.title, *self.titles.values()


@frozen(kw_only=True)
class Series:
    """A run within a line that shares packaging and a title.

    >>> Series(id="tidewrack/series/saltglass", title="Tidewrack: Saltglass Summer").id
    'tidewrack/series/saltglass'
    """

    id: str = written("slug", "Short name.")
    title: str = about("The title as printed.")
    titles: Mapping[str, str] = about(
        "Titles in other languages, by BCP 47 tag.", EMPTY_MAP, keys_form="language"
    )
    years: Date | None = about("When it was sold, EDTF.", None)
    sources: tuple[str, ...] = refers("source", "Where this comes from.", ())
    note: str = about("What else is worth telling.", "")

    @property
    def forms(self) -> tuple[str, ...]:
        """Its title in every language."""
        return self.title, *self.titles.values()


@frozen(kw_only=True, field_transformer=own_first)
class Wave(Supported):
    """The figures that one maker adds to its shops together.

    >>> Wave(id="tidewrack/wave/qm-1", maker="maker/quay-marl", series="tidewrack/series/tidewrack").debuts
    ()
    """

    id: str = written("slug", "Short name.")
    maker: str = refers("maker", "Whose wave it is.")
    series: str = refers("series", "The series it belongs to.")
    date: Date | None = about("When it reached the shops, EDTF.", None)
    debuts: tuple[str, ...] = refers("figure", "Figures that this maker sells from now on.", ())
    returns: tuple[str, ...] = refers("figure", "Figures that this maker sells again after a pause.", ())
    drops: tuple[str, ...] = refers("figure", "Figures that this maker stops selling.", ())
    starts_over: bool = about("True when the range starts anew here, as with a reissue.", default=False)
