"""``cardref fix``: the fixes that findings propose, carried out."""

import argparse
import sys

from cardref.cli.own_files import are_own, mended
from cardref.cli.writing import finish_first
from cardref.fixing.place import target_of
from cardref.fixing.repairing import repair
from cardref.storage.atomic import write_changes
from cardref.text import count_of, visible

SUMMARY = (
    "Carry out the safe fixes of findings. A fix is kept only if its finding is gone and no new one has come."
)
EXAMPLE = "cardref fix --diff dataset"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument(
        "paths",
        nargs="*",
        metavar="PATH",
        help="a dataset, files of it, or files of your own (default: ./dataset)",
    )
    parser.add_argument("--dataset", metavar="DIR", help="the dataset that the files belong to")
    parser.add_argument("--unsafe", action="store_true", help="also fixes that change what a record says")
    parser.add_argument("--diff", action="store_true", help="write nothing; show what would change")
    parser.add_argument(
        "--select", metavar="RULE", action="append", default=[], help="only this rule or family"
    )
    parser.add_argument(
        "--ignore", metavar="RULE", action="append", default=[], help="not this rule or family"
    )
    parser.add_argument("--plugin", metavar="MODULE", action="append", default=[], help="rules of your own")


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    if args.paths and are_own(args.paths):
        return mended(args)
    target = target_of(args.paths, args.dataset)
    if finish_first(target.root, dry=args.diff):
        target = target_of(args.paths, args.dataset)
    done = repair(
        target.root,
        paths=target.paths,
        unsafe=args.unsafe,
        select=args.select,
        ignore=args.ignore,
        plugins=args.plugin,
    )
    if args.diff:
        for change in done.changes:
            print(change.diff(), end="")
    else:
        write_changes(target.root, done.changes)
    out = sys.stderr if args.diff else sys.stdout
    for finding in done.fixed:
        print(f"fixed: {visible(str(finding.place))}: {visible(finding.message)}", file=out)
    for dropped in done.dropped:
        place = visible(str(dropped.finding.place))
        print(f"not fixed: {place}: {visible(dropped.finding.message)} ({visible(dropped.why)})", file=out)
    for finding in done.shown:
        print(f"now seen: {visible(str(finding.place))}: {visible(finding.message)}", file=out)
    for finding in done.unsafe:
        fix = visible(finding.fix.message) if finding.fix else ""
        print(f"unsafe: {visible(str(finding.place))}: {fix} (look first, then --unsafe)", file=out)
    left = len(done.after.findings)
    fixed = "would be fixed" if args.diff else "fixed"
    files = count_of(len(done.changes), "file")
    rest = f"{left} left: see `cardref check`" if left else "nothing left"
    print(f"{count_of(len(done.fixed), 'finding')} {fixed} in {files}, {rest}", file=out)
    return 0 if done.after.clean else 1
