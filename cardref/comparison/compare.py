"""Two versions of a dataset compared by meaning, with what follows from the change.

Moving records between files, reordering and reformatting are no change. ``compare`` takes directories, or git
revisions of one; :mod:`cardref.facts.changes` says what changed, and here it is said what that leads to.

>>> from cardref.storage.bundle import home
>>> result = compare(home().dataset, home().dataset)
>>> result.items, result.consequences
((), ())
"""

import datetime as dt
import os
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path

from attrs import evolve, frozen

from cardref.checks.corpus import Corpus
from cardref.checks.runner import index_of, plan, run
from cardref.checks.table import families
from cardref.errors import DatasetError
from cardref.facts.called import called, listed
from cardref.facts.changes import Changes, Consequence, Sort, changes
from cardref.facts.separation import separation, siblings
from cardref.finding import Finding, Report, Severity
from cardref.index import Index, Layer
from cardref.model.kinds import KINDS
from cardref.storage.loader import Loaded, load_tree, refuse_newer
from cardref.storage.revision import version_of
from cardref.text import count_of, quoted

__all__ = ["Compared", "compare", "compared", "next_version"]

PathLike = str | os.PathLike[str]


@frozen
class Compared:
    """The changes, and the two versions that they lead from and to, with what each is laid over."""

    changes: Changes
    old: Index
    new: Index


def compare(
    old: PathLike,
    new: PathLike,
    *,
    root: PathLike = ".",
    over: PathLike | Layer | Index | None = None,
    today: dt.date | None = None,
) -> Changes:
    """What changed from ``old`` to ``new``, and what follows.

    Args:
        old: the earlier version: a directory, or a git revision of the dataset at ``root``.
        new: the later one, likewise.
        root: the dataset whose revisions are meant.
        over: a dataset, reference or index that both are laid over: what is compared is what a user sees, so
            that taking a record out brings back the one below. ``compare(base, mine, over=base)`` tells what
            a layer changes.
        today: the day on which the next version would be published; the machine's own where not given.

    Raises:
        UsageError: a name that is neither a directory nor a revision.
        DatasetError: a version that holds no dataset, or one that cannot be read.
    """
    return compared(old, new, root=root, over=over, today=today).changes


def compared(
    old: PathLike,
    new: PathLike,
    *,
    root: PathLike = ".",
    over: PathLike | Layer | Index | None = None,
    today: dt.date | None = None,
) -> Compared:
    """As :func:`compare`, with the two versions: who tells of a change needs the names of what changed."""
    day = today or dt.date.today()  # noqa: DTZ011 - the day where the user is
    under = index_of(over)
    indexes: list[Index] = []
    reports: list[Report] = []
    with ExitStack() as stack:
        for name in (old, new):
            loaded = load_tree(stack.enter_context(version_of(Path(root), name)))
            _refuse_unread(loaded, os.fspath(name))
            refuse_newer(loaded, os.fspath(name))
            corpus = Corpus(loaded, day, under=under)
            indexes.append(corpus.index)
            reports.append(run(corpus, plan()))
        before, after = indexes
        found = changes(before, after)
        told = tuple(_consequences(found, before, after, reports))
    found = evolve(found, consequences=told, next_version=next_version(found, day))
    return Compared(found, before, after)


def _refuse_unread(loaded: Loaded, name: str) -> None:
    if "dataset.yaml" not in loaded.files:
        raise DatasetError(
            f"{quoted(name)} holds no dataset.yaml, so there is nothing to compare: name a dataset"
        )
    unread = [file.path for file in loaded.files.values() if not file.readable and file.spec is not None]
    if unread:
        raise DatasetError(
            f"{quoted(name)} cannot be compared: {listed(map(quoted, unread))} cannot be read; "
            "run `cardref check`"
        )


def next_version(found: Changes, today: dt.date) -> str:
    """The calendar version (YYYY.MM, then YYYY.MM.N) that comes after the old one; "" where nothing changed.

    Where the new one has a later version already, that is it.

    >>> next_version(Changes("2026.11", "2026.11", ()), dt.date(2026, 11, 25))
    ''
    """
    if not found.items and not found.retired and not found.revived:
        return ""
    old, new = _numbers(found.old_version), _numbers(found.new_version)
    if new > old:
        return found.new_version
    if (today.year, today.month) > old[:2]:
        return f"{today.year}.{today.month:02d}"
    return f"{old[0]:04d}.{old[1]:02d}.{old[2] + 1}"


def _numbers(version: str) -> tuple[int, int, int]:
    numbers = [int(part) for part in version.split(".") if part.isdecimal()]
    year, month, number = (*numbers, 0, 0, 0)[:3]
    return year, month, number


# --- what follows ----------------------------------------------------------------------------------------


def _consequences(found: Changes, old: Index, new: Index, reports: list[Report]) -> Iterator[Consequence]:
    before, after = reports
    yield from _dead_ends(found)
    yield from _findings(before, after, new, worse=True)
    yield from _findings(after, before, old, worse=False)
    yield from _told_apart(old, new)
    yield from _codes(old, new)


def _dead_ends(found: Changes) -> Iterator[Consequence]:
    gone = tuple(change.id for change in found.of(Sort.REMOVED))
    if gone:
        verb = "leads" if len(gone) == 1 else "lead"
        yield Consequence(
            f"{count_of(len(gone), 'id')} {verb} nowhere any more: write a tombstone for each",
            gone,
            worse=True,
        )
    if found.breaking and found.new_version == found.old_version:
        yield Consequence("the version is still the same, although ids or designations changed", worse=True)


def _findings(before: Report, after: Report, index: Index, *, worse: bool) -> Iterator[Consequence]:
    """What is found ``after`` and was not found ``before``, rule by rule; told as gone unless ``worse``."""
    known = {finding.fingerprint for finding in (*before.findings, *before.waived)}
    by_rule: dict[str, list[Finding]] = {}
    for finding in after.at_least(Severity.WARNING):
        if finding.fingerprint not in known and finding.rule != "siblings-alike":  # told in words of its own
            by_rule.setdefault(finding.rule, []).append(finding)
    for rule, findings in by_rule.items():
        records = tuple(dict.fromkeys(finding.record for finding in findings if finding.record))
        if records and all(finding.record for finding in findings):
            when = "now" if worse else "no longer"
            said = f"{_counted(index, records)} {when} {_state(rule, findings[0].severity)} ({rule})"
        else:
            verb = "is" if len(findings) == 1 else "are"
            said = f"{count_of(len(findings), 'finding')} of {rule} {verb} {'new' if worse else 'gone'}"
        example = f"{', for example' if len(findings) > 1 else ''}: {findings[0].message}"
        yield Consequence(said + example if worse else said, records, worse=worse)


def _counted(index: Index, records: Iterable[str]) -> str:
    """``3 cards are``, ``1 record is``."""
    kinds = [index.kind(full) for full in records]
    kind = KINDS.get(kinds[0]) if len(set(kinds)) == 1 else None
    counted = count_of(len(kinds), kind.name, kind.plural) if kind else count_of(len(kinds), "record")
    return f"{counted} {'is' if len(kinds) == 1 else 'are'}"


def _state(rule: str, severity: Severity) -> str:
    if severity is not Severity.ERROR:
        return "doubtful"
    return "broken" if families().get(rule) in ("reading", "shape", "links", "ids") else "contradicted"


def _told_apart(old: Index, new: Index) -> Iterator[Consequence]:
    hard = {
        (pair.one, pair.other): None
        for index in (old, new)
        for group in siblings(index)
        for pair in (*group.alike, *group.open)
    }
    for one, other in hard:
        if not all(full in index.backs for full in (one, other) for index in (old, new)):
            continue
        was, is_ = _apart(old, one, other), _apart(new, one, other)
        words = f"{called(new, one)} and {called(new, other)}"
        if is_ and not was:
            yield Consequence(f"{words} can now be told apart by {listed(is_)}", (one, other))
        elif was and not is_:
            lost = listed(was)
            said = f"{words} can no longer be told apart: {lost} told them apart before"
            yield Consequence(said, (one, other), worse=True)


def _apart(index: Index, one: str, other: str) -> tuple[str, ...]:
    """What tells two backs apart, in words."""
    if index.backs[one].count != index.backs[other].count:
        return ("back count",)
    return tuple(separator.feature for separator in separation(index, one, other).by)


def _codes(old: Index, new: Index) -> Iterator[Consequence]:
    for word, here, there, worse in (("now", new, old, False), ("no longer", old, new, True)):
        codes = [code for code in here.faces_by_code if code not in there.faces_by_code]
        faces = tuple(dict.fromkeys(face for code in codes for face in here.faces_by_code[code]))
        if codes:
            verb = "is" if len(codes) == 1 else "are"
            yield Consequence(f"{count_of(len(codes), 'code')} {verb} {word} recorded", faces, worse=worse)
