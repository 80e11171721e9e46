"""A report as annotation commands of a CI log, one line each.

The form is that of workflow commands, ``::error file=F,line=L,col=C,endColumn=E,title=T::MESSAGE``, as the
documentation of that CI service gives it: in a message ``%``, CR and LF are written ``%25``, ``%0D`` and
``%0A``, in a property ``:`` and ``,`` are ``%3A`` and ``%2C`` as well.

>>> from cardref.finding import Finding, Report, Severity
>>> from cardref.location import Place
>>> finding = Finding(rule="count-mismatch", severity=Severity.ERROR, place=Place("backs.yaml", 2, 8, 2, 10),
...                   message="quay-marl 25B pictures 24 figures, its count says 25")
>>> report = Report(dataset="demo", findings=(finding,), files=1, records=9, rules=1)
>>> for line in render_annotations(report, base="dataset"): print(line, end="")
::error file=dataset/backs.yaml,line=2,endLine=2,col=8,endColumn=9,title=count-mismatch::quay-marl 25B \
pictures 24 figures, its count says 25
::notice title=cardref::1 error in 1 of 1 file (9 records, 1 rule)
"""

import posixpath
from collections.abc import Iterator

from cardref.finding import Finding, Report, Severity
from cardref.report.summary import skipped_rules, stale_entries, summary
from cardref.text import visible

__all__ = ["render_annotations"]

_COMMANDS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "notice"}


def render_annotations(report: Report, *, base: str = "") -> Iterator[str]:
    """The report as lines, each of which is one command.

    Args:
        report: what to tell.
        base: the dataset's folder as seen from the top of the repository, with ``/``; the annotations are
            placed by paths from there.
    """
    for finding in report.findings:
        yield _command(
            _COMMANDS[finding.severity],
            _properties(finding, base) | {"title": finding.rule},
            _message(finding),
        )
    for line in skipped_rules(report):
        yield _command("warning", {"title": "cardref"}, line)
    for line in stale_entries(report):
        yield _command("notice", {"title": "cardref"}, line)
    yield _command("notice" if report.checked else "error", {"title": "cardref"}, summary(report))


def _properties(finding: Finding, base: str) -> dict[str, str]:
    place = finding.place
    properties = {"file": posixpath.join(base, place.path) if place.path else base}
    if place.line:
        line, column, end_line, end_column = place.span
        properties |= {"line": str(line), "endLine": str(end_line)}
        if line == end_line:
            # Columns are taken only within one line; the end is the last character, ours the one after it.
            properties |= {"col": str(column), "endColumn": str(max(column, end_column - 1))}
    return {name: value for name, value in properties.items() if value}


def _message(finding: Finding) -> str:
    lines = [visible(finding.message)]
    lines += [f"see {visible(str(related.place))}: {visible(related.message)}" for related in finding.related]
    if finding.fix:
        lines.append(f"fix: {visible(finding.fix.message)}")
    return "\n".join(lines)


def _command(name: str, properties: dict[str, str], message: str) -> str:
    listed = ",".join(
        f"{key}={_escaped(visible(value)).replace(':', '%3A').replace(',', '%2C')}"
        for key, value in properties.items()
    )
    return f"::{name} {listed}::{_escaped(message)}\n"


def _escaped(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")
