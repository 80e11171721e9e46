"""``cardref init``: start a dataset for a new line."""

import argparse
import sys
from pathlib import Path

from cardref.cli.writing import finish_first
from cardref.errors import DatasetError, UsageError
from cardref.starting.start import LICENCES, Beginning, start
from cardref.storage.atomic import write_changes
from cardref.text import count_of, quoted, visible

SUMMARY = "Start a dataset for a new line. Asks for what is not given; nothing that is there is overwritten."
EXAMPLE = """cardref init my-line --line "Lantern Trail" --maker "Pell Playthings" --years 1981/1984
  cardref init mine --line "Lantern Trail" --maker "Pell Playthings" --bare"""

_QUESTIONS = (
    ("line", "The line's title, as on the cards: ", True),
    ("maker", "The company that started it: ", True),
    ("country", "Its country, two capitals (ISO 3166, empty if not known): ", False),
    ("series", "The first series' title (empty: like the line's): ", False),
    ("years", "When that was sold, such as 1981/1984 (empty if not known): ", False),
    ("language", "Language of the cards, such as en (empty: en): ", False),
    ("licence", f"Licence of your data, one of {', '.join(LICENCES)} (empty: CC0-1.0): ", False),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("folder", metavar="DIR", help="the directory of the new dataset")
    parser.add_argument("--line", metavar="TITLE", help="the line's title")
    parser.add_argument("--maker", metavar="NAME", help="the home maker's name")
    parser.add_argument("--country", metavar="CODE", help="the maker's country, ISO 3166")
    parser.add_argument("--series", metavar="TITLE", help="the first series (default: the line's title)")
    parser.add_argument("--years", metavar="EDTF", help="when the series was sold")
    parser.add_argument("--language", metavar="TAG", help="language of the cards, BCP 47 (default: en)")
    parser.add_argument("--licence", metavar="SPDX", help="licence of the data (default: CC0-1.0)")
    parser.add_argument("--line-id", metavar="ID", help="short id of the line (default: from its title)")
    parser.add_argument("--maker-id", metavar="ID", help="short id of the maker (default: from its name)")
    parser.add_argument("--bare", action="store_true", help="without example records, for a list of your own")


def run(args: argparse.Namespace) -> int:
    """Write the files and say what to do next."""
    folder = Path(args.folder)
    finish_first(folder)
    done = start(folder, _beginning(args))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise DatasetError(f"{quoted(str(folder))} cannot be made ({error.strerror})") from error
    write_changes(folder, done.changes)
    for path in done.kept:
        print(f"left as it is: {visible(path)}")
    where = visible(args.folder)
    print(f"{count_of(len(done.changes), 'file')} written to {where}. Next:")
    if not done.code:
        print(f"  cardref tables add LIST.csv --dataset {where}")
        print("    LIST.csv has one row a card, and at least the columns figure and back")
        print(f"  cardref check {where}")
        return 0
    print(f"  cardref check {where}")
    print(f"  cardref decode {done.code} --dataset {where}")
    print(f"  then replace the examples: {where}/CONTRIBUTING.md says how")
    return 0


def _beginning(args: argparse.Namespace) -> Beginning:
    given = {name: getattr(args, name) for name, _, _ in _QUESTIONS if getattr(args, name) is not None}
    missing = [name for name, _, needed in _QUESTIONS if needed and name not in given]
    if missing:
        if not sys.stdin.isatty():
            options = " and ".join(f"--{name}" for name in missing)
            raise UsageError(f"there is no terminal to ask on: give {options}")
        for name, question, needed in _QUESTIONS:
            if name not in given:
                given[name] = _ask(question, needed=needed)
    ids = {"line_id": args.line_id or "", "maker_id": args.maker_id or ""}
    # An empty answer is none, but where one is needed: then it is told that it is.
    answers = {name: given[name] for name, _, needed in _QUESTIONS if given.get(name) or needed}
    return Beginning(**answers, **ids, bare=args.bare)


def _ask(question: str, *, needed: bool) -> str:
    """An answer from the terminal. Errors: UsageError when there is no more input."""
    while True:
        print(question, end="", file=sys.stderr, flush=True)
        line = sys.stdin.readline()
        if not line:
            raise UsageError(f"no answer to {quoted(question.strip())}: nothing was written")
        if line.strip() or not needed:
            return line.strip()
