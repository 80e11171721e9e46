"""Facts that are worked out once for an index and kept with it.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> @kept
... def how_many(index):
...     print("counting")
...     return len(index.figures)
>>> empty = Index({kind: {} for kind in KINDS})
>>> how_many(empty), how_many(empty)
counting
(0, 0)
"""

from collections.abc import Callable
from functools import wraps
from typing import TypeVar

from cardref.index import Index

__all__ = ["kept"]

T = TypeVar("T")


def kept(make: Callable[[Index], T]) -> Callable[[Index], T]:
    """``make`` with a memory: each index remembers what was worked out from it, as long as it lives."""

    @wraps(make)
    def look(index: Index) -> T:
        return index.derived(make)

    return look
