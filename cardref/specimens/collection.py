r"""A user's files as one collection: specimens, wants and observed sales, and what each is about.

>>> import tempfile, pathlib
>>> from cardref.reference import load
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.csv"
>>> _ = path.write_text("id,back,figure,price\n7,quay-marl 25B,lamp-diver,5 EUR\n8,,,5\n")
>>> mine = read_collection([path], load())
>>> [(held.record.id, held.where.card) for held in mine.specimens], mine.left_out
([('7', 'tidewrack/quay-marl/c-0213')], 1)
"""

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any, Generic, TypeVar

from attrs import frozen

from cardref.index import Index, Layer, index_in
from cardref.model.specimen import Sale, Specimen, Status, Want
from cardref.specimens.checking import open_own
from cardref.specimens.entry import unusable
from cardref.specimens.meaning import Placed, placed
from cardref.storage.converter import structure

__all__ = ["Collection", "Held", "read_collection"]

R = TypeVar("R", Specimen, Want, Sale)


@frozen
class Held(Generic[R]):
    """A record of the user's, and what it is about as the reference knows it today."""

    record: R
    where: Placed


@frozen
class Collection:
    """What a user has, wants and has seen sold.

    Attributes:
        specimens, wants, sales: in the order of the files.
        left_out: how many records do not fit the model and are not among them: a check tells which.
        files: the files it was read from.
    """

    specimens: tuple[Held[Specimen], ...] = ()
    wants: tuple[Held[Want], ...] = ()
    sales: tuple[Held[Sale], ...] = ()
    left_out: int = 0
    files: tuple[str, ...] = ()

    def of(self, status: Status) -> Iterator[Held[Specimen]]:
        """The specimens of one status."""
        return (held for held in self.specimens if held.record.status is status)

    @property
    def owned(self) -> tuple[Held[Specimen], ...]:
        """The specimens that the user has."""
        return tuple(self.of(Status.OWNED))


def read_collection(paths: Iterable[str | os.PathLike[str]], reference: Layer | Index) -> Collection:
    """The collection in a user's own files, YAML or CSV.

    Errors: DatasetError where a file cannot be read.
    """
    index = index_in(reference)
    lists: dict[str, list[Any]] = {"specimen": [], "want": [], "sale": []}
    known: dict[tuple[str, ...], Placed] = {}
    left_out = 0
    names = [Path(path).as_posix() for path in paths]
    for name in names:
        file = open_own(name, name)
        if not file.readable:
            raise unusable(name, file)
        for entry in file.entries():
            record: Any = structure(entry.kind, entry.raw) if isinstance(entry.raw, dict) else None
            if record is None:
                left_out += 1
                continue
            key = _about(record)
            if key not in known:
                known[key] = placed(index, record)
            lists[entry.kind].append(Held(record, known[key]))
        left_out += sum(fault.rule == "csv-syntax" for fault in file.faults)
    return Collection(
        tuple(lists["specimen"]), tuple(lists["want"]), tuple(lists["sale"]), left_out, tuple(names)
    )


def _about(record: Specimen | Want | Sale) -> tuple[str, ...]:
    """What says what it is about; equal for many records of a large collection."""
    return (
        record.card, record.figure, record.back, getattr(record, "face", ""), getattr(record, "maker", ""),
    )  # fmt: skip
