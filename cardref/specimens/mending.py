r"""Carry out the fixes of findings in a user's own files: only where the finding is gone and none is new.

>>> import tempfile, pathlib
>>> from cardref.reference import load
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.csv"
>>> _ = path.write_text('id,card,price\n7,tidewrack/quay-marl/c-0001,"12,50 EUR"\n')
>>> done = mend_own([path], load())
>>> done.changes[0].after
b'id,card,price\n7,tidewrack/quay-marl/c-0001,12.50 EUR\n'
"""

import codecs
import os
import tempfile
from collections.abc import Iterable
from pathlib import Path

from attrs import frozen

from cardref.errors import DatasetError
from cardref.finding import Edit, Finding, Report
from cardref.index import Index, Layer
from cardref.specimens.checking import check_own
from cardref.specimens.entry import read_own
from cardref.storage.atomic import Change
from cardref.storage.edit import apply_edits
from cardref.storage.tree import Lines
from cardref.text import count_of

__all__ = ["Mended", "mend_own"]


@frozen
class Mended:
    """What mending would do; nothing is written.

    Attributes:
        changes: to be written by :func:`cardref.storage.atomic.write_changes`; each path is the file's own.
        fixed: findings that would be gone.
        unsafe: findings with a fix that changes what is said; left alone unless asked for.
        dropped: findings whose fix did not help, each with the reason.
        after: what a check would find then.
    """

    changes: tuple[Change, ...]
    fixed: tuple[Finding, ...]
    unsafe: tuple[Finding, ...]
    dropped: tuple[tuple[Finding, str], ...]
    after: Report


def mend_own(
    paths: Iterable[str | os.PathLike[str]], reference: Layer | Index, *, unsafe: bool = False
) -> Mended:
    """What carrying out the fixes of findings would make of a user's own files.

    ``unsafe`` also carries out fixes that change what a record says.
    Errors: DatasetError where a file cannot be read.
    """
    names = [Path(path).as_posix() for path in paths]
    before = check_own(names, reference)
    fixable = [finding for finding in before.findings if finding.fix and finding.fix.edits]
    wanted = [finding for finding in fixable if unsafe or (finding.fix and finding.fix.safe)]
    left = tuple(finding for finding in fixable if finding not in wanted)
    data = {name: read_own(Path(name)) for name in dict.fromkeys(names)}
    made = dict(data)
    dropped: list[tuple[Finding, str]] = []
    for name, was in data.items():
        chosen = _apart([finding for finding in wanted if finding.place.path == name])
        edits = [edit for finding in chosen if finding.fix for edit in finding.fix.edits]
        try:
            made[name] = _edited(name, was, edits)
        except DatasetError as error:
            dropped += [(finding, str(error)) for finding in chosen]
    after = before if made == data else _checked(names, made, reference)
    for name, was in data.items():
        new = _new(before, after, name)
        if new and made[name] != was:
            why = f"{count_of(len(new), 'new finding')} would come of it, such as: {new[0].message}"
            dropped += [(finding, why) for finding in wanted if finding.place.path == name]
            made[name] = was
            after = _checked(names, made, reference)
    gone = {finding.fingerprint for finding in before.findings} - {one.fingerprint for one in after.findings}
    return Mended(
        changes=tuple(Change(name, was, made[name]) for name, was in data.items() if made[name] != was),
        fixed=tuple(finding for finding in wanted if finding.fingerprint in gone),
        unsafe=left,
        dropped=tuple(dropped),
        after=after,
    )


def _apart(findings: list[Finding]) -> list[Finding]:
    """Findings whose edits do not touch each other; of two that do the first."""
    found: list[Finding] = []
    taken: list[tuple[int, int, int, int]] = []
    for finding in findings:
        spans = [edit.place.span for edit in finding.fix.edits] if finding.fix else []
        if not any(one[:2] < other[2:] and other[:2] < one[2:] for one in spans for other in taken):
            found.append(finding)
            taken += spans
    return found


def _edited(name: str, data: bytes, edits: list[Edit]) -> bytes:
    if not edits:
        return data
    if not name.lower().endswith((".csv", ".tsv")):
        return apply_edits(data.decode(), edits).encode()
    mark = codecs.BOM_UTF8 if data.startswith(codecs.BOM_UTF8) else b""
    text = data[len(mark) :].decode("utf-8", "surrogateescape")
    lines = Lines(text)
    for edit in sorted(edits, key=lambda one: one.place, reverse=True):
        start, end = lines.span(edit.place)
        text = text[:start] + edit.text + text[end:]
    return mark + text.encode("utf-8", "surrogateescape")


def _checked(names: list[str], made: dict[str, bytes], reference: Layer | Index) -> Report:
    """A check of what the files would be, told under their own names."""
    with tempfile.TemporaryDirectory() as folder:
        copies: dict[str, str] = {}
        for number, (name, data) in enumerate(made.items()):
            copy = Path(folder) / str(number) / Path(name).name
            copy.parent.mkdir()
            copy.write_bytes(data)
            copies[name] = copy.as_posix()
        return check_own([copies[name] for name in names], reference, names=names)


def _new(before: Report, after: Report, name: str) -> list[Finding]:
    """Findings of a file that were not there before."""
    known = {finding.fingerprint for finding in before.findings}
    return [one for one in after.findings if one.place.path == name and one.fingerprint not in known]
