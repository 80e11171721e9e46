"""``cardref own``: the user's own specimens: add, report, match, propose."""

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cardref.cli.common import add_dataset, add_format, open_reference, print_csv, print_json
from cardref.cli.writing import finish_first
from cardref.errors import UsageError
from cardref.fixing.place import root_of
from cardref.model.condition import PARTS, ConditionReport
from cardref.model.kinds import OWN_KINDS
from cardref.reference import Reference, load
from cardref.specimens import matching, one_card, proposing
from cardref.specimens.adding import added
from cardref.specimens.answers import Heard, from_answer
from cardref.specimens.collection import Collection, read_collection
from cardref.specimens.columns import cell_read, column_named
from cardref.specimens.forms import shape_faults
from cardref.specimens.holdings import GROUPS, holdings
from cardref.specimens.matrix import panels
from cardref.specimens.picture import picture
from cardref.specimens.proposing import Evidence, Proposal
from cardref.specimens.telling import as_json, as_text, rows_of
from cardref.storage.atomic import Change, write_changes
from cardref.storage.converter import structure
from cardref.text import count_of, quoted, visible

SUMMARY = (
    "What you have, what you lack, what you can swap, and what you can tell others. Nothing is sent anywhere."
)
_BOX = "examples/shoebox/shoebox.csv"
_WANTS = "examples/shoebox/wants.yaml"
EXAMPLE = f"cardref own report {_BOX} {_WANTS}"
_ADDED = "cardref own add mine.yaml --figure 'lamp diver' --back 'quay-marl 25B' --price '12.50 EUR'"
_MATCHED = f"cardref own match {_BOX} {_WANTS}"
_PROPOSED = f"cardref own propose {_BOX} --specimen s-151 --by 'The Curlew collection (invented)'"

_MOST = 20
"""So many lines of news are shown."""
_LONGEST = 4 << 20
"""So many characters may an answer have that a record is taken from: over a hundred times what one has."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    actions = parser.add_subparsers(dest="action", required=True, metavar="ACTION")
    for name, told, declare, example in (
        ("add", "write one down: from options, or from an answer of identify or vet", _add, _ADDED),
        ("report", "have, missing, double, condition, spent, sales; a picture", _report, EXAMPLE),
        ("match", "your duplicates against somebody's wants, and the reverse", _match, _MATCHED),
        ("propose", "what yours tell the dataset that it lacks, as a patch", _propose, _PROPOSED),
    ):
        action = actions.add_parser(
            name,
            help=told,
            description=f"{told[0].upper()}{told[1:]}.",
            epilog=f"example:\n  {example}",
            formatter_class=parser.formatter_class,
            allow_abbrev=False,
        )
        declare(action)


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
    return _RUN[args.action](args)


# --- report ----------------------------------------------------------------------------------------------


def _run_report(args: argparse.Namespace) -> int:
    if args.condition and not args.card:
        raise UsageError("--condition is of one card at hand: name that with --card")
    if (args.line or args.maker) and not args.svg:
        raise UsageError("--line and --maker limit a picture: name its file with --svg")
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


def _parts(text: str) -> dict[str, Any]:
    """The parts and states of an option: ``bubble=whole; hang tab=punched``."""
    raw: dict[str, Any] = {}
    for piece in filter(None, (part.strip() for part in text.split(";"))):
        name, equals, state = (word.strip() for word in piece.partition("="))
        column = column_named(name)
        if not equals or column is None or column.pointer[0] != "condition" or not state:
            parts = ", ".join(part.name for part in PARTS.values())
            raise UsageError(f"{quoted(piece)} is not PART=STATE; the parts are {parts}")
        raw[str(column.pointer[1])] = column.read(state)
    return raw


def _condition(text: str | None) -> ConditionReport | None:
    """The condition that an option tells."""
    if not text:
        return None
    told = {"id": "this", "condition": _parts(text)}
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


# --- add -------------------------------------------------------------------------------------------------

# Option (and field), and what to say of it.
_TEXTS = (
    ("id", "short name; the next free one where it is not given"),
    ("status", "owned, seen, offered or gone"),
    ("form", "carded, loose-card, flat-proof or uncut-sheet"),
    ("card", "the card, by id"),
    ("figure", "the figure, by id or name"),
    ("back", "the back, by id or 'quay-marl 25B'"),
    ("face", "the front, by id"),
    ("maker", "the maker, where the back is not known"),
    ("basis", "claimed or identified"),
    ("code", "package code as printed"),
    ("price", "'12.50 EUR'"),
    ("most", "of a want: the most you would pay"),
    ("seller", "from whom"),
    ("where", "of a sale: where it was seen"),
    ("date", "when, year first: 2026-11-25, 2026-11 or 2026"),
    ("note", "what else is worth telling"),
)


def _add(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="your file; a YAML file that is not there yet is begun")
    parser.add_argument(
        "--from", dest="answer", metavar="FILE", help="the JSON answer of identify or vet; - is stdin"
    )
    parser.add_argument("--as", dest="kind", choices=OWN_KINDS, default="specimen", help="default: specimen")
    for option, told in _TEXTS:
        parser.add_argument(f"--{option}", metavar="TEXT", help=told)
    for option, name, told in (
        ("--saw", "FEATURE=STATE", "what was seen; a|b: one of these"),
        ("--photo", "NAME", "a photograph's file name"),
        ("--word", "WORD", "of a sale: a word of its condition"),
    ):
        parser.add_argument(option, metavar=name, action="append", default=[], help=f"{told}; several times")
    parser.add_argument("--condition", metavar="PARTS", default="", help="'bubble=whole; hang tab=punched'")
    parser.add_argument("--defects", metavar="TEXT", default="", help="'bubble: dent, lower left, 4 mm'")
    parser.add_argument("--grade", metavar="TEXT", default="", help="a third party's grade, as it stands")
    parser.add_argument("--grade-by", metavar="TEXT", default="", help="who gave it")
    parser.add_argument("--trade", action="store_true", help="it is for trade")
    parser.add_argument("--diff", action="store_true", help="write nothing; show what would change")
    add_dataset(parser)


def _run_add(args: argparse.Namespace) -> int:
    reference = open_reference(args)
    heard = from_answer(reference.index, _json(args.answer)) if args.answer else Heard()
    raw = {**heard.raw, **_said(args)}
    if not raw:
        raise UsageError(
            "nothing is said of it: give --card, or --figure and --back, or --from an answer; "
            "see `cardref own add --help`"
        )
    done = added(args.file, args.kind, raw, reference)
    for left in heard.left:
        print(f"not taken over: {visible(left)}", file=sys.stderr)
    if args.diff:
        print(done.change.diff(), end="")
        return 0
    path = Path(args.file)
    path.parent.mkdir(parents=True, exist_ok=True)
    write_changes(path.parent, [done.change])
    print(f"{done.id} added to {visible(args.file)}")
    for finding in done.findings:
        print(f"  {finding.severity.value}: {visible(finding.message)}")
    return 0


def _said(args: argparse.Namespace) -> dict[str, Any]:
    """What the options say of the record; what is empty is left out when it is added."""
    raw: dict[str, Any] = {option: value for option, _ in _TEXTS if (value := getattr(args, option))}
    if args.saw:
        readings = cell_read("readings", "; ".join(args.saw))
        if isinstance(readings, str):
            raise UsageError(f"{quoted(readings)} is not FEATURE=STATE, such as gulls=3")
        raw["readings"] = readings
    if args.word:
        raw["condition"] = args.word
    if args.condition or args.defects:
        raw["condition"] = _parts(args.condition)
        if args.defects:
            raw["condition"]["defects"] = cell_read("defects", args.defects)
    if args.grade or args.grade_by:
        raw["grade"] = {"text": args.grade, "issuer": args.grade_by}
    if args.photo:
        raw["photos"] = args.photo
    if args.trade:
        raw["trade"] = True
    return raw


def _json(name: str) -> Any:
    import json  # noqa: PLC0415 - only an answer is read

    try:
        if name == "-":
            text = sys.stdin.read(_LONGEST + 1)
        else:
            with Path(name).open(encoding="utf-8") as stream:
                text = stream.read(_LONGEST + 1)
        answer = json.loads(text) if len(text) <= _LONGEST else None
    except (OSError, ValueError, RecursionError) as error:  # ValueError: no text, no JSON, or a huge number
        why = getattr(error, "strerror", None) or "it is no JSON: ask with --format json"
        raise UsageError(f"the answer in {quoted(name)} cannot be read ({why})") from None
    if len(text) > _LONGEST:
        raise UsageError(
            f"the answer in {quoted(name)} is longer than {_LONGEST:,} characters: give what identify or vet "
            "prints with --format json, and ask identify for fewer candidates with --most"
        )
    return answer


# --- match -----------------------------------------------------------------------------------------------


def _match(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("mine", metavar="MINE", help="your file")
    parser.add_argument("theirs", metavar="THEIRS", help="the other's file")
    add_dataset(parser)
    add_format(parser, "text", "json", "csv")


def _run_match(args: argparse.Namespace) -> int:
    reference = open_reference(args)
    found = matching.match(*(read_collection([file], reference) for file in (args.mine, args.theirs)))
    if args.format == "json":
        print_json({**_head(reference), "match": matching.as_json(found)})
    elif args.format == "csv":
        head, *rows = matching.rows_of(reference.index, found)
        print_csv(head, rows)
    else:
        for line in matching.as_text(reference.index, found):
            print(visible(line))
    return 0


# --- propose ---------------------------------------------------------------------------------------------


def _propose(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("files", nargs="+", metavar="FILE", help="files of your own, YAML or CSV")
    parser.add_argument(
        "--specimen",
        action="append",
        default=[],
        metavar="ID",
        help="this one only; several times",
    )
    parser.add_argument("--by", default="", metavar="TEXT", help="who saw it, and how somebody else finds it")
    parser.add_argument("--source", default="", metavar="ID", help="short name of the source record")
    parser.add_argument("--dispute", metavar="RECORD", help="this back, face or card is wrong; with --why")
    parser.add_argument("--why", default="", metavar="TEXT", help="what is wrong with it, a sentence")
    parser.add_argument("--other-side", default="", metavar="TEXT", help="what the record's own side says")
    parser.add_argument("--write", action="store_true", help="change the dataset instead of showing a patch")
    parser.add_argument("--dataset", metavar="DIR", help="the dataset to tell (default: ./dataset)")
    add_format(parser, "text", "json")


def _run_propose(args: argparse.Namespace) -> int:
    root = root_of(args.dataset)
    finish_first(root, dry=not args.write)
    reference = load(root)
    mine = read_collection(args.files, reference)
    found = _proposed(args, mine, root)
    if args.write:
        write_changes(root, found.changes)
    if args.format == "json":
        print_json({**_head(reference), "proposal": proposing.as_json(found)})
        return 0
    if not args.write:
        print(found.patch, end="")
    for line in _news(found, root, written=args.write):
        print(visible(line), file=sys.stdout if args.write else sys.stderr)
    return 0


def _proposed(args: argparse.Namespace, mine: Collection, root: Path) -> Proposal:
    evidence = Evidence(citation=args.by, source=args.source)
    if not args.dispute:
        if args.why or args.other_side:
            raise UsageError("--why and --other-side belong to --dispute RECORD")
        return proposing.proposed(mine, root, evidence, specimens=args.specimen)
    if len(args.specimen) > 1:
        raise UsageError("a dispute is shown by one specimen: name one --specimen")
    return proposing.disputed(
        mine,
        root,
        evidence,
        args.dispute,
        args.why,
        specimen="".join(args.specimen),
        other_side=args.other_side,
    )


def _news(found: Proposal, root: Path, *, written: bool) -> Iterator[str]:
    for title, lines in (("new", found.news), ("held back", found.held)):
        yield from (f"{title}: {line}" for line in lines[:_MOST])
        if len(lines) > _MOST:
            yield f"{title}: and {len(lines) - _MOST} more; --format json has all"
    for finding in found.findings:
        yield f"note: {finding.place}: {finding.message}"
    if not found.changes:
        yield "nothing of that is new to the dataset"
    elif written:
        files = count_of(len(found.changes), "file")
        yield f"{files} changed, which pass the checks; next: `cardref compare HEAD {root.as_posix()}`"
    else:
        yield (
            "it passes the checks. Apply it with --write instead, or keep the patch: "
            f"`git apply -p0 --directory={root.as_posix()} FILE`"
        )


_RUN = {"report": _run_report, "add": _run_add, "match": _run_match, "propose": _run_propose}
