"""An immutable mapping that pickles, hashes and compares by value.

>>> states = FrozenMap({"rope-length": ("4 mm",)})
>>> states["rope-length"], len(states)
(('4 mm',), 1)
"""

from collections.abc import Iterator, Mapping
from typing import Any, TypeVar

__all__ = ["FrozenMap"]

K = TypeVar("K")
V_co = TypeVar("V_co", covariant=True)


class FrozenMap(Mapping[K, V_co]):
    """A read-only view that owns its dict. The dict given must not be changed afterwards."""

    __slots__ = ("_items",)
    _items: dict[K, V_co]

    def __init__(self, items: Mapping[K, V_co] | None = None) -> None:
        object.__setattr__(self, "_items", items if type(items) is dict else dict(items or {}))

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"{type(self).__name__} cannot be changed")

    def __getitem__(self, key: K) -> V_co:
        return self._items[key]

    def __iter__(self) -> Iterator[K]:
        return iter(self._items)

    def __len__(self) -> int:
        return len(self._items)

    def __hash__(self) -> int:
        return hash(frozenset(self._items.items()))

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self._items!r})"

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self._items,)
