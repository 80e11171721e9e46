"""A reference as a data package: CSV files with a description of every column.

Data Package and Table Schema are Frictionless standards (specs.frictionlessdata.io); CSV as in RFC 4180.
A text that begins with ``=``, ``+``, ``-`` or ``@`` gets an apostrophe in front, so that no spreadsheet
program runs it; so does what begins so behind a semicolon, where many programs expect the next cell.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> files = as_package(Index({kind: {} for kind in KINDS}))
>>> sorted(files)[:2]
['data/back.csv', 'data/back_concordance.csv']
"""

import csv
import io
import json
from typing import Any

from cardref.export.about import about
from cardref.export.relation import Column, Relation
from cardref.export.relations import relations
from cardref.index import Index
from cardref.storage.cells import guarded_within, is_formula

__all__ = ["as_package"]


def as_package(index: Index) -> dict[str, bytes]:
    """The files of the package by relative name; the same records give the same bytes."""
    files = {f"data/{relation.name}.csv": _table(relation, index) for relation in relations()}
    files["datapackage.json"] = json.dumps(_description(index), ensure_ascii=False, indent=2).encode() + b"\n"
    return files


def _table(relation: Relation, index: Index) -> bytes:
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow([column.name for column in relation.columns])
    kinds = [column.type for column in relation.columns]
    for row in relation.rows(index):
        writer.writerow([_cell(cell, kind) for cell, kind in zip(row, kinds, strict=True)])
    return stream.getvalue().encode("utf-8", "backslashreplace")


def _cell(cell: Any, kind: str) -> Any:
    if cell is None:
        return ""
    if kind == "boolean":
        return "true" if cell else "false"
    # One that was guarded already gets another apostrophe, so that the two stay different.
    guard = "'" if isinstance(cell, str) and is_formula(cell.lstrip("'")) else ""
    return guarded_within(f"{guard}{cell}") if isinstance(cell, str) else cell


def _description(index: Index) -> dict[str, Any]:
    said = about(index)
    names = {relation.name for relation in relations()}
    package: dict[str, Any] = {
        "profile": "data-package",
        "name": index.dataset.id if index.dataset else "reference",
        "title": said["title"] or "A reference",
        "version": said["version"],
        "description": " ".join(filter(None, map(str, (said["notice"], said["caution"])))),
        "licenses": [{"name": name} for name in dict.fromkeys(one.licence for one in index.datasets)],
        "fingerprint": said["fingerprint"],
        "model": said["model"],
        "resources": [_resource(relation, names) for relation in relations()],
    }
    return {key: value for key, value in package.items() if value not in ("", [])}


def _resource(relation: Relation, names: set[str]) -> dict[str, Any]:
    schema: dict[str, Any] = {
        "fields": [_field(column, relation) for column in relation.columns],
        "primaryKey": list(relation.key),
        "missingValues": [""],
    }
    links = [
        {
            "fields": [c.name],
            "reference": {"resource": "" if c.refers == relation.name else c.refers, "fields": ["id"]},
        }
        for c in relation.columns
        if c.refers in names
    ]
    if links:
        schema["foreignKeys"] = links
    return {
        "profile": "tabular-data-resource",
        "name": relation.name,
        "path": f"data/{relation.name}.csv",
        "scheme": "file",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "schema": schema,
    }


def _field(column: Column, relation: Relation) -> dict[str, Any]:
    kind = {"text": "string"}.get(column.type, column.type)
    field: dict[str, Any] = {"name": column.name, "type": kind}
    if column.about:
        field["description"] = column.about
    if column.required or column.name in relation.key:
        field["constraints"] = {"required": True}
    return field
