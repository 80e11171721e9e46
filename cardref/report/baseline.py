"""What was there before: a file of accepted findings, so that a check can be strict about what is new.

The file is JSON, ours, with one entry a line, in order of rule, record and field: a finding that goes or
comes changes one line of it. An entry accepts as many findings of its fingerprint as its count says; a
fingerprint stays the same when lines move, and changes with the offending value.

>>> from cardref.finding import Finding, Report, Severity
>>> from cardref.location import Place
>>> old = Finding(rule="count-mismatch", severity=Severity.ERROR, message="...", record="night-post/b-002",
...               field="count", value="7", place=Place("backs.yaml", 12, 5))
>>> baseline = read_baseline("".join(render_baseline(Report(dataset="demo", findings=(old,)))))
>>> new = Finding(rule="count-mismatch", severity=Severity.ERROR, message="...", record="night-post/b-003",
...               field="count", value="9", place=Place("backs.yaml", 20, 5))
>>> report = apply_baseline(Report(dataset="demo", findings=(old, new)), baseline)
>>> [f.record for f in report.findings], [f.record for f in report.waived]
(['night-post/b-003'], ['night-post/b-002'])
"""

import json
from collections import Counter
from collections.abc import Container, Iterator
from typing import Any, NoReturn

from attrs import evolve

from cardref.errors import UsageError
from cardref.finding import Accepted, Finding, Report
from cardref.text import clip, quoted, visible

__all__ = ["FORMAT", "REASON", "apply_baseline", "read_baseline", "render_baseline"]

FORMAT = 1
"""The version of the file's shape."""

REASON = "accepted by the baseline"
"""What a finding that the baseline accepts gives as the reason why it is waived."""


def render_baseline(report: Report) -> Iterator[str]:
    """The text of a baseline file that accepts every finding of ``report``, in pieces.

    Findings that an older baseline accepts are kept; those under a waiver of the dataset need none.
    """
    again = (finding for finding in report.waived if finding.waived == REASON)
    counts = Counter(_entry(finding) for finding in (*report.findings, *again))
    yield f'{{"format": {FORMAT}, "accepted": ['
    before = ""
    for entry, count in sorted(counts.items()):
        yield f"{before}\n{json.dumps(_dict(evolve(entry, count=count)))}"
        before = ","
    yield "\n]}\n"


def _entry(finding: Finding) -> Accepted:
    return Accepted(
        rule=visible(finding.rule),
        record=visible(finding.record or finding.place.path),
        field=visible(finding.field),
        fingerprint=finding.fingerprint,
    )


def _dict(entry: Accepted) -> dict[str, Any]:
    return {
        "rule": entry.rule,
        "record": entry.record,
        "field": entry.field,
        "fingerprint": entry.fingerprint,
        "count": entry.count,
    }


def read_baseline(text: str, name: str = "the baseline") -> tuple[Accepted, ...]:
    """The entries of a baseline file.

    Args:
        text: what the file holds.
        name: what to call the file in an error.

    Raises:
        UsageError: it is not such a file; the message says where, and what to do.
    """
    try:
        top = json.loads(text)
    except json.JSONDecodeError as error:
        _refuse(name, f"line {error.lineno}, column {error.colno}: this is not JSON: {error.msg}")
    except (ValueError, RecursionError):
        _refuse(name, "this is JSON that no baseline has: a number or a nesting without end")
    if not isinstance(top, dict) or "format" not in top or not isinstance(top.get("accepted"), list):
        _refuse(name, 'expected an object with "format" and a list "accepted"')
    if top["format"] != FORMAT or isinstance(top["format"], bool):
        _refuse(name, f"it has format {clip(str(top['format']), 20)}, and this program reads format {FORMAT}")
    return tuple(_read(item, number, name) for number, item in enumerate(top["accepted"], 1))


_TEXTS = ("rule", "record", "field", "fingerprint")


def _read(item: object, number: int, name: str) -> Accepted:
    if not isinstance(item, dict) or item.keys() != {*_TEXTS, "count"}:
        _refuse(name, f"entry {number}: expected an object with {', '.join(_TEXTS)} and count, no more")
    for key in _TEXTS:
        if not isinstance(item[key], str):
            _refuse(name, f"entry {number}: {key} is no text")
    count = item["count"]
    if not isinstance(count, int) or isinstance(count, bool) or count < 1:
        _refuse(name, f"entry {number}: count is no number from 1 up")
    return Accepted(**item)


def _refuse(name: str, problem: str) -> NoReturn:
    raise UsageError(
        f"{quoted(name)} is not a baseline: {problem}. Write a new one with --write-baseline and compare it"
    ) from None


def apply_baseline(
    report: Report, baseline: tuple[Accepted, ...], *, ran: Container[str] | None = None
) -> Report:
    """``report`` with the accepted findings among its waived ones, and with the entries that are stale.

    Args:
        report: what a check found.
        baseline: the entries, as :func:`read_baseline` gives them.
        ran: the ids of the rules that looked at the whole dataset, where that was not all of them. An entry
            of another rule may match nothing without being stale.
    """
    entries: dict[str, Accepted] = {}
    for entry in baseline:
        known = entries.get(entry.fingerprint)
        # A merge of two branches can leave an entry twice: the larger count covers both of them.
        if known is None or known.count < entry.count:
            entries[entry.fingerprint] = entry
    left = {fingerprint: entry.count for fingerprint, entry in entries.items()}
    findings: list[Finding] = []
    accepted: list[Finding] = []
    for finding in report.findings:
        if left.get(finding.fingerprint, 0):
            left[finding.fingerprint] -= 1
            accepted.append(evolve(finding, waived=REASON))
        else:
            findings.append(finding)
    for finding in report.waived:
        # A finding under a waiver of the dataset is still there, so its entry is not stale.
        if left.get(finding.fingerprint, 0):
            left[finding.fingerprint] -= 1
    silent = {skipped.rule for skipped in report.skipped}
    stale = sorted(
        evolve(entry, count=left[entry.fingerprint])
        for entry in entries.values()
        if left[entry.fingerprint] and entry.rule not in silent and (ran is None or entry.rule in ran)
    )
    return evolve(
        report, findings=tuple(findings), waived=(*report.waived, *accepted), stale=(*report.stale, *stale)
    )
