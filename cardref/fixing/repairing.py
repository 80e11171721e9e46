r"""The fixes that findings propose, carried out on a copy first.

A fix is kept only if, checked again, its finding is gone and no new one has come. One exception: where a
record could not be read before and can be now, what it says is judged for the first time, and those findings
are told apart as *shown*. A fix that does not hold is dropped and named.

>>> import tempfile, pathlib
>>> from cardref.checks.rule import Example
>>> from cardref.checks.sample import SAMPLE, write_sample
>>> text = SAMPLE["makers.yaml"].replace("country: IE", "country: NO")
>>> folder = write_sample(pathlib.Path(tempfile.mkdtemp()), Example("makers.yaml", text))
>>> done = repair(folder)
>>> [finding.rule for finding in done.fixed]
['written-form']
>>> [line for line in done.changes[0].diff().splitlines() if line[0] == "+"]
['+++ makers.yaml', '+    country: "NO"']
"""

import datetime as dt
import os
import shutil
import tempfile
from bisect import bisect, insort
from collections import Counter
from collections.abc import Callable, Collection, Iterable
from pathlib import Path

from attrs import define, field, frozen

from cardref.checks.rule import Rule
from cardref.checks.runner import check
from cardref.errors import DatasetError
from cardref.finding import Edit, Finding, Report
from cardref.storage.atomic import Change, read_bytes
from cardref.storage.draft import kept_canonical
from cardref.storage.edit import apply_edits
from cardref.storage.loader import load_tree
from cardref.storage.yamltext import decode

__all__ = ["Dropped", "Repair", "repair"]


@frozen
class Dropped:
    """A fix that was not kept, and why."""

    finding: Finding
    why: str


@frozen
class Repair:
    """What fixing would change.

    Attributes:
        changes: the files.
        fixed: the findings that are gone.
        dropped: fixes that did not hold.
        unsafe: findings whose fix changes what a record says; carried out only when asked for.
        shown: findings about records that could not be read before.
        before, after: the reports.
    """

    changes: tuple[Change, ...]
    fixed: tuple[Finding, ...]
    dropped: tuple[Dropped, ...]
    unsafe: tuple[Finding, ...]
    shown: tuple[Finding, ...]
    before: Report
    after: Report


def repair(
    root: Path,
    *,
    paths: Collection[str] = (),
    unsafe: bool = False,
    select: Iterable[str] = (),
    ignore: Iterable[str] = (),
    rules: Iterable[Rule] = (),
    plugins: Iterable[str] = (),
    today: dt.date | None = None,
) -> Repair:
    """Carry out the safe fixes of a dataset's findings, with ``unsafe`` the others too. Nothing is written.

    ``paths`` (relative, with ``/``) limits the files that may change; the other arguments are those of
    :func:`cardref.check`. Errors: as there.
    """
    select, ignore, rules, plugins = tuple(select), tuple(ignore), tuple(rules), tuple(plugins)

    def look(folder: Path) -> Report:
        return check(folder, select=select, ignore=ignore, rules=rules, plugins=plugins, today=today)

    with tempfile.TemporaryDirectory(prefix="cardref-fix-") as name:
        bench = Path(name) / "dataset"
        _copy(root, bench)
        before = look(bench)
        work = _Work(bench, frozenset(paths), unsafe, before)
        while work.step(look):
            pass
        changes = _changes(root, bench, work.touched)
    left = tuple(f for f in work.report.findings if f.fix and f.fix.edits and not f.fix.safe)
    return Repair(
        changes,
        tuple(work.fixed),
        tuple(work.dropped.values()),
        () if unsafe else left,
        tuple(work.shown),
        before,
        work.report,
    )


def _copy(root: Path, bench: Path) -> None:
    """The dataset's visible files and links, by name at least; what cannot be read is left out."""
    for folder, folders, names in os.walk(root):
        folders[:] = [name for name in folders if not name.startswith(".")]
        there = bench / Path(folder).relative_to(root)
        there.mkdir(parents=True, exist_ok=True)
        for name in (*names, *(n for n in folders if (Path(folder) / n).is_symlink())):
            source = Path(folder) / name
            if name.startswith("."):
                continue
            try:
                if source.is_symlink():
                    (there / name).symlink_to(source.readlink())
                elif source.is_file() and name.endswith(".yaml"):
                    shutil.copyfile(source, there / name)
                elif source.is_file():
                    (there / name).touch()  # of other files only the name matters, and they may be large
            except OSError:
                continue


def _changes(root: Path, bench: Path, touched: Iterable[str]) -> tuple[Change, ...]:
    found = []
    for path in sorted(touched):
        old, new = read_bytes(root, path), read_bytes(bench, path)
        if old is None or new is None or old == new:
            continue
        text, faults = decode(old)
        if not faults:
            new = kept_canonical(path, text, decode(new)[0]).encode()
        found.append(Change(path, old, new))
    return tuple(found)


_Key = tuple[str, str]
_Span = tuple[int, int, int, int]


def _key(finding: Finding) -> _Key:
    return finding.fingerprint, finding.message


@define
class _Work:
    """Fixing, step by step: as many fixes at once as do not touch each other, one by one where that fails."""

    bench: Path
    paths: frozenset[str]
    unsafe: bool
    report: Report
    fixed: list[Finding] = field(factory=list)
    shown: list[Finding] = field(factory=list)
    dropped: dict[_Key, Dropped] = field(factory=dict)
    touched: set[str] = field(factory=set)
    singly: bool = False

    def step(self, look: Callable[[Path], Report]) -> bool:
        """One round; whether another is worth while."""
        batch = self._batch()
        if not batch:
            return False
        kept = {path: (self.bench / path).read_bytes() for path in _paths(batch)}
        readable = self._readable()
        try:
            self._apply(batch, kept)
            after = look(self.bench)
            why = self._judge(batch, after, readable)
        except DatasetError as error:
            after, why = self.report, str(error)
        if why:
            for path, data in kept.items():
                (self.bench / path).write_bytes(data)
            if len(batch) == 1:
                self.dropped[_key(batch[0])] = Dropped(batch[0], why)
            self.singly = True
            return True
        self.shown += _more(self.report, after)
        self.report = after
        self.fixed += batch
        self.touched |= kept.keys()
        return True

    def _batch(self) -> list[Finding]:
        """The next fixes to try together."""
        found: list[Finding] = []
        taken: dict[str, list[_Span]] = {}
        for finding in self.report.findings:
            fix = finding.fix
            if fix is None or not fix.edits or not (fix.safe or self.unsafe) or _key(finding) in self.dropped:
                continue
            if self.paths and any(edit.place.path not in self.paths for edit in fix.edits):
                continue
            if any(_taken(edit, taken) for edit in fix.edits):
                continue
            found.append(finding)
            for edit in fix.edits:
                insort(taken.setdefault(edit.place.path, []), edit.place.span)
            if self.singly:
                break
        return found

    def _apply(self, batch: list[Finding], texts: dict[str, bytes]) -> None:
        for path, data in texts.items():
            edits = [e for f in batch for e in (f.fix.edits if f.fix else ()) if e.place.path == path]
            # Edited as it is: a text that is not UTF-8 has no columns, and so no fix.
            (self.bench / path).write_bytes(apply_edits(data.decode(), edits).encode())

    def _readable(self) -> frozenset[tuple[str, str]]:
        entries = (entry for many in load_tree(self.bench).entries.values() for entry in many)
        return frozenset((e.file.path, str(e.pointer)) for e in entries if e.record is not None)

    def _judge(self, batch: list[Finding], after: Report, readable: frozenset[tuple[str, str]]) -> str:
        """Why the fixes do not hold, or "" where they do."""
        was, now = (Counter(map(_key, report.findings)) for report in (self.report, after))
        wanted = Counter(map(_key, batch))
        if any(now[key] > was[key] - count for key, count in wanted.items()):
            return "the finding is still there afterwards"
        new = _more(self.report, after)
        if not new:
            return ""
        again = self._readable()
        if len(batch) == 1 and readable < again:
            return ""
        return f"it would bring another finding: {new[0].message}"


def _paths(batch: list[Finding]) -> set[str]:
    return {edit.place.path for finding in batch for edit in (finding.fix.edits if finding.fix else ())}


def _more(before: Report, after: Report) -> list[Finding]:
    """What is found afterwards and was not before; a message may change with what it counts."""
    was = Counter(finding.fingerprint for finding in before.findings)
    found = []
    for finding in after.findings:
        if was[finding.fingerprint]:
            was[finding.fingerprint] -= 1
        else:
            found.append(finding)
    return found


def _taken(edit: Edit, taken: dict[str, list[_Span]]) -> bool:
    """Whether an edit overlaps or abuts one of those taken, which stand in order and apart."""
    spans, span = taken.get(edit.place.path, []), edit.place.span
    at = bisect(spans, span)
    return any(not (span[2:] < other[:2] or other[2:] < span[:2]) for other in spans[max(0, at - 1) : at + 1])
