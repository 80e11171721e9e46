"""A report as JSON, for scripts: one object, one line a finding, nothing left out.

The shape is stated by ``schemas/report.schema.json`` (see :mod:`cardref.report.shapes`). Equal reports give
equal bytes, and all of them are ASCII: what JSON can say only with an escape is escaped by JSON, and what a
terminal would act on is already a visible escape inside the strings.

>>> import json
>>> from cardref.finding import Report
>>> json.loads("".join(render_json(Report(dataset="demo", files=3, records=40, rules=62))))["checked"]
{'files': 3, 'records': 40, 'rules': 62}
"""

import json
from collections.abc import Iterable, Iterator
from typing import Any

from cardref.finding import Accepted, Finding, Report, Severity
from cardref.location import Place
from cardref.text import visible

__all__ = ["FORMAT", "render_json"]

FORMAT = 1
"""The version of the shape; it rises when a reader of the old shape would be misled."""


def render_json(report: Report) -> Iterator[str]:
    """The report as JSON text in pieces; together they are one object and a line end."""
    counts = report.counts
    head = {
        "format": FORMAT,
        "dataset": visible(report.dataset),
        "version": visible(report.version),
        "checked": {"files": report.files, "records": report.records, "rules": report.rules},
    }
    yield json.dumps(head)[:-1] + ',\n "findings": '
    yield from _array(_finding(finding) for finding in report.findings)
    yield ',\n "waived": '
    yield from _array({**_finding(finding), "reason": visible(finding.waived)} for finding in report.waived)
    yield ',\n "skipped": '
    yield from _array(
        {"rule": visible(skipped.rule), "reason": visible(skipped.reason)} for skipped in report.skipped
    )
    yield ',\n "stale": '
    yield from _array(_accepted(entry) for entry in report.stale)
    summary = {severity.value: counts[severity] for severity in reversed(Severity)}
    yield f',\n "summary": {json.dumps({**summary, "waived": len(report.waived)})}}}\n'


def _array(items: Iterable[dict[str, Any]]) -> Iterator[str]:
    """A JSON array with one item a line."""
    before = "["
    for item in items:
        yield f"{before}\n  {json.dumps(item)}"
        before = ","
    yield "[]" if before == "[" else "\n ]"


def _finding(finding: Finding) -> dict[str, Any]:
    line, column, end_line, end_column = finding.place.span
    fix = finding.fix
    return {
        "rule": visible(finding.rule),
        "severity": finding.severity.value,
        "message": visible(finding.message),
        "path": visible(finding.place.path),
        "line": line,
        "column": column,
        "end_line": end_line,
        "end_column": end_column,
        "record": visible(finding.record),
        "field": visible(finding.field),
        "related": [_related(related.place, related.message) for related in finding.related],
        "fix": {"safe": fix.safe, "message": visible(fix.message)} if fix else None,
        "fingerprint": finding.fingerprint,
    }


def _related(place: Place, message: str) -> dict[str, Any]:
    line, column, *_ = place.span
    return {"path": visible(place.path), "line": line, "column": column, "message": visible(message)}


def _accepted(entry: Accepted) -> dict[str, Any]:
    return {
        "rule": visible(entry.rule),
        "record": visible(entry.record),
        "field": visible(entry.field),
        "fingerprint": visible(entry.fingerprint),
        "count": entry.count,
    }
