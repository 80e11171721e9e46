"""A series: what a line is divided into. Kept in ``lines/<line>/line.yaml``."""

from collections.abc import Mapping

from attrs import frozen

from cardref.model.fields import EMPTY_MAP, about, refers, written
from cardref.notation.edtf import Date

__all__ = ["Series"]


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
