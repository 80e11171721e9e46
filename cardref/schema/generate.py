"""JSON Schemas from the model's own declarations: one for each type of file, for editors and for CI.

>>> schema = document_schema("makers")
>>> schema["properties"]["makers"]["items"]
{'$ref': '#/$defs/maker'}
>>> sorted(schema["$defs"]["maker"]["required"])
['id', 'name']
"""

import enum
import types
import typing
from collections.abc import Mapping
from functools import cache
from typing import Any

import attrs

from cardref.model.dataset import MODEL_VERSION
from cardref.model.forms import FORMS
from cardref.model.kinds import BY_PLURAL, OWN_KINDS, Kind, kind_named
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from cardref.schema.pieces import head, list_of
from cardref.storage.layout import DOCUMENTS

__all__ = ["OWN", "document_schema", "record_schema"]

Schema = dict[str, Any]
OWN = "specimens"
"""The type of file that a user keeps for himself, outside of every dataset."""


def _form(name: str) -> Schema:
    form = FORMS[name]
    schema: Schema = {"type": "string", "format": name}
    return schema | ({"pattern": form.pattern} if form.pattern else {})


def _bounds(meta: Mapping[str, Any]) -> Schema:
    return {key: meta[key] for key in ("minimum", "maximum") if key in meta}


_TEXT: Schema = {"type": "string", "minLength": 1}
_STATE: Schema = {"anyOf": [_TEXT, {"type": "integer"}]}
_STATES: Schema = {
    "type": "object",
    "propertyNames": _form("slug"),
    "additionalProperties": {"anyOf": [*_STATE["anyOf"], {"type": "array", "minItems": 1, "items": _STATE}]},
}
_SCALARS: dict[Any, Schema] = {
    str: _TEXT,
    int: {"type": "integer"},
    float: {"type": "number"},
    bool: {"type": "boolean"},
    Date: _form("edtf"),
    Designation: _form("designation"),
}


def _plain(hint: Any) -> Schema:
    origin, args = typing.get_origin(hint), typing.get_args(hint)
    if origin is types.UnionType or origin is typing.Union:
        (inner,) = [arg for arg in args if arg is not type(None)]
        return _plain(inner)
    if origin is tuple:
        return {"type": "array", "items": _plain(args[0])}
    if origin is Mapping:
        keys = _plain(args[0])
        names = {"propertyNames": {k: v for k, v in keys.items() if k != "type"}}
        return {"type": "object", **names, "additionalProperties": _plain(args[1])}
    if isinstance(hint, type) and issubclass(hint, enum.StrEnum):
        return {"type": "string", "enum": [member.value for member in hint]}
    if isinstance(hint, type) and attrs.has(hint):
        return _object(hint)
    return dict(_SCALARS[hint])


def _field(field: "attrs.Attribute[Any]", hint: Any) -> Schema:
    meta = field.metadata
    members = set(typing.get_args(hint)) - {type(None)}
    if meta.get("keys_refer") == "feature":
        return dict(_STATES)
    if "choices" in meta:
        words: Schema = {"type": "string", "enum": [word for word in meta["choices"] if word]}
        if int in members:
            return {"anyOf": [{"type": "integer", **_bounds(meta)}, words]}
        if tuple[str, ...] in members:
            return {"anyOf": [{"type": "array", "minItems": 1, "items": _TEXT}, words]}
        return words
    if "form" in meta:
        formed = _form(meta["form"])
        return {"type": "array", "items": formed} if typing.get_origin(hint) is tuple else formed
    if "keys_form" in meta:
        schema = _plain(hint)
        schema["propertyNames"] = {k: v for k, v in _form(meta["keys_form"]).items() if k != "type"}
        return schema
    schema = _plain(hint)
    if schema.get("type") == "array":
        if typing.get_args(hint)[0] is int:
            schema["items"] = schema["items"] | _bounds(meta)
        elif "minimum" in meta:
            schema["minItems"] = meta["minimum"]
        return schema
    return schema | _bounds(meta)


@cache
def _object(record: type) -> Schema:
    hints = typing.get_type_hints(record)
    fields = attrs.fields(record)
    return {
        "type": "object",
        "additionalProperties": False,
        "required": [f.name for f in fields if f.default is attrs.NOTHING],
        "properties": {
            f.name: {"description": f.metadata["about"], **_field(f, hints[f.name])} for f in fields
        },
    }


def record_schema(kind: str) -> Schema:
    """The schema of one record as written in a file: ids may be short."""
    record = kind_named(kind).record
    doc = (record.__doc__ or "").split("\n\n")[0].strip()
    return {"description": " ".join(doc.split()), **_object(record)}


def _lists(kinds: list[Kind]) -> tuple[Schema, Schema]:
    """The lists of a file by key, and what each record in them is."""
    listed: Schema = {kind.plural: list_of({"$ref": f"#/$defs/{kind.name}"}) for kind in kinds}
    return listed, {kind.name: record_schema(kind.name) for kind in kinds}


def document_schema(document: str) -> Schema:
    """The schema of one type of file: :data:`OWN`, or a name of :data:`cardref.storage.layout.DOCUMENTS`."""
    if document == OWN:
        listed, defs = _lists(list(OWN_KINDS.values()))
        title = "a user's own specimens, wants and observed sales"
        return {
            **head(document, f"cardref {title}", MODEL_VERSION),
            "type": "object",
            "additionalProperties": False,
            "properties": listed,
            "$defs": defs,
        }
    pattern, lists, top = DOCUMENTS[document]
    top_of_it = head(document, f"cardref {pattern}", MODEL_VERSION)
    listed, defs = _lists([BY_PLURAL[plural] for plural in lists])
    if top:
        schema = record_schema(top)
        schema["properties"] = {**schema["properties"], **listed}
        return {**top_of_it, **schema, **({"$defs": defs} if defs else {})}
    header = [name for name in ("line", "maker") if f"{{{name}}}" in pattern]
    return {
        **top_of_it,
        "type": "object",
        "additionalProperties": False,
        "required": [*header, *lists],
        "properties": {
            **{
                name: {"description": f"Short name of the {name} it belongs to.", **_form("slug")}
                for name in header
            },
            **listed,
        },
        "$defs": defs,
    }
