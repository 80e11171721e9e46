"""What rules look at: entries with their places, the index of what could be read, and today's date."""

import datetime as dt
from collections.abc import Iterator
from functools import cached_property
from typing import TypeVar, cast

from attrs import define

from cardref.index import Index, from_loaded
from cardref.model.kinds import Record
from cardref.storage.loader import Entry, Loaded

__all__ = ["Corpus"]

R = TypeVar("R")


@define(slots=False, eq=False)
class Corpus:
    """A loaded dataset as rules see it.

    Attributes:
        loaded: files and entries, well-formed or not.
        today: what counts as the future begins after this day.
        under: the index of a dataset that this one is laid over, or None.
        base: an earlier version of the same dataset to compare with, or None.
    """

    loaded: Loaded
    today: dt.date
    under: Index | None = None
    base: Index | None = None

    @cached_property
    def index(self) -> Index:
        """Every record that could be read, this dataset's over those of ``under``."""
        mine = from_loaded(self.loaded)
        return mine if self.under is None else mine.over(self.under, "this dataset", "base")

    def entries(self, kind: str) -> list[Entry]:
        """All entries of a kind, well-formed or not, in the order of the files."""
        return self.loaded.entries[kind]

    def records(self, kind: str, _: type[R]) -> Iterator[tuple[Entry, R]]:
        """All well-formed entries of a kind with their record (of the class given)."""
        for entry in self.loaded.entries[kind]:
            if entry.record is not None:
                yield entry, cast("R", entry.record)

    @cached_property
    def by_id(self) -> dict[str, Entry]:
        """Full id -> its (first) entry in this dataset."""
        found: dict[str, Entry] = {}
        for entries in self.loaded.entries.values():
            for entry in entries:
                if entry.id:
                    found.setdefault(entry.id, entry)
        return found

    def all_records(self) -> Iterator[tuple[Entry, Record]]:
        """All well-formed entries of every kind."""
        for entries in self.loaded.entries.values():
            for entry in entries:
                if entry.record is not None:
                    yield entry, entry.record
