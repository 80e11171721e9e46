"""What a report comes to, in one true sentence: shared by the formats that people read.

"Clean" is said only where something was checked, every rule ran in full and nothing was found.

>>> from cardref.finding import Report
>>> summary(Report(dataset="demo"))
'nothing was checked: no file could be read'
>>> summary(Report(dataset="demo", files=3, records=40, rules=62))
'clean: nothing found in 3 files (40 records, 62 rules)'
"""

from collections.abc import Iterator

from cardref.finding import Report, Severity, Skipped
from cardref.text import clip, count_of, visible

__all__ = ["skipped_rules", "stale_entries", "summary"]

_NAMED = 3
"""How many names stand in a sentence before the rest is counted."""


def summary(report: Report) -> str:
    """One line without a full stop, true of the whole report."""
    parts = []
    counts = {severity: number for severity, number in report.counts.items() if number}
    found = ", ".join(
        count_of(counts[severity], severity.value)
        for severity in (Severity.ERROR, Severity.WARNING, Severity.NOTE)
        if severity in counts
    )
    extent = f"({count_of(report.records, 'record')}, {count_of(report.rules, 'rule')})"
    if not report.checked:
        parts.append(
            "nothing was checked: " + ("no rule was run" if report.files else "no file could be read")
        )
        if found:
            parts.append(found)
    elif found:
        touched = len({finding.place.path for finding in report.findings})
        # A finding may be about a file that is missing, so more can be touched than were read.
        where = f"{touched} of " if touched <= report.files else ""
        parts.append(f"{found} in {where}{count_of(report.files, 'file')} {extent}")
    else:
        clean = "nothing found" if report.skipped or report.waived else "clean: nothing found"
        parts.append(f"{clean} in {count_of(report.files, 'file')} {extent}")
    if report.skipped:
        held = len({skipped.rule for skipped in report.skipped})
        parts.append(f"{count_of(held, 'rule')} not run in full")
    if report.waived:
        parts.append(f"{len(report.waived)} waived")
    fixable = sum(1 for finding in report.findings if finding.fix and finding.fix.safe and finding.fix.edits)
    if fixable:
        parts.append(f"cardref fix can mend {fixable}")
    return "; ".join(parts)


def skipped_rules(report: Report) -> Iterator[str]:
    """One line for each reason, with the rules that it held back."""
    by_reason: dict[str, list[Skipped]] = {}
    for skipped in report.skipped:
        by_reason.setdefault(skipped.reason, []).append(skipped)
    for reason, group in by_reason.items():
        named = ", ".join(visible(skipped.rule) for skipped in group[:_NAMED])
        more = f" and {len(group) - _NAMED} more" if len(group) > _NAMED else ""
        yield f"not run in full: {named}{more}: {clip(reason, 300)}"


def stale_entries(report: Report) -> Iterator[str]:
    """What the baseline accepts and no finding matches any more, and the next step."""
    for entry in report.stale[:_NAMED]:
        where = " ".join(visible(part) for part in (entry.record, entry.field) if part)
        times = f" ({entry.count} times)" if entry.count > 1 else ""
        yield f"baseline: {visible(entry.rule)} {where}{times} is there no more"
    if len(report.stale) > _NAMED:
        yield f"baseline: and {count_of(len(report.stale) - _NAMED, 'more entry', 'more entries')}"
    if report.stale:
        yield "baseline: write it again with --write-baseline, so that these cannot come back unseen"
