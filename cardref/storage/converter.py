"""Plain values to records, strictly: nothing is turned into something else on the way.

cattrs' defaults would make '1983' of 1983 and 1 of True, so that nothing ever fails. Our hooks take each
value as it is or refuse it. What is refused here is explained by :mod:`cardref.schema`; a property test holds
that both give the same verdict.

>>> structure("source", {"id": "source/a", "kind": "catalogue", "citation": "Spring list"}).citation
'Spring list'
>>> structure("source", {"id": "source/a", "kind": "catalogue", "citation": 7}) is None
True
"""

from functools import cache
from typing import Any

from cattrs import Converter
from cattrs.errors import ForbiddenExtraKeysError
from cattrs.gen import make_dict_structure_fn, override

from cardref.errors import NotationError
from cardref.model.kinds import KINDS, Record
from cardref.storage.hooks import Refused, field_hooks

__all__ = ["structure"]


@cache
def _structurer(record: type) -> Any:
    overrides: Any = {name: override(struct_hook=hook) for name, hook in field_hooks(record).items()}
    return make_dict_structure_fn(
        record, Converter(), _cattrs_forbid_extra_keys=True, _cattrs_detailed_validation=False, **overrides
    )


def structure(kind: str, raw: dict[str, Any]) -> Record | None:
    """The record of ``kind`` that ``raw`` (with full ids) says, or None where it does not fit the model."""
    try:
        made: Record = _structurer(KINDS[kind].record)(raw, None)
    except (Refused, NotationError, KeyError, ForbiddenExtraKeysError):
        return None
    return made
