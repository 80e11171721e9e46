"""What a check has to say, as values: findings with a place, and the report that holds them.

>>> finding = Finding(rule="count-mismatch", severity=Severity.ERROR, message="pictures 24, count says 25",
...                   place=Place("lines/tidewrack/backs/quay-marl.yaml", 12, 5))
>>> report = Report(dataset="demo", findings=(finding,), files=1, rules=1)
>>> report.clean, report.counts[Severity.ERROR]
(False, 1)
"""

from attrs import frozen

from cardref.location import Place
from cardref.severity import Severity

__all__ = ["Accepted", "Edit", "Finding", "Fix", "Related", "Report", "Severity", "Skipped"]


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
        related_records: full ids of the other records of a conflict; part of the finding's identity.
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
        """16 hex digits, the same when lines move: from rule, record (else path), field, value, others."""
        parts = (
            self.rule,
            self.record or self.place.path,
            self.field,
            self.value,
            *sorted(self.related_records),
        )
        import hashlib  # noqa: PLC0415 - slow to load, and only reports need it

        return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()[:16]


@frozen
class Skipped:
    """A rule that could not run, or not over everything, and why: its ground is missing or at fault."""

    rule: str
    reason: str


@frozen(order=True)
class Accepted:
    """An entry of a baseline: so many findings with this identity were there before and are accepted.

    Rule, record (or path) and field are there for the reader; the fingerprint alone decides what matches.
    """

    rule: str
    record: str
    field: str
    fingerprint: str
    count: int = 1


@frozen(kw_only=True)
class Report:
    """The answer of a check.

    Attributes:
        dataset: what was checked, as given.
        version: the dataset's version, or "" where it could not be read.
        findings: in the order of files, lines and rules; waived ones are not among them.
        waived: findings that a waiver or a baseline accepts.
        skipped: rules that could not run, or not over everything, each with the reason; one rule can be there
            for several reasons.
        stale: entries of the baseline that match nothing any more, with how many were not found.
        files, records, rules: how many files were read, records seen and rules run.
    """

    dataset: str
    version: str = ""
    findings: tuple[Finding, ...] = ()
    waived: tuple[Finding, ...] = ()
    skipped: tuple[Skipped, ...] = ()
    stale: tuple[Accepted, ...] = ()
    files: int = 0
    records: int = 0
    rules: int = 0

    @property
    def checked(self) -> bool:
        """Whether anything was looked at: a file was read and a rule was run."""
        return self.files > 0 and self.rules > 0

    @property
    def clean(self) -> bool:
        """Something was looked at, no rule was held back, and nothing at or above a warning was found."""
        return self.checked and not self.skipped and self.worst in (None, Severity.NOTE)

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
