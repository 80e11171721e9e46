"""A line: a range of carded toys sold under one idea."""

from collections.abc import Mapping

from attrs import frozen

from cardref.model.fields import EMPTY_MAP, about, refers, written

__all__ = ["Line"]


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
