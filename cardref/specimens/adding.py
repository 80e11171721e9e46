r"""Add a record to a user's own file: written whole or not at all, comments kept, never over other work.

>>> import tempfile, pathlib
>>> from cardref.reference import load
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.yaml"
>>> said = {"back": "quay-marl 25B", "figure": "lamp diver", "price": "5 EUR"}
>>> done = added(path, "specimen", said, load())
>>> print(done.change.after.decode(), end="")
# Specimens, wants and observed sales of your own. Nothing in here is sent anywhere.
# `cardref check FILE` looks it over; `cardref own report FILE` says what it comes to.
specimens:
  - id: s-001
    figure: tidewrack/figure/lamp-diver
    back: tidewrack/quay-marl/b-017
    designation: "25B"
    price: "5 EUR"
"""

import codecs
import enum
import os
import re
import tempfile
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, Final

import attrs
from attrs import frozen

from cardref.errors import UsageError
from cardref.facts.features import features_of_line
from cardref.finding import Finding, Severity
from cardref.index import Index, Layer, index_in
from cardref.model.feature import Feature, FeatureKind
from cardref.model.kinds import OWN_KINDS
from cardref.model.specimen import Specimen
from cardref.specimens.answers import designation_of
from cardref.specimens.checking import check_own, open_own
from cardref.specimens.columns import cells_of
from cardref.specimens.entry import read_own, unusable
from cardref.specimens.in_table import TableFile
from cardref.specimens.meaning import RECORDS, How, meaning
from cardref.specimens.table import row_text
from cardref.storage.atomic import Change
from cardref.storage.canonical import block_lines, canonical
from cardref.storage.edit import Sheet
from cardref.storage.shape import Shape, in_order, record_shape
from cardref.text import clip, quoted

__all__ = ["Added", "added"]

_START: Final = (
    "# Specimens, wants and observed sales of your own. Nothing in here is sent anywhere.\n"
    "# `cardref check FILE` looks it over; `cardref own report FILE` says what it comes to.\n"
)
_LETTER: Final = {"specimen": "s", "want": "w", "sale": "v"}
_NUMBERED: Final = re.compile(r"([a-z0-9-]*?)([0-9]{1,12})")

_USUAL: Final = {
    field.name: field.default.value
    for field in attrs.fields(Specimen)
    if isinstance(field.default, enum.StrEnum)
}

SHAPE: Final = Shape(
    order=tuple(kind.plural for kind in OWN_KINDS.values()),
    fields={kind.plural: Shape(each=record_shape(kind.record), records=True) for kind in OWN_KINDS.values()},
)
"""How a user's own file is laid out."""


@frozen
class Added:
    """What adding a record would do; nothing is written.

    Attributes:
        change: to be written by :func:`cardref.storage.atomic.write_changes` into the file's folder.
        id: the record's id.
        findings: what a check has to say of it.
    """

    change: Change
    id: str
    findings: tuple[Finding, ...]


def added(path: str | os.PathLike[str], kind: str, raw: Mapping[str, Any], reference: Layer | Index) -> Added:
    """What adding a record of ``kind`` (specimen, want or sale) to a file would make of it.

    A file that is not there yet is begun. Names and designations become ids, and what a back is called today
    is written beside its id. Without an id the record gets the next free one.

    Errors: UsageError where the record does not fit the model, or its table has no column for something;
    DatasetError where the file cannot be read.
    """
    index = index_in(reference)
    path = Path(path)
    record = _settled(index, kind, raw)
    before = read_own(path) if path.exists() or path.is_symlink() else None
    known = [] if before is None else [entry.id for entry in open_own(path).entries() if entry.kind == kind]
    record = {"id": _free(kind, known), **record}
    if str(record["id"]) in known:
        raise UsageError(f"the id {quoted(str(record['id']))} is given already in {quoted(str(path))}")
    record = {key: record[key] for key in in_order(record, record_shape(OWN_KINDS[kind].record).order)}
    after = _made(path, kind, record, before)
    found = _findings(path, after, before, index)
    errors = [finding for finding in found if finding.severity is Severity.ERROR]
    if errors:
        raise UsageError(f"nothing was added: {'; '.join(clip(one.message, 300) for one in errors[:3])}")
    return Added(Change(path.name, before, after), str(record["id"]), found)


def _settled(index: Index, kind: str, raw: Mapping[str, Any]) -> dict[str, Any]:
    """The record with ids for names, and only with fields that its kind has."""
    fields = {one.name for one in attrs.fields(OWN_KINDS[kind].record)}
    record: dict[str, Any] = {}
    for key, value in raw.items():
        if value in (None, "", (), [], {}):
            continue
        if key not in fields:
            raise UsageError(f"a {kind} has no {key}: it has {', '.join(sorted(fields))}")
        record[key] = value
    for name in RECORDS:
        if name in record:
            record[name] = _full(index, name, str(record[name]))
    if record.keys() & {"card", "back", "face"}:
        record.pop("maker", None)  # they say whose it is
    for name, usual in _USUAL.items():
        if record.get(name) == usual:
            del record[name]
    called = designation_of(index, record)
    if called and "designation" in fields:
        record.setdefault("designation", called)
    if isinstance(record.get("readings"), dict):
        line = next((str(record[name]) for name in RECORDS if name in record), "").partition("/")[0]
        features = features_of_line(index, line)
        record["readings"] = {
            slug: int(state) if _is_count(features.get(slug), state) else state
            for slug, state in record["readings"].items()
        }
    return record


def _is_count(feature: Feature | None, state: Any) -> bool:
    known = feature is not None and feature.kind is FeatureKind.COUNT
    return known and isinstance(state, str) and state.isdecimal() and len(state) < 7


def _full(index: Index, kind: str, text: str) -> str:
    found = meaning(index, kind, text)
    if found.how is How.RETIRED or not found.ids:
        return text  # told by the check, with what it may mean
    if len(found.ids) > 1:
        raise UsageError(f"{quoted(text)} may mean {', '.join(found.ids[:5])}: name the one")
    return found.ids[0]


def _free(kind: str, known: Iterable[str]) -> str:
    """The next id: one more than the highest that ends in a number, written like it."""
    numbered = [match for one in known if (match := _NUMBERED.fullmatch(one))]
    if not numbered:
        return f"{_LETTER[kind]}-001"
    highest = max(numbered, key=lambda match: int(match[2]))
    return f"{highest[1]}{int(highest[2]) + 1:0{len(highest[2])}d}"


def _made(path: Path, kind: str, record: dict[str, Any], before: bytes | None) -> bytes:
    if path.suffix.lower() in (".csv", ".tsv"):
        return _in_table(path, kind, record, before)
    plural = OWN_KINDS[kind].plural
    if before is None:
        return (_START + "\n".join(block_lines({plural: [record]}, SHAPE, 0)) + "\n").encode()
    file = open_own(path)
    if not file.readable:
        raise unusable(str(path), file)
    sheet = Sheet(before.decode(), SHAPE)
    if plural in sheet.value:
        sheet.append((plural,), record)
    else:
        sheet.set((plural,), [record])
    made = sheet.done()
    # Whoever keeps to the layout need not lay it out again.
    if canonical(before.decode(), SHAPE) == before.decode():
        made = canonical(made, SHAPE)
    return made.encode()


def _in_table(path: Path, kind: str, record: dict[str, Any], before: bytes | None) -> bytes:
    if kind != "specimen":
        raise UsageError(f"a table holds specimens only: add the {kind} to a YAML file")
    if before is None:
        raise UsageError(f"{quoted(str(path))} is not there yet: begin with a YAML file, or make a table")
    file = TableFile(path)
    if file.table is None:
        raise unusable(str(path), file)
    cells, left = cells_of(record, file.columns)
    left = [field for field in left if field != "designation"]  # the id alone says which back it is
    if left:
        lacks = ", ".join(left)
        raise UsageError(f"{quoted(str(path))} has no column for {lacks}: add it first, or leave that out")
    mark = codecs.BOM_UTF8 if before.startswith(codecs.BOM_UTF8) else b""
    text = before[len(mark) :]
    end = b"" if text.endswith((b"\n", b"\r")) else file.table.line_end.encode()
    return before + end + row_text(cells, file.table.separator, file.table.line_end).encode()


def _findings(path: Path, after: bytes, before: bytes | None, index: Index) -> tuple[Finding, ...]:
    """What a check says of the new text and did not say of the old one."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / path.name
        known: set[str] = set()
        if before is not None:
            copy.write_bytes(before)
            known = {finding.fingerprint for finding in check_own([copy], index, names=[path.name]).findings}
        copy.write_bytes(after)
        report = check_own([copy], index, names=[path.name])
    return tuple(finding for finding in report.findings if finding.fingerprint not in known)
