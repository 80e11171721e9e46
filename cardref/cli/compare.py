"""``cardref compare OLD NEW``: what changed between two versions of a dataset, by meaning."""

import argparse
from pathlib import Path

from cardref.cli.common import add_format, print_json
from cardref.comparison.compare import compare
from cardref.comparison.telling import as_json, as_markdown, as_text
from cardref.index import Index, from_loaded
from cardref.storage.loader import load_tree
from cardref.storage.revision import version_of

SUMMARY = "Compare two versions of a dataset by meaning: directories, or git revisions of one."
EXAMPLE = "cardref compare HEAD~1 dataset --format markdown"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("old", metavar="OLD", help="a directory, or a git revision of the dataset")
    parser.add_argument("new", metavar="NEW", help="the same")
    parser.add_argument(
        "--dataset",
        metavar="DIR",
        default="dataset",
        help="the dataset whose revisions are meant (default: dataset)",
    )
    parser.add_argument("--over", metavar="DIR", help="the dataset that both are laid over")
    parser.add_argument("--notes", action="store_true", help="release notes, as Markdown")
    add_format(parser, "text", "markdown", "json")


def run(args: argparse.Namespace) -> int:
    """Print the comparison; changes or not, the status is 0."""
    root = Path(args.dataset) if Path(args.dataset).is_dir() else Path()
    over = from_loaded(load_tree(args.over)) if args.over else None
    found = compare(args.old, args.new, root=root, over=over)
    old, new = _index(root, args.old), _index(root, args.new)
    if args.format == "json":
        print_json(as_json(found, old, new))
    elif args.notes or args.format == "markdown":
        print("\n".join(as_markdown(found, old, new, notes=args.notes)))
    else:
        print("\n".join(as_text(found, old, new)))
    return 0


def _index(root: Path, name: str) -> Index:
    with version_of(root, name) as folder:
        return from_loaded(load_tree(folder))
