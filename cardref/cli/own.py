"""``cardref own``: the user's own specimens: add, report, match, propose."""

import argparse
from pathlib import Path
from typing import Any

from cardref.cli.common import add_dataset, add_format, open_reference, print_csv, print_json
from cardref.errors import UsageError
from cardref.model.condition import PARTS, ConditionReport
from cardref.reference import Reference
from cardref.specimens import one_card
from cardref.specimens.collection import Collection, read_collection
from cardref.specimens.columns import column_named
from cardref.specimens.forms import shape_faults
from cardref.specimens.holdings import GROUPS, holdings
from cardref.specimens.matrix import panels
from cardref.specimens.picture import picture
from cardref.specimens.telling import as_json, as_text, rows_of
from cardref.storage.atomic import Change, write_changes
from cardref.storage.converter import structure
from cardref.text import count_of, quoted, visible

SUMMARY = (
    "What you have, what you lack, what you can swap, and what you can tell others. Nothing is sent anywhere."
)
EXAMPLE = "cardref own report examples/shoebox.csv --by figure"


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")
    _report(actions.add_parser("report", help="have, missing, double, condition, spent, sales seen"))


def _report(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("files", nargs="+", metavar="FILE", help="files of your own, YAML or CSV")
    parser.add_argument("--by", choices=GROUPS, default="", help="every group of one kind")
    parser.add_argument(
        "--card", metavar="CARD", help="do I have it, and is this one better? An id, or 'lamp diver 25B'"
    )
    parser.add_argument(
        "--condition", metavar="PARTS", help="with --card: the one at hand, 'bubble=whole; seal=holds'"
    )
    parser.add_argument("--svg", metavar="FILE", help="draw figures by backs into FILE, a new one")
    parser.add_argument("--line", metavar="LINE", default="", help="with --svg: of this line only")
    parser.add_argument("--maker", metavar="MAKER", default="", help="with --svg: of this maker only")
    add_dataset(parser)
    add_format(parser, "text", "json", "csv")


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    return {"report": _run_report}[args.action](args)


def _run_report(args: argparse.Namespace) -> int:
    reference = open_reference(args)
    mine = read_collection(args.files, reference)
    if args.card:
        return _card(args, reference, mine)
    if args.svg:
        return _draw(args, reference, mine)
    found = holdings(reference.index, mine)
    if args.format == "json":
        print_json({**_head(reference), "report": as_json(found)})
    elif args.format == "csv":
        head, *rows = rows_of(reference.index, found, args.by)
        print_csv(head, rows)
    else:
        for line in as_text(reference.index, found, args.by):
            print(visible(line))
    return 0


def _card(args: argparse.Namespace, reference: Reference, mine: Collection) -> int:
    index = reference.index
    answer = one_card.beside(index, mine, args.card, _condition(args.condition))
    if args.format == "json":
        print_json({**_head(reference), "card": one_card.as_json(answer)})
    elif args.format == "csv":
        raise UsageError("--card answers as text or json")
    else:
        for line in one_card.told(index, answer):
            print(visible(line))
    return 0


def _condition(text: str | None) -> ConditionReport | None:
    """The parts and states of an option: ``bubble=whole; hang tab=punched``."""
    if not text:
        return None
    raw: dict[str, str] = {}
    for piece in filter(None, (part.strip() for part in text.split(";"))):
        name, equals, state = (word.strip() for word in piece.partition("="))
        column = column_named(name)
        if not equals or column is None or column.pointer[0] != "condition" or not state:
            parts = ", ".join(part.name for part in PARTS.values())
            raise UsageError(f"{quoted(piece)} is not PART=STATE; the parts are {parts}")
        raw[str(column.pointer[1])] = column.read(state)
    told = {"id": "this", "condition": raw}
    made: Any = structure("specimen", told)
    if made is None:
        raise UsageError(f"--condition: {next(shape_faults('specimen', told)).message}")
    condition: ConditionReport = made.condition
    return condition


def _draw(args: argparse.Namespace, reference: Reference, mine: Collection) -> int:
    line = reference.line(args.line).id if args.line else ""
    maker = reference.maker(args.maker).id if args.maker else ""
    drawn = panels(reference.index, mine, line=line, maker=maker)
    path = Path(args.svg)
    if path.exists():
        raise UsageError(f"{quoted(args.svg)} is there already, and is not overwritten: name another file")
    write_changes(path.parent, [Change(path.name, None, picture(reference.index, drawn).encode())])
    print(f"drawn: {visible(args.svg)} ({count_of(len(drawn), 'panel')})")
    return 0


def _head(reference: Reference) -> dict[str, object]:
    return {
        "format": 1,
        "dataset": reference.name,
        "version": reference.version,
        "fingerprint": reference.fingerprint,
    }
