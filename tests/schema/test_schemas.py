"""The JSON Schemas say the same as the typed model."""

import json
import math
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.model.kinds import KINDS, OWN_KINDS
from cardref.schema.explain import problems
from cardref.schema.generate import record_schema
from cardref.storage.converter import structure
from cardref.storage.hooks import fitting
from cardref.storage.references import expand

_WORDS = st.sampled_from(
    "a|b-017|25B|25|none|same|unread|en|IE|1982|198X|1983-13||X Y|yes|confirmed|choice|eye|digits|series|"
    "catalogue|absent|2-3 mm|own|12.50 EUR|12,50 EUR|a/b|whole|owned|https://a.b/c|B".split("|")
)
_NO_NUMBERS = st.sampled_from([math.nan, math.inf, -math.inf])
_KEYS = st.sampled_from(
    "source|count|country|where|figure|text|language|claim|sources|plus|en|feature|state|name|width|meaning|"
    "bad key|printer|reference|designation".split("|")
)
_VALUES: st.SearchStrategy[Any] = st.recursive(
    _WORDS | st.integers(-2, 30) | st.booleans() | st.none() | st.floats(-1, 2) | _NO_NUMBERS,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(_KEYS, inner, max_size=4),
    max_leaves=8,
)


def _sample(schema: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Values near to what a schema takes: most fit, so that a misfit is seen by itself."""
    if "enum" in schema:
        return st.sampled_from(schema["enum"])
    if "anyOf" in schema:
        return st.one_of(*map(_sample, schema["anyOf"]))
    kind = schema.get("type")
    if kind == "string":
        good = {
            "slug": "b-017", "edtf": "1982", "designation": "25B", "language": "en", "country": "IE",
            "link": "https://example.org/a", "calver": "2026.11", "full-id": "tidewrack/quay-marl/b-017",
            "money": "12.50 EUR", "length": "3 mm",
        }  # fmt: skip
        return st.just(good.get(schema.get("format", ""), "lamp-diver"))
    if kind == "integer":
        return st.integers(schema.get("minimum", 0), schema.get("maximum", 20))
    if kind == "number":
        return st.sampled_from([1, 0.5, 2.25]) | _NO_NUMBERS
    if kind == "boolean":
        return st.booleans()
    if kind == "array":
        return st.lists(_sample(schema["items"]), min_size=schema.get("minItems", 0), max_size=2)
    if "properties" in schema:
        required = {k: _sample(v) for k, v in schema["properties"].items() if k in schema["required"]}
        optional = {k: _sample(v) for k, v in schema["properties"].items() if k not in schema["required"]}
        return st.fixed_dictionaries(required, optional=optional)
    return st.dictionaries(
        _sample({"type": "string", **schema["propertyNames"]}),
        _sample(schema["additionalProperties"]),
        max_size=2,
    )


@given(st.data())
@settings(max_examples=300, deadline=None)
def test_the_typed_model_and_the_schema_give_the_same_verdict(data: st.DataObject) -> None:
    """Both ways to put a record together take it exactly when the schema finds no problem, and agree."""
    kind = data.draw(st.sampled_from(sorted(KINDS | OWN_KINDS)))
    raw = data.draw(_sample(record_schema(kind)))
    if data.draw(st.booleans()):
        key = data.draw(st.sampled_from([*record_schema(kind)["properties"], "no-such-key"]))
        if data.draw(st.booleans()):
            raw[key] = data.draw(_VALUES)
        else:
            raw.pop(key, None)
    said = problems(kind, raw)
    full = json.loads(json.dumps(raw))
    if kind in KINDS:  # the ids of a user's own records stay as they are written
        expand(kind, full, "tidewrack", "quay-marl")
    made = structure(kind, full)
    assert (made is None) == bool(said), said
    assert fitting(kind, full) == made


def test_one_mistake_is_one_problem() -> None:
    """A text that fails its format and its pattern, or its type and its bounds, is told once."""
    raw = {"id": "b-1", "designation": "25b", "series": "tidewrack", "count": 1}
    assert [p.pointer for p in problems("back", raw)] == [("designation",)]
    raw = {"id": "b-1", "designation": "25B", "series": "tidewrack", "count": "x"}
    assert [p.pointer for p in problems("back", raw)] == [("count",)]


def test_a_misspelt_key_is_told_with_the_key_that_was_meant() -> None:
    """`relased` gets `did you mean released?`, at the key."""
    (problem,) = problems(
        "back", {"id": "b-1", "designation": "25B", "series": "s", "count": 1, "relased": "1982"}
    )
    assert (problem.rule, problem.on_key, problem.meant) == ("unknown-key", True, "released")
