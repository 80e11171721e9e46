"""A report as SARIF 2.1.0, the OASIS standard for results of static analysis.

https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/sarif-v2.1.0-errata01-os-complete.html
The section numbers in the comments below are of that text, from memory; what the standard's own JSON Schema
demands is tested.

>>> import json
>>> from cardref.finding import Report
>>> log = json.loads("".join(render_sarif(Report(dataset="demo", files=1, rules=1), (), version="0.1.0")))
>>> log["version"], log["runs"][0]["results"], log["runs"][0]["invocations"][0]["executionSuccessful"]
('2.1.0', [], True)
"""

import json
import posixpath
import re
from collections.abc import Iterable, Iterator
from itertools import chain
from typing import Any, Protocol
from urllib.parse import quote

from cardref.finding import Edit, Finding, Fix, Report, Severity
from cardref.location import Place
from cardref.report.summary import stale_entries, summary
from cardref.text import visible

__all__ = ["RuleData", "render_sarif"]

_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
_BASE = "SRCROOT"


class RuleData(Protocol):
    """What a report says about a rule; the rules of :mod:`cardref.checks` have it."""

    @property
    def id(self) -> str:
        """The rule's id."""

    @property
    def severity(self) -> Severity:
        """How bad its findings are unless a dataset says otherwise."""

    @property
    def summary(self) -> str:
        """What it wants, in one sentence."""

    @property
    def rationale(self) -> str:
        """Why it matters to a collector."""


def render_sarif(
    report: Report, rules: Iterable[RuleData], *, version: str = "", base: str = ""
) -> Iterator[str]:
    """The report as SARIF text in pieces; together they are one JSON object and a line end, all ASCII.

    Args:
        report: what to tell; waived findings are among the results, as suppressed ones.
        rules: the rules that a reader may want explained. A finding of another rule is told all the same.
        version: the version of this program.
        base: the dataset's folder as seen from the top of the repository, with ``/``; the locations are
            relative to that top.
    """
    descriptors = {rule.id: _descriptor(rule) for rule in rules}
    for finding in chain(report.findings, report.waived):
        if finding.rule not in descriptors:
            descriptors[finding.rule] = {"id": visible(finding.rule)}
    index = {rule: number for number, rule in enumerate(descriptors)}
    driver: dict[str, Any] = {
        "name": "cardref",
        **({"version": visible(version)} if version else {}),
        "rules": list(descriptors.values()),
        "notifications": [
            {"id": name, "shortDescription": {"text": text}} for name, text in _NOTIFICATIONS.items()
        ],
    }
    yield f'{{"$schema": {json.dumps(_SCHEMA)}, "version": "2.1.0", "runs": [{{\n"tool": '
    yield json.dumps({"driver": driver})
    yield ',\n"invocations": ' + json.dumps([_invocation(report, index)])
    top = "the top of the repository" if base else "the folder of the dataset"
    yield ',\n"originalUriBaseIds": ' + json.dumps({_BASE: {"description": {"text": top}}})
    yield ',\n"columnKind": "unicodeCodePoints",\n"results": ['
    before = ""
    for finding in chain(report.findings, report.waived):
        yield f"{before}\n{json.dumps(_result(finding, index[finding.rule], base))}"
        before = ","
    yield "\n]}]}\n"


_NOTIFICATIONS = {
    "rule-not-run-in-full": "A rule could not be run, or not over everything; the message says why.",
    "nothing-checked": "Nothing was checked.",
    "stale-baseline": "The baseline accepts a finding that is there no more.",
}


def _descriptor(rule: RuleData) -> dict[str, Any]:
    return {
        "id": visible(rule.id),
        "shortDescription": {"text": _plain(rule.summary)},
        "fullDescription": {"text": _plain(rule.rationale)},
        "help": {"text": _plain(f"{rule.rationale} Examples: cardref rules {rule.id}")},
        "defaultConfiguration": {"level": rule.severity.value},
    }


def _invocation(report: Report, index: dict[str, int]) -> dict[str, Any]:
    notes = []
    for skipped in report.skipped:
        rule = {"id": visible(skipped.rule)}
        notes.append(
            _notification(
                "rule-not-run-in-full", "warning", f"{skipped.rule} was not run in full: {skipped.reason}"
            )
            | {
                "associatedRule": rule | {"index": index[skipped.rule]} if skipped.rule in index else rule,
            }
        )
    if not report.checked:
        notes.append(_notification("nothing-checked", "error", summary(report)))
    notes += [_notification("stale-baseline", "note", line) for line in stale_entries(report)]
    return {"executionSuccessful": report.checked, "toolExecutionNotifications": notes}


def _notification(name: str, level: str, text: str) -> dict[str, Any]:
    return {"descriptor": {"id": name}, "level": level, "message": {"text": _plain(text)}}


def _result(finding: Finding, rule: int, base: str) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": visible(finding.rule),
        "ruleIndex": rule,
        "level": finding.severity.value,
        "message": {"text": _plain(finding.message)},
        "locations": [_location(finding.place, base) | _logical(finding)],
        "partialFingerprints": {"cardrefFinding/v1": finding.fingerprint},
        # 3.27.23: all results have suppressions or none has; an empty array says "not suppressed".
        "suppressions": [],
    }
    if finding.related:
        result["relatedLocations"] = [
            {"id": number, **_location(related.place, base), "message": {"text": _plain(related.message)}}
            for number, related in enumerate(finding.related, 1)
        ]
    fix = _fix(finding.fix, base) if finding.fix else None
    if fix:
        result["fixes"] = [fix]
    if finding.waived:
        result["suppressions"] = [{"kind": "external", "justification": visible(finding.waived)}]
    if finding.field:
        result["properties"] = {"field": visible(finding.field)}
    return result


def _logical(finding: Finding) -> dict[str, Any]:
    """Which record it is about, beside where it stands."""
    if not finding.record:
        return {}
    full = visible(finding.record)
    return {"logicalLocations": [{"name": full.rpartition("/")[2], "fullyQualifiedName": full}]}


def _location(place: Place, base: str) -> dict[str, Any]:
    region = {"region": _region(place)} if place.line else {}
    return {"physicalLocation": {"artifactLocation": _artifact(place.path, base), **region}}


def _artifact(path: str, base: str) -> dict[str, Any]:
    return {"uri": _uri(posixpath.join(base, path) if path else base), "uriBaseId": _BASE}


def _region(place: Place) -> dict[str, Any]:
    line, column, end_line, end_column = place.span
    return {"startLine": line, "startColumn": column, "endLine": end_line, "endColumn": end_column}


def _uri(path: str) -> str:
    """A relative URI reference (RFC 3986, 4.2) to a path, of which every special sign is encoded."""
    try:
        # A file name that is not UTF-8 reaches Python with its bytes as lone surrogates (PEP 383).
        encoded = quote(path, safe="/", errors="surrogateescape")
    except UnicodeEncodeError:
        encoded = quote(path, safe="/", errors="surrogatepass")
    # A slash first would name a host or the root, and nothing at all is the base itself.
    return f".{encoded}" if encoded.startswith("/") else encoded or "."


def _fix(fix: Fix, base: str) -> dict[str, Any] | None:
    """The change as SARIF has it, or None where it cannot be said: no edits, or one without a line."""
    by_path: dict[str, list[Edit]] = {}
    for edit in fix.edits:
        if not edit.place.line or not _encodable(edit.text):
            return None
        by_path.setdefault(edit.place.path, []).append(edit)
    if not by_path:
        return None
    return {
        "description": {"text": _plain(fix.message if fix.safe else f"{fix.message} (unsafe: look first)")},
        "artifactChanges": [
            {
                "artifactLocation": _artifact(path, base),
                "replacements": [
                    # Not made visible: this text is to be written, and JSON's own escapes keep it inert.
                    {"deletedRegion": _region(edit.place), "insertedContent": {"text": edit.text}}
                    for edit in edits
                ],
            }
            for path, edits in by_path.items()
        ],
    }


def _encodable(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True


_PLACEHOLDER = re.compile(r"\{([0-9]+)\}")


def _plain(text: str) -> str:
    """Text for a message of SARIF, in which data can be neither a placeholder nor a link.

    ``{0}`` stands for an argument (3.11.5) unless its braces are doubled, and ``[text](target)`` is a link
    (3.11.6): a space between the brackets makes it text again.
    """
    return _PLACEHOLDER.sub(r"{{\1}}", visible(text)).replace("](", "] (")
