"""The immutable mapping: it is a mapping, compares by value, and nothing changes it."""

import copy
import pickle
from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.frozen import FrozenMap

DICTS = st.dictionaries(st.text(max_size=3), st.integers(0, 3), max_size=4)


@given(DICTS)
def test_it_reads_as_the_dict_that_it_was_made_of(items: dict[str, int]) -> None:
    """Keys, values, items, length, order and membership are those of the dict."""
    frozen = FrozenMap(items)
    assert isinstance(frozen, Mapping)
    assert (list(frozen), list(frozen.keys())) == (list(items), list(items))
    assert (list(frozen.values()), list(frozen.items())) == (list(items.values()), list(items.items()))
    assert len(frozen) == len(items)
    for key in ["", "a", *items]:
        assert (key in frozen) == (key in items)
        assert frozen.get(key) == items.get(key)


@given(DICTS, DICTS)
def test_equal_by_value_and_hash_alike(one: dict[str, int], other: dict[str, int]) -> None:
    """Two are equal just when their dicts are; equal ones have one hash, whatever their order."""
    assert (FrozenMap(one) == FrozenMap(other)) == (one == other)
    turned = dict(reversed(one.items()))
    assert FrozenMap(turned) == FrozenMap(one) == turned
    assert hash(FrozenMap(turned)) == hash(FrozenMap(one))


def test_nothing_changes_it() -> None:
    """No item, no attribute; and a mapping that is no dict is copied."""
    frozen = FrozenMap({"a": 1})
    with pytest.raises(TypeError):
        frozen["a"] = 2  # type: ignore[index] # the point of the test
    with pytest.raises(AttributeError, match="cannot be changed"):
        frozen._items = {}
    assert FrozenMap(frozen) == frozen
    assert FrozenMap() == {}
    assert repr(frozen) == "FrozenMap({'a': 1})"


@given(DICTS)
def test_it_survives_pickling_and_copying(items: dict[str, int]) -> None:
    """Another process gets an equal one."""
    frozen = FrozenMap(items)
    for other in (pickle.loads(pickle.dumps(frozen)), copy.copy(frozen), copy.deepcopy(frozen)):  # noqa: S301 - our own bytes
        assert other == frozen
