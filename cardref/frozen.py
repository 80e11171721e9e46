"""An immutable mapping that pickles, hashes and compares by value.

>>> states = FrozenMap({"rope-length": ("4 mm",)})
>>> states["rope-length"], len(states)
(('4 mm',), 1)
"""

from collections.abc import ItemsView, Iterator, KeysView, Mapping, ValuesView
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

    # Mapping has all of these, by way of the three above; the dict's own are many times as quick.

    def __contains__(self, key: object) -> bool:
        return key in self._items

    def __eq__(self, other: object) -> bool:
        if isinstance(other, FrozenMap):
            return self._items == other._items
        return super().__eq__(other)

    def keys(self) -> KeysView[K]:
        """The keys, a view."""
        return self._items.keys()

    def values(self) -> ValuesView[V_co]:
        """The values, a view."""
        return self._items.values()

    def items(self) -> ItemsView[K, V_co]:
        """Keys with their values, a view."""
        return self._items.items()

    def __hash__(self) -> int:
        return hash(frozenset(self._items.items()))

    def __repr__(self) -> str:
        return f"{type(self).__name__}({self._items!r})"

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self._items,)
