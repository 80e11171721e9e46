"""``cardref fmt``: a dataset's files in the canonical layout."""

import argparse
import sys

from cardref.cli.writing import finish_first
from cardref.fixing.formatting import formatted
from cardref.fixing.place import target_of
from cardref.storage.atomic import write_changes
from cardref.text import count_of, visible

SUMMARY = "Put files into the canonical layout. Comments stay, and what the files say stays the same."
EXAMPLE = "cardref fmt --diff dataset"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("paths", nargs="*", metavar="PATH", help="datasets or files (default: ./dataset)")
    parser.add_argument("--dataset", metavar="DIR", help="the dataset that the files belong to")
    parser.add_argument(
        "--check", action="store_true", help="write nothing; exit with 1 if something would change"
    )
    parser.add_argument("--diff", action="store_true", help="write nothing; show what would change")


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    target = target_of(args.paths, args.dataset)
    dry = args.check or args.diff
    if finish_first(target.root, dry=dry):
        target = target_of(args.paths, args.dataset)
    done = formatted(target.root, target.paths)
    if not dry:
        write_changes(target.root, done.changes)
    for change in done.changes:
        if args.diff:
            print(change.diff(), end="")
        else:
            print(f"{'would change' if dry else 'changed'}: {visible(change.path)}")
    for finding in done.left:
        print(f"{visible(str(finding.place))}: left alone: {visible(finding.message)}")
    changed = count_of(len(done.changes), "file")
    summary = [f"{changed} {'would be changed' if dry else 'changed'}", f"{done.kept} in the layout already"]
    if done.left:
        summary.append(f"{len(done.left)} left alone")
    print(", ".join(summary), file=sys.stderr if args.diff else sys.stdout)
    return 1 if done.left or (args.check and done.changes) else 0
