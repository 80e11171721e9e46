"""What a check has to say, as values: findings with a place, and the report that holds them.

>>> finding = Finding(rule="count-mismatch", severity=Severity.ERROR, message="pictures 24, count says 25",
...                   place=Place("lines/tidewrack/backs/quay-marl.yaml", 12, 5))
>>> report = Report(dataset="demo", findings=(finding,))
>>> report.clean, report.counts[Severity.ERROR]
(False, 1)
"""

import enum
import hashlib


from attrs import frozen

from cardref.location import Place

__all__ = ["Edit", "Finding", "Fix", "Related", "Report", "Severity", "Skipped"]


class Severity(enum.StrEnum):
    """How bad: *error* cannot be true or cannot be read, *warning* very likely a slip, *note* incomplete."""

    NOTE = "note"
    WARNING = "warning"
    ERROR = "error"

    @property
    def rank(self) -> int:
        """0 for a note, 1 for a warning, 2 for an error."""
        return ("note", "warning", "error").index(self.value)


@frozen
class Related:
    """Another place that belongs to the finding, and what stands there."""

    place: Place
    message: str


@frozen
class Edit:
    """Replace the text at ``place`` (an empty span inserts) by ``text``."""

    place: Place
    text: str


@frozen
class Fix:
    """A change that makes the finding go away; *safe* when it cannot change what the record says."""

    message: str
    safe: bool
    edits: tuple[Edit, ...] = ()


@frozen(kw_only=True)
class Finding:
    """One thing that a check has to say.

    Attributes:
        rule: the rule's id, as ``cardref rules`` lists it.
        severity: error, warning or note.
        message: which record, what is, what was expected, what to do.
        place: where; line 0 when the file as a whole is meant.
        record: full id of the record, or "".
        field: the key inside the record, dotted, or "".
        value: the offending value as text; part of the finding's identity.
        related: other places, and for a two-sided conflict the other side.
        fix: what would mend it, if that is known.
        waived: the reason given for accepting it, or "".
    """

    rule: str
    severity: Severity
    message: str
    place: Place
    record: str = ""
    field: str = ""
    value: str = ""
    related: tuple[Related, ...] = ()
    related_records: tuple[str, ...] = ()
    fix: Fix | None = None
    waived: str = ""

    @property
    def fingerprint(self) -> str:
        """16 hex digits that stay the same when lines move: rule, record (else path), field, value, others."""
        parts = (self.rule, self.record or self.place.path, self.field, self.value, *sorted(self.related_records))
        return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()[:16]


@frozen
class Skipped:
    """A rule that could not run, and why: what it stands on was itself at fault."""

    rule: str
    reason: str


@frozen(kw_only=True)
class Report:
    """The answer of a check.

    Attributes:
        dataset: what was checked, as given.
        version: the dataset's version, or "" where it could not be read.
        findings: in the order of files, lines and rules; waived ones are not among them.
        waived: findings that a waiver or a baseline accepts.
        skipped: rules that could not run, each with the reason.
        files, records, rules: how much was looked at.
    """

    dataset: str
    version: str = ""
    findings: tuple[Finding, ...] = ()
    waived: tuple[Finding, ...] = ()
    skipped: tuple[Skipped, ...] = ()
    files: int = 0
    records: int = 0
    rules: int = 0

    @property
    def clean(self) -> bool:
        """Nothing at or above a warning was found, and something was looked at."""
        return self.worst is None or self.worst is Severity.NOTE

    @property
    def worst(self) -> Severity | None:
        """The highest severity found, or None."""
        return max((f.severity for f in self.findings), key=lambda s: s.rank, default=None)

    @property
    def counts(self) -> dict[Severity, int]:
        """How many findings of each severity."""
        counts = dict.fromkeys(Severity, 0)
        for finding in self.findings:
            counts[finding.severity] += 1
        return counts

    def at_least(self, severity: Severity) -> tuple[Finding, ...]:
        """The findings of this severity or worse."""
        return tuple(f for f in self.findings if f.severity.rank >= severity.rank)
