"""``cardref identify [FEATURE=READING ...]``: which printing it is, and what to look at next."""

import argparse
import sys
from collections.abc import Iterable, Mapping

from cardref.cli.common import add_dataset, add_format, open_reference, print_json
from cardref.cli.identified import MOST, answer, features
from cardref.errors import NotationError, UsageError
from cardref.identification.answer import Ending
from cardref.identification.identify import Identification, identify
from cardref.reference import Reference
from cardref.text import clip, quoted, wrapped

SUMMARY = (
    "Say which printing a card is, from what can be seen of it, in any order; one misread does not rule the "
    "right one out. The letter is the answer, never something to see."
)
EXAMPLE = """cardref identify maker=quay-marl back-count=25 rope-length='4 mm'
  cardref identify --line tidewrack figure='lamp diver' code='7K 2046/0?1' beam='left|right' gulls=?
  cardref identify --line tidewrack --ask

a|b   one of these      ?   could not see      -   does not apply"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument(
        "looks", nargs="*", metavar="FEATURE=READING", help="what was seen; the start of a name is enough"
    )
    parser.add_argument(
        "--line", metavar="LINE", default="", help="the line, where what was seen fits several"
    )
    parser.add_argument(
        "--by", choices=("back", "card"), help="candidates: printed reverses, or fronts on reverses"
    )
    parser.add_argument(
        "--sure", metavar="SHARE", type=float, default=0.95, help="how sure is identified (default: 0.95)"
    )
    parser.add_argument("--most", metavar="N", type=int, default=MOST, help="list at most N (default: 8)")
    parser.add_argument("--ask", action="store_true", help="be asked, on a terminal: the best look first")
    parser.add_argument("--features", action="store_true", help="list what there is to look at, and stop")
    add_dataset(parser)
    add_format(parser, "text", "json")


def run(args: argparse.Namespace) -> int:
    """Print the answer; 1 where what was seen contradicts itself or goes with nothing recorded."""
    if args.most < 1:
        raise UsageError("--most needs a number from 1")
    if args.ask and not sys.stdin.isatty():
        raise UsageError("--ask needs a terminal to ask at: without one give FEATURE=READING")
    if args.features and args.format != "text":
        raise UsageError("--features is a list to read: leave --format out, or look features up with `list`")
    line, by, seen = _sorted_out(args)
    reference = open_reference(args)
    if args.ask:
        from cardref.cli.asking import ask, line_asked  # noqa: PLC0415 - only who wants to be asked needs it

        ident = _begun(reference, line or ("" if seen else line_asked(reference)), by, seen, args.sure)
        ident = ask(ident)
    else:
        ident = _begun(reference, line, by, seen, args.sure)
    if args.features:
        _print(features(ident))
        return 0
    if args.format == "json":
        from cardref.identification.as_json import as_json  # noqa: PLC0415 - text needs none

        print_json(
            {
                "format": 1,
                "dataset": reference.name,
                "version": reference.version,
                "fingerprint": reference.fingerprint,
                **as_json(ident, args.most),
            }
        )
    else:
        _print(answer(ident, args.most))
    return 1 if ident.contradictions or ident.verdict is Ending.UNRECORDED else 0


def _print(lines: Iterable[str]) -> None:
    """Lines of an answer, those that are too long folded under themselves."""
    for line in lines:
        indent = " " * (len(line) - len(line.lstrip()) + 2)
        print("\n".join(wrapped(line, indent)))


def _sorted_out(args: argparse.Namespace) -> tuple[str, str, dict[str, str]]:
    """The line and what the candidates are, where they are said, and what was seen."""
    seen: dict[str, str] = {}
    said = {"line": args.line, "by": args.by or ""}
    for word in args.looks:
        name, equals, value = word.partition("=")
        name = name.strip()
        if not equals or not name:
            raise UsageError(f"{quoted(word)} is not FEATURE=READING; for example back-count=25")
        if name in said:
            if said[name] not in ("", value):
                raise UsageError(f"{name} was given twice, as {quoted(said[name])} and {quoted(value)}")
            said[name] = value
        elif seen.get(name, value) != value:
            both = f"{clip(seen[name], 40)}|{clip(value, 40)}"
            raise UsageError(
                f"{quoted(name)} was given twice, as {quoted(seen[name])} and {quoted(value)}: give the one "
                f"you trust, or {clip(name, 40)}='{both}' for one of the two"
            )
        else:
            seen[name] = value
    return said["line"], said["by"], seen


def _begun(reference: Reference, line: str, by: str, seen: Mapping[str, str], sure: float) -> Identification:
    """By back, unless what was seen can be seen on whole cards only."""
    index = reference.index
    if by:
        return identify(index, line, by, seen, threshold=sure)
    try:
        return identify(index, line, "back", seen, threshold=sure)
    except (UsageError, NotationError):
        try:
            ident = identify(index, line, "card", seen, threshold=sure)
        except (UsageError, NotationError):
            ident = None
        if ident is None:
            raise
        print("by card, for a back alone does not have all that was seen", file=sys.stderr)
        return ident
