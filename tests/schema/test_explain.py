"""What is told of a record that does not fit: the rule, the way to the fault, and words that help."""

import math
from typing import Any

import pytest

from cardref.schema.explain import MAX_PROBLEMS, problems
from cardref.schema.pieces import (
    DRAFT,
    TEXT,
    answer_schema,
    at_least,
    described,
    exactly,
    list_of,
    one_of,
    or_null,
)
from cardref.severity import Severity

RIGHT: dict[str, dict[str, Any]] = {
    "source": {"id": "a", "kind": "catalogue", "citation": "Spring list (invented)"},
    "back": {"id": "b-1", "designation": "25B", "series": "tidewrack", "count": 25},
    "face": {"id": "f-1", "figure": "lamp-diver", "series": "tidewrack"},
    "figure": {"id": "a", "names": [{"text": "Ada", "language": "en"}]},
    "feature": {"id": "a", "title": "A", "where": "w", "how": "h", "kind": "count", "side": "back"},
    "card": {"id": "c-1", "face": "f-1", "back": "b-1"},
}
SORTS = "specimen, photograph, catalogue, papers, print, reference, interview, listing, hearsay"
SLUG = "a short name of lower-case letters, digits and single hyphens"
EDTF = 'it must be a date in EDTF such as "1982"'
NUMBER = "it must be a whole number"
SLIP = {"pictures": {"slips": [{"figure": "a", "time": 2}]}}
ROLES = {"roles": {"maker": "m"}}


@pytest.mark.parametrize(
    ("kind", "raw", "rule", "way", "message"),
    [
        ("source", {"kind": "catalog"}, "wrong-value", "kind",
         "'catalog'; did you mean catalogue? Allowed: " + SORTS),
        ("source", {"kind": "zzz"}, "wrong-value", "kind", "kind is 'zzz'; Allowed: " + SORTS),
        ("source", {"citation": 7}, "written-form", "citation",
         "text, but 7 without quotes is a number to YAML"),
        ("source", {"citation": True}, "written-form", "citation",
         "true without quotes is true or false to YAML"),
        ("source", {"citation": None}, "wrong-type", "citation", "citation has no value: write text"),
        ("source", {"citation": ["a"]}, "wrong-type", "citation", "citation is a list; it must be text"),
        ("source", {"citation": {}}, "wrong-type", "citation", "citation is a mapping; it must be text"),
        ("source", {"citation": ""}, "wrong-value", "citation", "citation is empty: write something"),
        ("source", {"date": "1982-13"}, "ill-formed", "date", f"'1982-13' (there is no month 13); {EDTF}"),
        ("source", {"date": "1982!"}, "ill-formed", "date", f"'1982!' (not expected here: '!'); {EDTF}"),
        ("source", {"id": "A b"}, "ill-formed", "id", f"id is 'A b'; it must be {SLUG}"),
        ("source", {"sort": "x"}, "unknown-key", "sort",
         "'sort'; the keys are id, kind, citation, date, link, note"),
        ("source", {"citaton": "x"}, "unknown-key", "citaton", "no key 'citaton'; did you mean citation?"),
        ("back", {"count": "25"}, "wrong-type", "count", f"count is text; {NUMBER}"),
        ("back", {"count": 2.5}, "wrong-type", "count", f"count is a number; {NUMBER}"),
        ("back", {"count": 25.0}, "wrong-type", "count", f"count is a number; {NUMBER}"),
        ("back", {"count": -1}, "out-of-range", "count", "count is -1; the least is 0"),
        ("back", {"count": 1000}, "out-of-range", "count", "count is 1000; the most is 999"),
        ("back", {"languages": "en"}, "wrong-type", "languages", "languages is text; it must be a list"),
        ("back", {"languages": ["en", "x y"]}, "ill-formed", "languages.1",
         "languages[2] is 'x y'; it must be a"),
        ("back", SLIP, "unknown-key", "pictures.slips.0.time", "in pictures.slips[1]; did you mean times?"),
        ("back", {"pictures": {"slips": [{}]}}, "missing-key", "pictures.slips.0",
         "pictures.slips[1].figure is missing"),
        ("back", {"features": {"rope": []}}, "wrong-type", "features.rope",
         "features.rope is a list. Write a state"),
        ("back", {"features": {"Rope": "x"}}, "ill-formed", "features.Rope",
         f"'Rope' in features must be {SLUG}"),
        ("back", {"claimed": "many"}, "wrong-type", "claimed", "claimed is 'many'. How many figures it says"),
        ("back", {"claimed": math.inf}, "wrong-type", "claimed", "claimed is infinite. How many figures"),
        ("back", {"claimed": math.nan}, "wrong-type", "claimed", "claimed is not a number. How many figures"),
        ("face", {"codes": []}, "wrong-type", "codes", "codes is a list. Package codes verbatim"),
        ("figure", {"names": []}, "wrong-value", "names", "names is an empty list: write something"),
        ("feature", {"effort": math.nan}, "wrong-type", "effort",
         "effort is no finite number; it must be a number"),
        ("feature", {"effort": 0}, "out-of-range", "effort", "effort is 0; the least is 0.1"),
        ("card", ROLES, "ill-formed", "roles.maker", "in roles must be one of printer, licensee, seller"),
    ],
)  # fmt: skip
def test_a_fault_is_told_in_words(kind: str, raw: Any, rule: str, way: str, message: str) -> None:
    """One fault of each sort: its rule, the way to it, what is and what must be."""
    (found,) = problems(kind, {**RIGHT[kind], **raw})
    assert (found.rule, ".".join(map(str, found.pointer))) == (rule, way)
    assert message in found.message


def test_what_is_no_mapping_is_no_record() -> None:
    """A list where a record must be is told as that."""
    (found,) = problems("source", [])
    assert found.message == "the record is a list; it must be a mapping"


@pytest.mark.parametrize(
    ("kind", "raw", "meant", "on_key", "value"),
    [
        ("source", {**RIGHT["source"], "kind": "catalog"}, "catalogue", False, "catalog"),
        ("source", {**RIGHT["source"], "kind": "zzz"}, "", False, "zzz"),
        ("source", {**RIGHT["source"], "citaton": "x"}, "", True, "citaton"),  # citation is there already
        ("source", {"id": "a", "kind": "print", "citaton": "x"}, "citation", True, "citaton"),
        ("source", {**RIGHT["source"], "citation": 1982}, "1982", False, "1982"),
        ("source", {**RIGHT["source"], "citation": False}, "false", False, "false"),
        ("back", {**RIGHT["back"], "features": {"Rope": "x"}}, "", True, "Rope"),
        ("source", {"id": "a", "citation": "x"}, "", False, "kind"),
    ],
)
def test_a_fault_tells_what_was_probably_meant(
    kind: str, raw: Any, meant: str, on_key: bool, value: str
) -> None:
    """What would mend it, whether the key itself is at fault, and what stands there."""
    found = problems(kind, raw)[0]
    assert (found.meant, found.on_key, found.value) == (meant, on_key, value)


def test_every_mistake_is_told_and_each_once() -> None:
    """Several keys at one place are several mistakes; a value that misses two conditions is one."""
    told = problems("back", {"ids": "x", "desgnation": 7, "count": True})
    assert sorted((problem.rule, problem.value) for problem in told) == [
        ("missing-key", "designation"),
        ("missing-key", "id"),
        ("missing-key", "series"),
        ("unknown-key", "desgnation"),
        ("unknown-key", "ids"),
        ("wrong-type", "true"),
    ]
    assert all(problems(kind, right) == [] for kind, right in RIGHT.items())


def test_of_many_faults_the_first_hundred_are_told() -> None:
    """A record with thousands of faults takes no longer to read about than anybody will read."""
    told = problems("back", {**RIGHT["back"], "languages": ["X"] * 5000})
    assert len(told) == MAX_PROBLEMS == 100


# --- pieces of schema ------------------------------------------------------------------------------------


def test_the_pieces_of_a_schema() -> None:
    """What each piece takes, as JSON Schema writes it; nothing shared is changed."""
    assert exactly(a=TEXT) == {
        "type": "object", "additionalProperties": False, "required": ["a"], "properties": {"a": TEXT},
    }  # fmt: skip
    assert at_least({"a": TEXT}) == {"type": "object", "required": ["a"], "properties": {"a": TEXT}}
    assert list_of(TEXT) == {"type": "array", "items": TEXT}
    assert list_of(TEXT, 2) == {"type": "array", "items": TEXT, "minItems": 2}
    assert one_of((*Severity, None)) == {"enum": ["note", "warning", "error", None]}
    assert or_null(TEXT) == {"anyOf": [{"type": "null"}, TEXT]}
    assert described(TEXT, "a text") == {"type": "string", "description": "a text"}
    assert TEXT == {"type": "string"}


def test_an_answer_tells_what_was_asked() -> None:
    """Every answer names the dataset, its version and its fingerprint, so that it can be cited."""
    schema = answer_schema("x", "cardref x", items=list_of(TEXT))
    assert (schema["$schema"], schema["$id"], schema["title"]) == (
        DRAFT,
        "urn:cardref:schema:1:x",
        "cardref x",
    )
    assert schema["required"] == ["format", "dataset", "version", "fingerprint", "items"]
    assert schema["properties"]["format"] == {"const": 1}
