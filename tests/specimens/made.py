"""What several tests of this folder need: the reference, and files made of texts."""

from functools import cache
from pathlib import Path

from cardref.index import Index
from cardref.model.specimen import Sale, Specimen, Want
from cardref.reference import Reference, load
from cardref.specimens.collection import Collection, Held
from cardref.specimens.meaning import placed

CARD = "tidewrack/quay-marl/c-0213"
"""Lamp Diver on quay-marl 25B."""
FIGURE = "tidewrack/figure/lamp-diver"
BACK = "tidewrack/quay-marl/b-017"


@cache
def reference() -> Reference:
    """The bundled reference."""
    return load()


def index() -> Index:
    """Its index."""
    return reference().index


def write(folder: Path, name: str, text: str | bytes) -> Path:
    """A file, byte for byte."""
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return path


def collected(*records: Specimen | Want | Sale, over: Index | None = None) -> Collection:
    """A collection of these records."""
    known = over or index()
    return Collection(
        tuple(Held(one, placed(known, one)) for one in records if isinstance(one, Specimen)),
        tuple(Held(one, placed(known, one)) for one in records if isinstance(one, Want)),
        tuple(Held(one, placed(known, one)) for one in records if isinstance(one, Sale)),
    )
