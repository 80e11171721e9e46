r"""A report for people: grouped by file, one line a finding, and a last line that says what it comes to.

>>> from cardref.finding import Finding, Report, Severity
>>> from cardref.location import Place
>>> finding = Finding(rule="count-mismatch", severity=Severity.ERROR, place=Place("backs.yaml", 2, 8, 2, 10),
...                   message="quay-marl 25B pictures 24 figures, its count says 25; correct one of them")
>>> report = Report(dataset="demo", findings=(finding,), files=1, records=9, rules=1)
>>> sources = {"backs.yaml": "b-017:\n count: 25\n"}
>>> print("".join(render_text(report, source=sources.get)), end="")
backs.yaml
  2:8 error quay-marl 25B pictures 24 figures, its count says 25; correct one of them [count-mismatch]
    2 |  count: 25
      |        ^^
<BLANKLINE>
1 error in 1 of 1 file (9 records, 1 rule)

What repeats is counted instead of printed: of findings that are alike (one rule, one wording) a file shows
three, and the whole report thirty. The machine formats leave nothing out.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator

from attrs import define, field

from cardref.finding import Finding, Report, Severity
from cardref.location import Place
from cardref.report.summary import skipped_rules, stale_entries, summary
from cardref.text import clip, count_of, pointed, visible

__all__ = ["Source", "render_text"]

Source = Callable[[str], str | None]
"""From a path as a finding has it to the file's text, or None where it cannot be shown."""

_LONGEST = 600
"""A message longer than this, in characters, is cut."""

_MOST_IN_FILE = 3
_MOST_IN_ALL = 30

_DATA = re.compile(r"'[^']*'|\S*[0-9/]\S*")
"""The part of a message that differs between findings that are alike: quoted text, numbers and ids."""

_BOLD, _RED, _YELLOW, _DIM, _OFF = "\x1b[1m", "\x1b[1;31m", "\x1b[1;33m", "\x1b[2m", "\x1b[0m"
_STRESS = {Severity.ERROR: _RED, Severity.WARNING: _YELLOW, Severity.NOTE: _BOLD}


def render_text(report: Report, *, source: Source | None = None, colour: bool = False) -> Iterator[str]:
    """The report as lines, each with its line end.

    Args:
        report: what to show.
        source: gives a file's text, for the excerpts; without it there are none.
        colour: whether to stress with the colours of a terminal. They carry no meaning. The caller decides,
            since only the caller knows whether a terminal is there and what ``NO_COLOR`` says.
    """
    groups: dict[str, list[Finding]] = {}
    for finding in report.findings:
        groups.setdefault(finding.place.path, []).append(finding)
    repeats = _Repeats()
    for path, findings in groups.items():
        shown, held = repeats.choose(findings)
        if not shown:
            continue
        yield _stressed(visible(path) or "the dataset", _BOLD, colour) + "\n"
        excerpts = _Excerpts(source, path)
        for finding in shown:
            yield from _finding(finding, excerpts, colour)
        for rule, number in held.items():
            yield f"  and {number} more of {visible(rule)} in this file\n"
        yield "\n"
    tail = [*repeats.rest(), *skipped_rules(report), *stale_entries(report)]
    for line in tail:
        yield line + "\n"
    if tail:
        yield "\n"
    yield summary(report) + "\n"


def _finding(finding: Finding, excerpts: "_Excerpts", colour: bool) -> Iterator[str]:
    place = finding.place
    where = f"{place.span[0]}:{place.span[1]}" if place.line else "whole file:"
    severity = _stressed(finding.severity.value, _STRESS[finding.severity], colour)
    yield f"  {where} {severity} {clip(finding.message, _LONGEST)} [{visible(finding.rule)}]\n"
    for line in excerpts.around(place):
        yield _stressed(f"    {line}", _DIM, colour) + "\n"
    for related in finding.related:
        yield f"    see {visible(str(related.place))}: {clip(related.message, _LONGEST)}\n"
    if finding.fix:
        doubt = "" if finding.fix.safe else " (unsafe: look before you apply it)"
        yield f"    fix: {clip(finding.fix.message, _LONGEST)}{doubt}\n"


def _stressed(text: str, how: str, colour: bool) -> str:
    return f"{how}{text}{_OFF}" if colour else text


class _Excerpts:
    """The lines of one file, read when the first finding in it needs them."""

    def __init__(self, source: Source | None, path: str) -> None:
        self._source = source
        self._path = path
        self._lines: list[str] | None = None

    def around(self, place: Place) -> list[str]:
        """The line of a place and carets under its span, behind a gutter with the line's number.

        The gutter also keeps a line of data from being the first thing on a line of a log.
        """
        if not place.line or self._source is None:
            return []
        if self._lines is None:
            # Only "\n" ends a line, as for the loader: splitlines() would split at more signs.
            self._lines = (self._source(self._path) or "").split("\n")
        line, column, end_line, end_column = place.span
        if line > len(self._lines):
            return []
        text = self._lines[line - 1].rstrip("\r")
        if not text.strip() or column > len(text) + 1:
            return []
        end = end_column - 1 if end_line == line else len(text)
        shown, carets = pointed(text, (column - 1, max(column - 1, end)))
        number = str(line)
        return [f"{number} | {shown[2:]}", f"{' ' * len(number)} | {carets[2:]}"]


@define
class _Repeats:
    """Which of the findings that are alike are shown, and how many are only counted."""

    _used: Counter[tuple[str, str]] = field(factory=Counter)
    _left: dict[str, list[Finding]] = field(factory=dict)

    def choose(self, findings: list[Finding]) -> tuple[list[Finding], Counter[str]]:
        """Of one file: the findings to show, and for each rule how many more there are."""
        kinds = [(finding.rule, _DATA.sub("…", finding.message[:_LONGEST])) for finding in findings]
        room: dict[tuple[str, str], int] = {}
        for kind, number in Counter(kinds).items():
            # "and 1 more" would take the room of the one.
            wanted = number if number <= _MOST_IN_FILE + 1 else _MOST_IN_FILE
            room[kind] = min(wanted, _MOST_IN_ALL - self._used[kind])
            self._used[kind] += room[kind]
        nothing = {kind for kind, number in room.items() if not number}
        shown: list[Finding] = []
        held: Counter[str] = Counter()
        for finding, kind in zip(findings, kinds, strict=True):
            if room[kind]:
                room[kind] -= 1
                shown.append(finding)
            elif kind in nothing:
                self._left.setdefault(finding.rule, []).append(finding)
            else:
                held[finding.rule] += 1
        return shown, held

    def rest(self) -> Iterator[str]:
        """One line for each rule with findings in files where none of them was shown."""
        for rule, findings in self._left.items():
            files = len({finding.place.path for finding in findings})
            yield (
                f"and {len(findings)} more of {visible(rule)} in {count_of(files, 'other file')}, "
                f"the first at {visible(str(findings[0].place))}; --format json lists all"
            )
