"""What ``check`` and ``fix`` do with a user's own files instead of a dataset."""

import argparse
import os
import re
import sys
from collections.abc import Iterable, Sequence
from pathlib import Path

from attrs import evolve

from cardref.checks.runner import plan
from cardref.cli.common import open_reference
from cardref.errors import UsageError
from cardref.finding import Finding, Report
from cardref.fixing.place import Target
from cardref.specimens.checking import check_own
from cardref.specimens.mending import mend_own
from cardref.specimens.rules import RULES, FileRule
from cardref.storage.atomic import write_changes
from cardref.storage.layout import spec_of
from cardref.text import count_of, quoted, visible

__all__ = ["are_own", "checked", "mended"]

_LISTS = re.compile(rb"^(?:specimens|wants|sales)\s*:", re.MULTILINE)


def are_own(paths: Sequence[str]) -> bool:
    """Whether the paths are files of the user's own: tables, or YAML outside of every dataset.

    Errors: UsageError where some are and some are not.
    """
    own = [path for path in paths if _is_own(Path(path))]
    if own and len(own) < len(paths):
        first = quoted(own[0])
        raise UsageError(f"{first} is a file of your own, others are not: name them one after the other")
    return bool(own)


def _is_own(path: Path) -> bool:
    if path.suffix.lower() in (".csv", ".tsv"):
        return not path.is_dir()
    if not path.is_file():
        return False
    above = [folder for folder in path.absolute().parents if (folder / "dataset.yaml").is_file()]
    if not above:
        return spec_of(path.name) is None
    if spec_of(path.absolute().relative_to(above[0]).as_posix()) is not None:
        return False
    with path.open("rb") as stream:
        return _LISTS.search(stream.read(1 << 16)) is not None


def _names(paths: Iterable[str]) -> list[str]:
    """The paths as findings have them: from where we are, with ``/``."""
    here = Path.cwd()
    found = []
    for path in map(Path, paths):
        whole = path.absolute()
        found.append((whole.relative_to(here) if whole.is_relative_to(here) else path).as_posix())
    return found


def checked(args: argparse.Namespace) -> tuple[Target, Report, tuple[FileRule, ...]]:
    """What was looked at, what was found, and the rules that there are."""
    for option in ("since", "base", "plugin"):
        if getattr(args, option):
            raise UsageError(f"--{option} is for a dataset; a file of your own is checked without")
    reference = open_reference(args)
    names = _names(args.paths)
    report = check_own(args.paths, reference, today=args.today, names=names)
    return Target(Path(), tuple(names)), _chosen(report, args), RULES


def _chosen(report: Report, args: argparse.Namespace) -> Report:
    ours = {rule.id for rule in RULES}
    plan(select=[name for name in (*args.select, *args.ignore) if name not in ours | {"own"}])  # or it raises

    def told(finding: Finding) -> bool:
        names = {finding.rule, "own"} if finding.rule in ours else {finding.rule}
        return (not args.select or not names.isdisjoint(args.select)) and names.isdisjoint(args.ignore)

    return evolve(report, findings=tuple(filter(told, report.findings)))


def mended(args: argparse.Namespace) -> int:
    """Carry out fixes, or show what they would change."""
    for option in ("select", "ignore", "plugin"):
        if getattr(args, option):
            raise UsageError(f"--{option} is for a dataset; a file of your own is mended without")
    done = mend_own(args.paths, open_reference(args), unsafe=args.unsafe)
    if args.diff:
        print("".join(change.diff() for change in done.changes), end="")
    else:
        write_changes(Path(), done.changes, apart=True)
    out = sys.stderr if args.diff else sys.stdout
    for finding in done.fixed:
        print(f"fixed: {_line(finding)}", file=out)
    for finding, why in done.dropped:
        print(f"not fixed: {_line(finding)} ({visible(why)})", file=out)
    for finding in done.unsafe:
        fix = visible(finding.fix.message) if finding.fix else ""
        print(f"unsafe: {_line(finding)}: {fix} (look first, then --unsafe)", file=out)
    left = len(done.after.findings)
    rest = f"{left} left: see `cardref check {visible(os.fspath(args.paths[0]))}`" if left else "nothing left"
    verb = "would be fixed" if args.diff else "fixed"
    print(f"{count_of(len(done.fixed), 'finding')} {verb}, {rest}", file=out)
    return 0 if done.after.clean else 1


def _line(finding: Finding) -> str:
    return f"{visible(str(finding.place))}: {visible(finding.message)}"
