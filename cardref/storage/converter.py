"""Plain values to records through cattrs, strictly: nothing is turned into something else on the way.

cattrs' defaults would make '1983' of 1983 and 1 of True, so that nothing ever fails. Our hooks
(:mod:`cardref.storage.hooks`) take each value as it is or refuse it. What is refused here is explained by
:mod:`cardref.schema`; a property test holds that both give the same verdict. A dataset's own files are put
together from the same hooks by :func:`cardref.storage.hooks.fitting`, since importing the converter and
compiling its functions took a tenth of the time in which a whole dataset is checked (measured).

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
from cardref.model.kinds import Record, kind_named
from cardref.storage.hooks import Hook, Refused, field_hooks

__all__ = ["structure"]


def _taking_a_type(hook: Hook) -> Any:
    return lambda value, _: hook(value)


@cache
def _structurer(record: type) -> Any:
    overrides: Any = {
        name: override(struct_hook=_taking_a_type(hook)) for name, hook in field_hooks(record).items()
    }
    return make_dict_structure_fn(
        record, Converter(), _cattrs_forbid_extra_keys=True, _cattrs_detailed_validation=False, **overrides
    )


def structure(kind: str, raw: dict[str, Any]) -> Record | None:
    """The record of ``kind`` that ``raw`` (with full ids) says, or None where it does not fit the model."""
    try:
        made: Record = _structurer(kind_named(kind).record)(raw, None)
    except (Refused, NotationError, KeyError, ForbiddenExtraKeysError):
        return None
    return made
