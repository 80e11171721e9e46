"""How a field of a record is declared: what it refers to, how it is written, what it is for.

The JSON Schemas, the loader and the rules read the same declaration, so a field is described once.

>>> import attrs
>>> @attrs.frozen(kw_only=True)
... class Example:
...     maker: str = refers("maker", "who printed it")
>>> attrs.fields(Example).maker.metadata["refers"]
('maker',)
"""

from typing import Any

import attrs

from cardref.frozen import FrozenMap

__all__ = ["EMPTY_MAP", "about", "one_of", "own_first", "refers", "written"]

EMPTY_MAP: FrozenMap[Any, Any] = FrozenMap()
_REQUIRED: Any = attrs.NOTHING


def about(text: str, default: Any = _REQUIRED, **metadata: Any) -> Any:
    """A field with a description; required when it has no default."""
    return attrs.field(default=default, metadata={"about": text, **metadata})


def refers(kind: str | tuple[str, ...], text: str, default: Any = _REQUIRED) -> Any:
    """A field that holds the id of a record of ``kind``, or a tuple of them."""
    return about(text, default, refers=(kind,) if isinstance(kind, str) else kind)


def written(form: str, text: str, default: Any = _REQUIRED) -> Any:
    """A text field in a notation: ``form`` is a JSON Schema ``format`` that our checker knows."""
    return about(text, default, form=form)


def own_first(_: type, fields: list[Any]) -> list[Any]:
    """For attrs' ``field_transformer``: a record's own fields before inherited ones.

    What is said of a card comes before how well it is supported, in files, schemas and answers alike.
    """
    return sorted(fields, key=lambda field: field.inherited)


_ONE_OF = {
    "accessories": "accessory", "codes": "code", "copies": "copy", "counts": "count", "debuts": "debut",
    "drops": "drop", "extras": "extra", "features": "feature", "languages": "language", "makers": "maker",
    "names": "name", "returns": "return", "roles": "role", "segments": "segment", "sides": "side",
    "sightings": "sighting", "silhouettes": "silhouette", "slips": "slip", "sources": "source",
    "states": "state", "stickers": "sticker", "titles": "title",
}  # fmt: skip


def one_of(field: str) -> str:
    """What one item of a field is called; the field's own name where it already names one thing.

    >>> one_of("accessories"), one_of("series"), one_of("plus")
    ('accessory', 'series', 'plus')
    """
    return _ONE_OF.get(field, field)
