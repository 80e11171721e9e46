"""Findings that the dataset itself accepts for now: by rule, record and perhaps field, with a reason.

>>> waiver = Waiver(rule="letter-gap", record="tidewrack/quay-marl/b-001", expires=Date.parse("2026-06"))
>>> has_expired(waiver, dt.date(2026, 6, 30)), has_expired(waiver, dt.date(2026, 7, 1))
(False, True)
"""

import datetime as dt
from collections.abc import Iterable

from attrs import define, evolve, field

from cardref.checks.corpus import Corpus
from cardref.finding import Finding
from cardref.model.bookkeeping import Waiver
from cardref.notation.edtf import Date

__all__ = ["Waiving", "has_expired"]

NO_REASON = "no reason is given"


def has_expired(waiver: Waiver, today: dt.date) -> bool:
    """Whether the day until which it holds is surely over; one without a day never expires."""
    return waiver.expires is not None and waiver.expires.before(Date.parse(today.isoformat())) is True


@define
class Waiving:
    """The waivers of a dataset that hold today, and which of them were of use."""

    by_target: dict[tuple[str, str], list[tuple[int, Waiver]]]
    used: set[int] = field(factory=set)

    @classmethod
    def of(cls, corpus: Corpus) -> "Waiving":
        """The waivers in ``waivers.yaml``; those that have expired waive nothing."""
        found: dict[tuple[str, str], list[tuple[int, Waiver]]] = {}
        for number, (_, waiver) in enumerate(corpus.records("waiver", Waiver)):
            if not has_expired(waiver, corpus.today):
                found.setdefault((waiver.rule, waiver.record), []).append((number, waiver))
        return cls(found)

    def split(self, findings: Iterable[Finding]) -> tuple[list[Finding], list[Finding]]:
        """Findings that stand, and findings that are accepted, in their order."""
        standing: list[Finding] = []
        accepted: list[Finding] = []
        for finding in findings:
            reason = self._reason(finding) if self.by_target else ""
            if reason:
                accepted.append(evolve(finding, waived=reason))
            else:
                standing.append(finding)
        return standing, accepted

    def _reason(self, finding: Finding) -> str:
        for record in (finding.record, *finding.related_records):
            for number, waiver in self.by_target.get((finding.rule, record), ()):
                if waiver.field in ("", finding.field) or finding.field.startswith(waiver.field + "."):
                    self.used.add(number)
                    return waiver.reason or NO_REASON
        return ""
