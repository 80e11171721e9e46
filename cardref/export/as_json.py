"""A reference as one JSON file, and its JSON Schema.

Ids are full; the schema is that of the dataset's own files with full ids in place of short ones.

>>> sorted(schema()["properties"])[:4]
['about', 'backs', 'cards', 'datasets']
"""

import json
from typing import Any

from cardref.export.about import about, layers
from cardref.index import Index
from cardref.model.kinds import KINDS
from cardref.schema.generate import record_schema
from cardref.schema.pieces import TEXT, described, exactly, head, list_of
from cardref.storage.plain import plain

__all__ = ["as_json", "schema"]


def as_json(index: Index) -> bytes:
    """The whole reference, deterministic: the same records give the same bytes."""
    value: dict[str, Any] = {"about": about(index), "layers": dict(layers(index))}
    for kind in KINDS.values():
        table = index.backs if kind.name == "back" else index.tables[kind.name]
        value[kind.plural] = [plain(record) for record in table.values()]
    return json.dumps(value, ensure_ascii=False, indent=1).encode("utf-8", "backslashreplace") + b"\n"


def _with_full_ids(schema: Any) -> Any:
    """The schema of a record whose ids are paths."""
    if isinstance(schema, dict):
        if schema.get("format") == "slug":
            return {key: value for key, value in schema.items() if key not in ("format", "pattern")}
        return {key: _with_full_ids(value) for key, value in schema.items()}
    return [_with_full_ids(item) for item in schema] if isinstance(schema, list) else schema


def schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of :func:`as_json`."""
    lists = {kind.plural: list_of({"$ref": f"#/$defs/{kind.name}"}) for kind in KINDS.values()}
    names = ("title", "version", "licence", "fingerprint", "model", "notice", "caution")
    layers = {"type": "object", "additionalProperties": TEXT}
    return {
        **head("export", "cardref export json"),
        **exactly(
            about=exactly(**{name: {"type": "integer"} if name == "model" else TEXT for name in names}),
            layers=described(
                layers, "Full id -> the dataset it comes from, where several lie over each other."
            ),
            **lists,
        ),
        "$defs": {kind: _with_full_ids(record_schema(kind)) for kind in KINDS},
    }
