"""Pieces of JSON Schema (draft 2020-12) that the schemas of our answers are put together from.

>>> look = exactly(feature=TEXT, bits=COUNT, states=list_of(TEXT))
>>> look["required"], look["additionalProperties"]
(['feature', 'bits', 'states'], False)
>>> sorted(answer_schema("looks", "cardref looks --format json", looks=list_of(look))["properties"])
['dataset', 'fingerprint', 'format', 'looks', 'version']

The functions give new dictionaries, which may be changed; the constants are shared, and may not.
"""

import json
from collections.abc import Iterable, Mapping
from typing import Any, Final

__all__ = [
    "COUNT",
    "DRAFT",
    "FLAG",
    "SHARE",
    "TEXT",
    "TEXTS",
    "answer_schema",
    "at_least",
    "described",
    "exactly",
    "head",
    "list_of",
    "one_of",
    "or_null",
    "rendered",
]

Schema = dict[str, Any]

DRAFT: Final = "https://json-schema.org/draft/2020-12/schema"
"""The dialect that all our schemas are written in."""

TEXT: Final[Schema] = {"type": "string"}
COUNT: Final[Schema] = {"type": "integer", "minimum": 0}
FLAG: Final[Schema] = {"type": "boolean"}
SHARE: Final[Schema] = {"type": "number", "minimum": 0, "maximum": 1}
TEXTS: Final[Schema] = {"type": "array", "items": TEXT}


def exactly(**properties: Any) -> Schema:
    """A mapping with these keys, all of them there and no other."""
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }


def at_least(properties: Mapping[str, Any]) -> Schema:
    """A mapping with these keys, all of them there; others may come, and readers go on working."""
    return {"type": "object", "required": list(properties), "properties": dict(properties)}


def list_of(items: Schema, least: int = 0) -> Schema:
    """A list of ``least`` items or more."""
    return {"type": "array", "items": items, **({"minItems": least} if least else {})}


def one_of(words: Iterable[str | None]) -> Schema:
    """One of these words (the members of an enumeration, say); None among them for null."""
    return {"enum": [word if word is None else str(word) for word in words]}


def or_null(piece: Schema) -> Schema:
    """What ``piece`` takes, or null."""
    return {"anyOf": [{"type": "null"}, piece]}


def described(piece: Schema, about: str) -> Schema:
    """The same piece with what it is, in words."""
    return {**piece, "description": about}


def head(name: str, title: str, version: int = 1) -> Schema:
    """What stands at the top of a schema: the dialect, an identity of its own, a title."""
    return {"$schema": DRAFT, "$id": f"urn:cardref:schema:{version}:{name}", "title": title}


def answer_schema(name: str, command: str, **properties: Any) -> Schema:
    """The schema of what a command prints as JSON: the dataset that it asked, and ``properties``."""
    asked = {"format": {"const": 1}, "dataset": TEXT, "version": TEXT, "fingerprint": TEXT}
    return {**head(name, command), **exactly(**asked, **properties)}


def rendered(schema: Schema) -> str:
    """The schema as the text of its file: indented, in a fixed order, with a final line end."""
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"
