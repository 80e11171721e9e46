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
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

from attrs import evolve

from cardref.checks.runner import check
from cardref.errors import DatasetError
from cardref.facts.called import called, listed
from cardref.facts.changes import Changes, Consequence, Sort, changes
from cardref.facts.features import separation, siblings
from cardref.finding import Finding, Report, Severity
from cardref.index import Index, from_loaded
from cardref.storage.loader import load_tree
from cardref.storage.revision import version_of
from cardref.text import count_of, quoted

__all__ = ["compare", "next_version"]

PathLike = str | os.PathLike[str]


def compare(
    old: PathLike,
    new: PathLike,
    *,
    root: PathLike = ".",
    over: Index | None = None,
    today: dt.date | None = None,
) -> Changes:
    """What changed from ``old`` to ``new``, and what follows.

    Args:
        old: the earlier version: a directory, or a git revision of the dataset at ``root``.
        new: the later one, likewise.
        root: the dataset whose revisions are meant.
        over: a base that both are laid over; its records are not compared.
        today: the day on which the next version would be published; the machine's own where not given.

    Raises:
        UsageError: a name that is neither a directory nor a revision.
        DatasetError: a version that holds no dataset, or one that cannot be read.
    """
    with ExitStack() as stack:
        folders = [stack.enter_context(version_of(Path(root), name)) for name in (old, new)]
        names = [os.fspath(old), os.fspath(new)]
        indexes = [_index(folder, name) for folder, name in zip(folders, names, strict=True)]
        found = changes(*indexes)
        layered = indexes if over is None else [index.over(over, "mine", "base") for index in indexes]
        reports = [check(folder, over=over, today=today) for folder in folders]
        told = tuple(_consequences(found, layered, reports))
    day = today or dt.date.today()  # noqa: DTZ011 - the day where the user is
    return evolve(found, consequences=told, next_version=next_version(found, day))


def _index(folder: Path, name: str) -> Index:
    loaded = load_tree(folder)
    if "dataset.yaml" not in loaded.files:
        raise DatasetError(f"{quoted(name)} holds no dataset.yaml, so there is nothing to compare")
    unread = [file.path for file in loaded.files.values() if not file.readable and file.spec is not None]
    if unread:
        raise DatasetError(
            f"{quoted(name)} cannot be compared: {listed(map(quoted, unread))} cannot be read; "
            "run `cardref check`"
        )
    return from_loaded(loaded)


def next_version(found: Changes, today: dt.date) -> str:
    """The calendar version (YYYY.MM, then YYYY.MM.N) that comes after the old one; "" where nothing changed.

    >>> next_version(Changes("2026.11", "2026.11", ()), dt.date(2026, 11, 25))
    ''
    """
    if not found.items and not found.retired and not found.revived:
        return ""
    year, month, number = (*(int(part) for part in found.old_version.split(".")), 0, 0, 0)[:3]
    if (today.year, today.month) > (year, month):
        return f"{today.year}.{today.month:02d}"
    return f"{year:04d}.{month:02d}.{number + 1}"


# --- what follows ----------------------------------------------------------------------------------------


def _consequences(found: Changes, indexes: list[Index], reports: list[Report]) -> Iterator[Consequence]:
    old, new = indexes
    before, after = reports
    yield from _dead_ends(found)
    yield from _findings(before, after)
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


def _findings(before: Report, after: Report) -> Iterator[Consequence]:
    was = {finding.fingerprint: finding for finding in before.at_least(Severity.WARNING)}
    is_ = {finding.fingerprint: finding for finding in after.at_least(Severity.WARNING)}
    yield from _by_rule([f for key, f in is_.items() if key not in was], "new", worse=True)
    yield from _by_rule([f for key, f in was.items() if key not in is_], "gone", worse=False)


def _by_rule(findings: list[Finding], word: str, *, worse: bool) -> Iterator[Consequence]:
    for rule, count in Counter(finding.rule for finding in findings).items():
        records = tuple(dict.fromkeys(f.record for f in findings if f.rule == rule and f.record))
        said = f"{count_of(count, 'finding')} of {rule} {'is' if count == 1 else 'are'} {word}"
        example = next(f for f in findings if f.rule == rule)
        yield Consequence(f"{said}: {example.message}" if worse else said, records, worse=worse)


def _alike(index: Index) -> dict[frozenset[str], tuple[str, str]]:
    return {
        frozenset((pair.one, pair.other)): (pair.one, pair.other)
        for group in siblings(index)
        for pair in group.alike
    }


def _told_apart(old: Index, new: Index) -> Iterator[Consequence]:
    was, is_ = _alike(old), _alike(new)
    for pair, (one, other) in was.items():
        if pair not in is_ and one in new.backs and other in new.backs:
            by = listed(separator.feature for separator in separation(new, one, other).by)
            words = f"{called(new, one)} and {called(new, other)} can now be told apart"
            yield Consequence(f"{words}{f' by {by}' if by else ''}", (one, other))
    for pair, (one, other) in is_.items():
        if pair not in was and one in old.backs and other in old.backs:
            words = f"{called(new, one)} and {called(new, other)} can no longer be told apart"
            yield Consequence(words, (one, other), worse=True)


def _codes(old: Index, new: Index) -> Iterator[Consequence]:
    for word, here, there, worse in (("now", new, old, False), ("no longer", old, new, True)):
        codes = [code for code in here.faces_by_code if code not in there.faces_by_code]
        faces = tuple(dict.fromkeys(face for code in codes for face in here.faces_by_code[code]))
        if codes:
            verb = "is" if len(codes) == 1 else "are"
            yield Consequence(f"{count_of(len(codes), 'code')} {verb} {word} recorded", faces, worse=worse)
