"""``cardref check [PATH...]``: validate a dataset, or files of the user's own."""

import argparse
import datetime as dt
import os
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve

from cardref import __version__
from cardref.checks.runner import check, plan
from cardref.cli.common import add_format, add_over, layered
from cardref.errors import DatasetError, UsageError
from cardref.finding import Finding, Report, Severity
from cardref.fixing.place import Target, target_of
from cardref.text import quoted, visible

if TYPE_CHECKING:
    from cardref.report import RuleData

SUMMARY = (
    "Check a dataset: shape, links, dates, counts, codes, evidence. Files of it that are named limit what is"
    " told, not what is looked at. A file of your own is checked beside the dataset."
)
EXAMPLE = "cardref check dataset --since main --format sarif"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument(
        "paths",
        nargs="*",
        metavar="PATH",
        help="a dataset, files of one, or files of your own (default: ./dataset)",
    )
    parser.add_argument("--dataset", metavar="DIR", help="the dataset that the files belong to")
    add_format(parser, "text", "json", "sarif", "annotations")
    parser.add_argument(
        "--select", metavar="RULE", action="append", default=[], help="only this rule or family"
    )
    parser.add_argument(
        "--ignore", metavar="RULE", action="append", default=[], help="not this rule or family"
    )
    parser.add_argument(
        "--fail-on",
        choices=[severity.value for severity in Severity],
        default="warning",
        help="exit with 1 from this severity on (default: warning)",
    )
    parser.add_argument(
        "--since", metavar="REV", help="only what changed since a git revision or directory, or broke by it"
    )
    parser.add_argument("--base", metavar="REV", help="tell everything, and compare the ids with REV")
    add_over(parser, "the dataset that this one is laid over; several times for several layers")
    parser.add_argument("--baseline", metavar="FILE", help="accept the findings that FILE lists")
    parser.add_argument(
        "--write-baseline", metavar="FILE", help="write what is found to FILE, to be accepted from now on"
    )
    parser.add_argument(
        "--plugin",
        metavar="MODULE",
        action="append",
        default=[],
        help="rules of your own; MODULE is imported",
    )
    parser.add_argument(
        "--today", metavar="DATE", type=_day, help="the day that counts as today (default: today)"
    )


def _day(text: str) -> dt.date:
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(f"{quoted(text)} is no day such as 2026-11-25") from None


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    target, report, known, chosen = _own(args) or _dataset(args)
    if args.baseline is not None:
        whole = frozenset(chosen) if args.since is None else frozenset()
        from cardref.report import apply_baseline, read_baseline  # noqa: PLC0415 - only where asked for

        report = apply_baseline(report, read_baseline(_read(args.baseline), args.baseline), ran=whole)
    if args.write_baseline is not None:
        from cardref.report import render_baseline  # noqa: PLC0415 - only where asked for

        _write(args.write_baseline, "".join(render_baseline(report)))
        print(f"written: {visible(args.write_baseline)}", file=sys.stderr)
        return 0
    if args.paths and not any(Path(path).is_dir() for path in args.paths):
        report = _only(report, target)
    for piece in _pieces(args, target, report, known):
        sys.stdout.write(piece)
    if report.at_least(Severity(args.fail_on)):
        return 1
    return 0 if report.checked else 2


Checked = tuple[Target, Report, "Sequence[RuleData]", Sequence[str]]
"""What was looked at, what was found, the rules that there are, and the ids of those that were run."""


def _own(args: argparse.Namespace) -> Checked | None:
    """A check of files of the user's own; None where the paths are of a dataset."""
    if not any(Path(path).is_file() or path.endswith((".csv", ".tsv")) for path in args.paths):
        return None
    from cardref.cli.own_files import are_own, checked  # noqa: PLC0415 - a dataset does without

    if not are_own(args.paths):
        return None
    target, report, rules = checked(args)
    return target, report, rules, tuple(rule.id for rule in rules)


def _dataset(args: argparse.Namespace) -> Checked:
    target = _target(args.paths, args.dataset)
    what = plan(plugins=args.plugin, select=args.select, ignore=args.ignore)
    report = check(
        target.root,
        over=layered(args.over),
        plugins=args.plugin,
        select=args.select,
        ignore=args.ignore,
        today=args.today,
        base=args.base,
        since=args.since,
    )
    return target, report, what.known, tuple(rule.id for rule in what.chosen)


def _target(paths: list[str], dataset: str | None) -> Target:
    if paths or dataset is not None or Path("dataset/dataset.yaml").is_file():
        return target_of(paths, dataset)
    from cardref.storage.bundle import home  # noqa: PLC0415 - only where no dataset is at hand

    bundled = home()
    if Path("dataset.yaml").is_file():
        raise UsageError("there is no ./dataset here, but this directory is a dataset: `cardref check .`")
    if bundled.compiled:
        raise UsageError(
            "there is no ./dataset here, and the bundled one was checked before it was packed: name the "
            "directory of a dataset"
        )
    print(f"dataset: {visible(os.fspath(bundled.dataset))}", file=sys.stderr)
    return target_of([], bundled.dataset)


def _only(report: Report, target: Target) -> Report:
    """The findings that stand in the files named, or whose other side does."""
    named = frozenset(target.paths)

    def here(finding: Finding) -> bool:
        return finding.place.path in named or any(r.place.path in named for r in finding.related)

    return evolve(
        report,
        findings=tuple(filter(here, report.findings)),
        waived=tuple(filter(here, report.waived)),
        stale=(),
    )


def _pieces(
    args: argparse.Namespace, target: Target, report: Report, known: "Sequence[RuleData]"
) -> Iterator[str]:
    # Each format is imported when it is asked for: together they take as long as reading 1,000 records.
    if args.format == "json":
        from cardref.report import render_json  # noqa: PLC0415 - see above

        return render_json(report)
    if args.format == "sarif":
        from cardref.report import render_sarif  # noqa: PLC0415 - see above

        return render_sarif(report, known, version=__version__, base=_in_repository(target.root))
    if args.format == "annotations":
        from cardref.report import render_annotations  # noqa: PLC0415 - see above

        return render_annotations(report, base=_in_repository(target.root))
    from cardref.report import render_text  # noqa: PLC0415 - see above

    colour = sys.stdout.isatty() and not os.environ.get("NO_COLOR")
    return render_text(report, source=_source(target.root), colour=colour)


def _in_repository(root: Path) -> str:
    """The dataset's folder as seen from the top of the repository it lies in; "" where there is none."""
    here = root.resolve()
    for top in (here, *here.parents):
        if (top / ".git").exists():
            inside = here.relative_to(top).as_posix()
            return "" if inside == "." else inside
    return ""


def _source(root: Path) -> Callable[[str], str | None]:
    """The text of a file of the dataset, for the excerpts."""

    def text(path: str) -> str | None:
        from cardref.storage.atomic import read_bytes  # noqa: PLC0415 - slow to import, needed for findings only

        try:
            data = read_bytes(root, path)
        except DatasetError:
            return None
        # In a table a byte order mark is no part of the first line.
        encoding = "utf-8-sig" if path.lower().endswith((".csv", ".tsv")) else "utf-8"
        return None if data is None else data.decode(encoding, "replace")

    return text


def _read(path: str) -> str:
    try:
        return Path(path).read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError) as error:
        why = error.strerror if isinstance(error, OSError) else "it is not UTF-8"
        raise UsageError(
            f"the baseline {quoted(path)} cannot be read ({why}): write one with --write-baseline"
        ) from None


def _write(path: str, text: str) -> None:
    from cardref.storage.atomic import Change, read_bytes, write_changes  # noqa: PLC0415 - as above

    folder, name = Path(path).parent, Path(path).name
    if not folder.is_dir():
        raise UsageError(
            f"the baseline {quoted(path)} cannot be written: name a file in a directory that is there"
        )
    write_changes(folder, [Change(name, read_bytes(folder, name), text.encode())])
