"""``cardref retire``: ids taken out of use, with a tombstone that says what took their place."""

import argparse
import datetime as dt
import sys

from cardref.cli.writing import finish_first
from cardref.errors import UsageError
from cardref.fixing.place import root_of
from cardref.fixing.retiring import Retiring, merge, rename, retire, split
from cardref.storage.atomic import write_changes
from cardref.text import count_of, quoted, visible

SUMMARY = (
    "Retire, rename, merge or split a record. What mentions it follows; a tombstone keeps the old id alive."
)
EXAMPLE = 'cardref retire "quay-marl b-012" --merge-into "quay-marl b-011" --reason "the same on paler paper"'


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("record", metavar="ID", help="the record: an id, `maker designation`, or a name")
    how = parser.add_mutually_exclusive_group()
    how.add_argument(
        "--replaced-by",
        metavar="ID",
        action="append",
        default=[],
        help="what takes its place; may be given again (without it: nothing does)",
    )
    how.add_argument("--rename-to", metavar="NEW", help="the record stays, under this short id")
    how.add_argument(
        "--merge-into", metavar="ID", help="it is the same as this record, which takes over what it says"
    )
    how.add_argument(
        "--split-into", metavar="NEW", nargs="+", help="it is several records, under these short ids"
    )
    parser.add_argument("--reason", default="", help="why, in a sentence; needed but for --rename-to")
    parser.add_argument("--date", metavar="EDTF", help="when (default: today)")
    parser.add_argument(
        "--mention",
        metavar="RECORD=NEW",
        action="append",
        default=[],
        help="of several new ids the one that RECORD is to mention; `*=NEW` for all others",
    )
    parser.add_argument("--dataset", metavar="DIR", help="the dataset to change (default: ./dataset)")
    parser.add_argument("--diff", action="store_true", help="write nothing; show what would change")


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    root = root_of(args.dataset)
    finish_first(root, dry=args.diff)
    done = _work_out(args)
    if args.diff:
        for change in done.changes:
            print(change.diff(), end="")
    else:
        write_changes(root, done.changes)
    out = sys.stderr if args.diff else sys.stdout
    would = "would be " if args.diff else ""
    for old, new in list(done.retired.items())[:10]:
        print(f"{visible(old)} {would}retired; {_place(new)}", file=out)
    if len(done.retired) > 10:
        print(f"... and {len(done.retired) - 10} more ids", file=out)
    for full in done.followed[:10]:
        print(f"  follows: {visible(full)}", file=out)
    if len(done.followed) > 10:
        print(f"  ... and {len(done.followed) - 10} more records", file=out)
    for note in done.notes:
        print(visible(note), file=out)
    print(f"{count_of(len(done.changes), 'file')} {would}changed; next: `cardref check`", file=out)
    return 0


def _place(new: tuple[str, ...]) -> str:
    return f"{visible(', '.join(new))} in its place" if new else "nothing takes its place"


def _work_out(args: argparse.Namespace) -> Retiring:
    root = root_of(args.dataset)
    date = dt.date.today().isoformat() if args.date is None else args.date  # noqa: DTZ011 - the user's own day
    choose = {}
    for word in args.mention:
        record, sign, new = word.partition("=")
        if not sign or not record or not new:
            raise UsageError(f"--mention takes RECORD=NEW, not {quoted(word)}")
        choose[record] = new
    if args.rename_to:
        return rename(root, args.record, args.rename_to, reason=args.reason, date=date)
    if args.merge_into:
        return merge(root, args.record, args.merge_into, reason=args.reason, date=date)
    if args.split_into:
        return split(root, args.record, args.split_into, reason=args.reason, date=date, choose=choose)
    return retire(
        root, args.record, reason=args.reason, date=date, replaced_by=args.replaced_by, choose=choose
    )
