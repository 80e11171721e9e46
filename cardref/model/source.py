"""Where a statement comes from."""

import enum

from attrs import frozen

from cardref.model.fields import about, written
from cardref.notation.edtf import Date

__all__ = ["WEAK_SOURCES", "Source", "SourceKind"]


class SourceKind(enum.StrEnum):
    """What sort of thing the source is."""

    SPECIMEN = "specimen"
    PHOTOGRAPH = "photograph"
    CATALOGUE = "catalogue"
    PAPERS = "papers"
    PRINT = "print"
    REFERENCE = "reference"
    INTERVIEW = "interview"
    LISTING = "listing"
    HEARSAY = "hearsay"


WEAK_SOURCES = frozenset({SourceKind.LISTING, SourceKind.HEARSAY})
"""Kinds that cannot confirm a statement alone: sellers err, and memories do."""


@frozen(kw_only=True)
class Source:
    """A source. Kept in ``sources.yaml``.

    >>> Source(id="source/spring", kind=SourceKind.CATALOGUE, citation="Spring list (invented)").kind.value
    'catalogue'
    """

    id: str = written("slug", "Short name.")
    kind: SourceKind = about("What sort of source it is.")
    citation: str = about("How somebody else finds it: who, what, when.", "")
    date: Date | None = about("When it was made or seen, EDTF.", None)
    link: str = written("link", "Where it can be read, http or https.", "")
    note: str = about("What else is worth telling.", "")
