"""Only what a change touches or breaks: by record, never by line.

A finding belongs to a change when its record (or the other record of a conflict) came, went or changed, or
when it was not there before: a link that now leads nowhere stands in a record that nobody touched.

>>> import pathlib, tempfile
>>> from cardref.checks.runner import check
>>> from cardref.checks.sample import write_sample
>>> from cardref.checks.table import rule
>>> old, new = (pathlib.Path(tempfile.mkdtemp()) for _ in range(2))
>>> _ = write_sample(old, rule("tab").bad)
>>> _ = write_sample(new, rule("tab").bad, rule("unsourced-confirmation").bad)
>>> [finding.rule for finding in check(new, since=old).findings]
['unsourced-confirmation']
"""

from collections import Counter
from collections.abc import Iterable

from attrs import evolve

from cardref.checks.corpus import Corpus
from cardref.finding import Finding, Report
from cardref.storage.loader import Loaded

__all__ = ["narrowed"]


def narrowed(report: Report, before: Report, corpus: Corpus, old: Loaded) -> Report:
    """``report`` with what belongs to the change from ``old``, whose own report ``before`` is."""
    left = Counter(finding.fingerprint for finding in (*before.findings, *before.waived))
    touched = corpus.changes.touched | _unread(corpus.loaded, old)
    changed = {
        path
        for path, file in corpus.loaded.files.items()
        if path not in old.files or old.files[path].digest != file.digest
    }

    def chosen(findings: Iterable[Finding]) -> tuple[Finding, ...]:
        kept = []
        for finding in findings:
            known = left[finding.fingerprint] > 0
            left[finding.fingerprint] -= 1
            ours = (
                not touched.isdisjoint((finding.record, *finding.related_records))
                if finding.record
                else finding.place.path in changed
            )
            if ours or not known:
                kept.append(finding)
        return tuple(kept)

    return evolve(report, findings=chosen(report.findings), waived=chosen(report.waived))


def _unread(loaded: Loaded, old: Loaded) -> set[str]:
    """Ids of records that do not fit the model now and did before, or the other way round."""
    unfit = {e.id for entries in loaded.entries.values() for e in entries if e.record is None}
    were = {e.id for entries in old.entries.values() for e in entries if e.record is None}
    return (unfit ^ were) - {""}
