"""The bundled reference: compiled to JSON when a wheel is built, read straight from YAML in a checkout.

:func:`home` is the one place that knows where the data is. A compiled table is read when its kind is first
asked for, and a record is made when it is first looked at, so that decoding a code need not load every card.

>>> sorted(compile_dataset(home().dataset))[:3]
['data/about.json', 'data/back.json', 'data/card.json']
"""

import json
import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import frozen

from cardref.errors import DatasetError
from cardref.lazy import cached_property
from cardref.model.kinds import KINDS, Record
from cardref.storage.hooks import assemble
from cardref.storage.plain import fingerprint, plain

__all__ = ["Home", "LazyTable", "compile_dataset", "compiled_fingerprint", "compiled_tables", "home"]


@frozen
class Home:
    """Where the bundled data is: YAML in a checkout, compiled JSON in an installed wheel."""

    dataset: Path
    compiled: bool


def home() -> Home:
    """Find the bundled data. Errors: DatasetError where the installation is incomplete."""
    package = Path(__file__).resolve().parent.parent
    bundled = package / "_bundled"
    if (bundled / "data").is_dir():
        return Home(bundled / "data", compiled=True)
    root = package.parent
    if (root / "dataset" / "dataset.yaml").is_file():
        return Home(root / "dataset", compiled=False)
    raise DatasetError(
        "the bundled reference is missing from this installation: install cardref again, as files and not in "
        "a zip archive"
    )


def compile_dataset(root: str | os.PathLike[str]) -> dict[str, bytes]:
    """The dataset in ``root`` as files of JSON, by relative name: one table a kind and ``data/about.json``.

    Deterministic: the same records give the same bytes. Errors: DatasetError where a record cannot be read.
    """
    from cardref.storage.loader import load_tree  # noqa: PLC0415 - whoever reads a bundle needs no YAML

    loaded = load_tree(root)
    bad = [file.path for file in loaded.files.values() if file.faults or file.misshapen]
    bad += [
        entry.file.path for entries in loaded.entries.values() for entry in entries if entry.record is None
    ]
    if bad:
        raise DatasetError(f"{bad[0]} cannot be compiled: run `cardref check {os.fspath(root)}` first")
    records = [
        (entry.kind, entry.record) for entries in loaded.entries.values() for entry in entries if entry.record
    ]
    files: dict[str, bytes] = {}
    for kind in KINDS:
        table = [plain(record) for of, record in records if of == kind]
        files[f"data/{kind}.json"] = _json(table)
    files["data/about.json"] = _json({"format": 1, "fingerprint": fingerprint(records)})
    return files


def _json(value: Any) -> bytes:
    return json.dumps(value, ensure_ascii=False, separators=(",", ":")).encode() + b"\n"


class LazyTable(Mapping[str, Record]):
    """Records by full id: the file is read when any is asked for, and each record made when it is looked at.

    Safe to share between threads: what is read or made twice is equal.
    """

    def __init__(self, kind: str, path: Path) -> None:
        self._kind = kind
        self._path = path
        self._made: dict[str, Record] = {}

    def __getitem__(self, key: str) -> Record:
        made = self._made.get(key)
        if made is None:
            made = self._made[key] = assemble(self._kind, self._rows[key])
        return made

    def said(self, **fields: Any) -> Iterator[tuple[Any, ...]]:
        """``(full id, value, ...)`` of every record, without making any: the fields named, with defaults."""
        for full, raw in self._rows.items():
            values = (raw.get(name, default) for name, default in fields.items())
            yield full, *(tuple(value) if type(value) is list else value for value in values)

    @cached_property
    def _rows(self) -> dict[str, dict[str, Any]]:
        rows = json.loads(self._path.read_bytes())
        return {row.get("id", f"{self._kind}/{number}"): row for number, row in enumerate(rows)}

    def __iter__(self) -> Iterator[str]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def __contains__(self, key: object) -> bool:
        return key in self._rows


def compiled_tables(folder: Path) -> dict[str, Mapping[str, Record]]:
    """A table a kind, each read from its file when it is first used."""
    return {kind: LazyTable(kind, folder / f"{kind}.json") for kind in KINDS}


def compiled_fingerprint(folder: Path) -> str:
    """The fingerprint that was computed when the data was compiled."""
    return str(json.loads((folder / "about.json").read_bytes())["fingerprint"])
