"""The JSON format: the shape that scripts rely on, nothing left out, nothing raw."""

import json
import unicodedata
from itertools import islice
from typing import Any

import pytest
from hypothesis import given
from jsonschema import Draft202012Validator

from cardref.finding import Finding, Fix, Related, Report, Severity, Skipped
from cardref.location import Place
from cardref.report import render_json
from cardref.report.shapes import report_schema
from tests.report.made import finding, report, reports

VALIDATOR = Draft202012Validator(report_schema())


def _json(made: Report) -> Any:
    return json.loads("".join(render_json(made)))


def test_the_shape_is_the_documented_one() -> None:
    """Every documented key is there, with the documented meaning."""
    made = finding(
        related=(Related(Place("line.yaml", 3, 1), "the wave"),),
        fix=Fix("write count: 24", safe=True),
    )
    assert _json(
        report(made, waived=(finding(waived="disputed", place=Place("f")),), skipped=(Skipped("r", "why"),))
    ) == {
        "format": 1,
        "dataset": "demo",
        "version": "2031.4",
        "checked": {"files": 3, "records": 40, "rules": 62},
        "findings": [
            {
                "rule": "count-mismatch",
                "severity": "error",
                "message": "quay-marl 25B pictures 24 figures, its count says 25",
                "path": "backs.yaml",
                "line": 2,
                "column": 8,
                "end_line": 2,
                "end_column": 10,
                "record": "night-post/b-002",
                "field": "count",
                "related": [{"path": "line.yaml", "line": 3, "column": 1, "message": "the wave"}],
                "fix": {"safe": True, "message": "write count: 24"},
                "fingerprint": made.fingerprint,
            }
        ],
        "waived": [
            {
                "rule": "count-mismatch",
                "severity": "error",
                "message": "quay-marl 25B pictures 24 figures, its count says 25",
                "path": "f",
                "line": 1,
                "column": 1,
                "end_line": 1,
                "end_column": 1,
                "record": "night-post/b-002",
                "field": "count",
                "related": [],
                "fix": None,
                "fingerprint": made.fingerprint,
                "reason": "disputed",
            }
        ],
        "skipped": [{"rule": "r", "reason": "why"}],
        "stale": [],
        "summary": {"error": 1, "warning": 0, "note": 0, "waived": 1},
    }


def test_a_thousand_equal_findings_are_all_there() -> None:
    """JSON summarises nothing."""
    assert len(_json(report(*[finding() for _ in range(1000)]))["findings"]) == 1000


@given(reports)
def test_every_report_fits_the_schema(made: Report) -> None:
    """Whatever is in a report, its JSON is valid against our own schema."""
    VALIDATOR.validate(_json(made))


@given(reports)
def test_the_output_is_ascii_and_its_texts_are_inert(made: Report) -> None:
    """The bytes are plain ASCII lines, and no string in them holds a control sign or a lone surrogate."""
    text = "".join(render_json(made))
    assert text.isascii()
    assert all(line.isprintable() for line in text.split("\n"))

    def look(value: Any) -> None:
        if isinstance(value, str):
            assert not {unicodedata.category(sign) for sign in value} & {"Cc", "Cs", "Zl", "Zp"}
            assert "\u202e" not in value
        for inner in value.values() if isinstance(value, dict) else value if isinstance(value, list) else ():
            look(inner)

    look(json.loads(text))


@given(reports)
def test_equal_reports_give_equal_bytes(made: Report) -> None:
    """Nothing in the output depends on anything but the report."""
    assert list(render_json(made)) == list(render_json(made))


@given(reports)
def test_the_summary_counts_the_findings(made: Report) -> None:
    """The numbers of the summary are those of the lists beside it."""
    top = _json(made)
    for severity in Severity:
        assert top["summary"][severity.value] == sum(f["severity"] == severity.value for f in top["findings"])
    assert top["summary"]["waived"] == len(top["waived"])
    assert list(top["summary"]) == ["error", "warning", "note", "waived"]


def test_a_piece_is_at_most_one_finding() -> None:
    """Output comes finding by finding, so that fifty thousand need no more memory than one."""
    made = report(*[finding() for _ in range(50_000)])
    pieces = list(islice(render_json(made), 100))
    assert max(piece.count('"rule":') for piece in pieces) == 1


@pytest.mark.parametrize(
    "change",
    [
        {"severity": "fatal"},
        {"line": 0},
        {"column": "5"},
        {"fingerprint": "xyz"},
        {"fix": {"message": "no word on safety"}},
        {"related": [{"path": "f"}]},
    ],
)
def test_the_schema_refuses_what_the_format_never_says(change: dict[str, Any]) -> None:
    """The schema is more than a list of keys: a wrong value fails it."""
    top = _json(report(finding()))
    top["findings"][0] |= change
    assert not VALIDATOR.is_valid(top)


@pytest.mark.parametrize("key", ["format", "checked", "findings", "summary"])
def test_the_schema_demands_the_documented_keys(key: str) -> None:
    """A report without a documented key fails the schema."""
    top = _json(report(finding()))
    del top[key]
    assert not VALIDATOR.is_valid(top)


def test_a_fingerprint_outlives_a_move_and_not_a_change() -> None:
    """Line, message and severity are no part of a finding's identity; rule, record, field and value are."""
    first = finding()
    moved = finding("other words", place=Place("elsewhere.yaml", 99, 1), severity=Severity.NOTE)
    assert moved.fingerprint == first.fingerprint
    others = [finding(rule="x"), finding(record="x"), finding(value="26")]
    assert first.fingerprint not in {other.fingerprint for other in others}


def test_a_fingerprint_without_a_record_is_that_of_its_file() -> None:
    """A finding about a file is told apart from the same finding about another file."""
    one, other = (
        Finding(rule="empty-file", severity=Severity.ERROR, message="", place=Place(path)) for path in "ab"
    )
    assert one.fingerprint != other.fingerprint
