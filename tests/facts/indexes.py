"""Small indexes for tests of facts: the sample dataset with a few records exchanged, and invented chains."""

import tempfile
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

from cardref.checks.sample import write_sample
from cardref.index import Index, from_loaded
from cardref.model.back import Back, Pictures
from cardref.model.kinds import KINDS, Record
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from cardref.storage.loader import load_tree

__all__ = ["back", "date", "index_of", "sample", "sample_with"]


@cache
def sample() -> Index:
    """The sample dataset."""
    return from_loaded(load_tree(write_sample(Path(tempfile.mkdtemp()))))


def sample_with(*records: tuple[str, Record]) -> Index:
    """The sample with ``(kind, record)`` pairs in place of, or beside, its own."""
    tables = {kind: dict(table) for kind, table in sample().tables.items()}
    for kind, record in records:
        tables[kind][record.id] = record  # type: ignore[union-attr] # only kinds with ids are given
    return Index(tables)


def index_of(*records: tuple[str, Record]) -> Index:
    """An index of these ``(kind, record)`` pairs alone."""
    tables: dict[str, dict[str, Record]] = {kind: {} for kind in KINDS}
    for kind, record in records:
        tables[kind][record.id] = record  # type: ignore[union-attr] # only kinds with ids are given
    return Index(tables)


def date(text: str) -> Date:
    """A date."""
    return Date.parse(text)


def back(
    number: int,
    plus: Iterable[str] = (),
    minus: Iterable[str] = (),
    base: int = 0,
    count: int = 1,
    **more: Any,
) -> Back:
    """The back ``l/m/b-NUMBER`` of a line of its own; figures by single words."""
    return Back(
        id=f"l/m/b-{number}",
        designation=more.pop("designation", Designation(count)),
        series=more.pop("series", "l/series/s"),
        count=count,
        pictures=Pictures(
            based_on=f"l/m/b-{base}" if base else "",
            plus=tuple(f"l/figure/{one}" for one in plus),
            minus=tuple(f"l/figure/{one}" for one in minus),
        ),
        **more,
    )
