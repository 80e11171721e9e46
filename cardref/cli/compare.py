"""``cardref compare OLD NEW``: what changed between two versions of a dataset, by meaning."""

import argparse
from pathlib import Path

from cardref.cli.common import add_format, add_over, layered, print_json
from cardref.comparison.compare import compared
from cardref.comparison.telling import as_json, as_markdown, as_text
from cardref.errors import UsageError
from cardref.fixing.place import root_of

SUMMARY = "Compare two versions of a dataset by meaning: directories, or git revisions of one."
EXAMPLE = "cardref compare HEAD~1 dataset --format markdown"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("old", metavar="OLD", help="a directory, or a git revision of the dataset")
    parser.add_argument("new", metavar="NEW", nargs="?", help="the same; the dataset as it is where left out")
    parser.add_argument(
        "--dataset",
        metavar="DIR",
        help="the dataset whose revisions are meant (default: ./dataset if there is one, else .)",
    )
    add_over(parser, "the dataset that both are laid over; several times for several layers")
    parser.add_argument("--notes", action="store_true", help="release notes, as Markdown")
    add_format(parser, "text", "markdown", "json")


def run(args: argparse.Namespace) -> int:
    """Print the comparison; changes or not, the status is 0."""
    if args.notes and args.format == "json":
        raise UsageError("release notes are Markdown: leave --format json out")
    here = Path("dataset") if Path("dataset/dataset.yaml").is_file() else Path()
    root = root_of(args.dataset) if args.dataset else here
    found = compared(args.old, args.new or root, root=root, over=layered(args.over))
    told = found.changes, found.old, found.new
    if args.format == "json":
        print_json(as_json(*told))
    elif args.notes or args.format == "markdown":
        print("\n".join(as_markdown(*told, notes=args.notes)))
    else:
        print("\n".join(as_text(*told)))
    return 0
