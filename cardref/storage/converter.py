"""Plain values to records, strictly: nothing is turned into something else on the way.

Each field's hook takes its value as it is or refuses it (:mod:`cardref.storage.hooks`). What is refused here
is explained by :mod:`cardref.schema`; a property test holds that both give the same verdict. A general
converter was tried and measured: its import and the functions it compiles took a tenth of the time in which a
whole dataset is checked.

>>> structure("source", {"id": "source/a", "kind": "catalogue", "citation": "Spring list"}).citation
'Spring list'
>>> structure("source", {"id": "source/a", "kind": "catalogue", "citation": 7}) is None
True
"""

from typing import Any

from cardref.errors import NotationError
from cardref.model.kinds import Record
from cardref.storage.hooks import Refused, assemble

__all__ = ["structure"]


def structure(kind: str, raw: dict[str, Any]) -> Record | None:
    """The record of ``kind`` that ``raw`` (with full ids) says, or None where it does not fit the model."""
    try:
        return assemble(kind, raw)
    except (Refused, NotationError, KeyError):
        return None
