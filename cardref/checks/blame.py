"""Which side of a conflict to name: one slip, one finding.

When a date of a series contradicts the one back in it that was mistyped, the back is named; when it
contradicts most of its backs at once, the series is, and once.

>>> clashes = [("spring", "a"), ("spring", "b"), ("summer", "c")]
>>> for shared in by_shared(clashes, {"spring": 2, "summer": 9}):
...     print(shared.key, shared.items, shared.at_fault)
spring ['a', 'b'] True
summer ['c'] False
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Generic, TypeVar

from attrs import frozen

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also
from cardref.location import Pointer

__all__ = ["Shared", "by_shared", "side", "sides"]

MOST_SIDES = 8
"""No finding shows more places than this."""

T = TypeVar("T")


@frozen
class Shared(Generic[T]):
    """Conflicts that have one side in common.

    Attributes:
        key: full id of the common side.
        items: the other sides, in order.
        at_fault: most of what was held against the common side contradicts it, and that is more than one; or
            as much as is enough.
    """

    key: str
    items: list[T]
    at_fault: bool


def by_shared(
    clashes: Iterable[tuple[str, T]], checked: Mapping[str, int], enough: int = 0
) -> Iterator[Shared[T]]:
    """Conflicts ``(common side, other side)`` by their common side, in order.

    ``checked`` says how many others each common side was held against. So many conflicts as ``enough`` put it
    at fault even where more others agree: a stretch of years that slipped by two still holds what lies in its
    middle, and one slip is likelier than three.
    """
    groups: dict[str, list[T]] = {}
    for key, item in clashes:
        groups.setdefault(key, []).append(item)
    for key, items in groups.items():
        most = len(items) > 1 and 2 * len(items) > checked.get(key, 0)
        yield Shared(key, items, most or 0 < enough <= len(items))


def side(corpus: Corpus, full: str, message: str, *pointer: str | int) -> tuple[Also, ...]:
    """The other place of a conflict: a record (full id) of this dataset; nothing where it has none."""
    entry = corpus.by_id.get(full)
    return () if entry is None else (Also(entry, message, pointer),)


def sides(corpus: Corpus, records: Iterable[str], message: str, pointer: Pointer = ()) -> tuple[Also, ...]:
    """The first few of many records, each with the same message."""
    found: list[Also] = []
    for full in records:
        found += side(corpus, full, message, *pointer)
        if len(found) == MOST_SIDES:
            break
    return tuple(found)
