"""The command line: ``cardref VERB``. One module a verb, imported when that verb is used.

A verb's module has ``SUMMARY`` (one line), ``EXAMPLE`` (a command that works), ``arguments(parser)`` and
``run(args) -> int``, the exit status: 0 the answer is clean or there is an answer, 1 the answer has something
against it, 2 called wrongly or could not do its work.

>>> VERBS["decode"]
'what a package code, designation or barcode means'
"""

import contextlib
import gc
import io
import os
import sys
from collections.abc import Collection, Sequence
from importlib import import_module
from typing import Any

from cardref.errors import CardrefError
from cardref.text import clip, closest, quoted, visible

__all__ = ["VERBS", "main"]

VERBS = {
    "decode": "what a package code, designation or barcode means",
    "identify": "which printing it is, from what can be seen",
    "vet": "whether a claimed card agrees with itself and the reference",
    "show": "one record, what follows from it, and its sources",
    "list": "records of a kind as a table",
    "explain": "a word of the trade",
    "check": "validate a dataset or a file of your own",
    "rules": "what the checks want, and why",
    "gaps": "what cannot be told apart, and what to record next",
    "fmt": "put a dataset's files into the canonical layout",
    "fix": "apply the safe fixes of findings",
    "compare": "what changed between two datasets, by meaning",
    "retire": "retire, rename, merge or split records",
    "tables": "the dataset as CSV for a spreadsheet, and back",
    "export": "the dataset as a data package, SQLite or JSON",
    "init": "start a dataset for a new line",
    "own": "what you have, lack, can swap and can tell others",
}


def _usage() -> str:
    verbs = "\n".join(f"  {verb:9} {text}" for verb, text in VERBS.items())
    return f"""cardref VERB ... : which printing is it, and does what is printed on it agree?

{verbs}

cardref VERB --help    what a verb takes, with an example
cardref --version      program, model and bundled dataset
Nothing here authenticates a card."""


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command line; ``argv`` is without the program's name. Returns the exit status."""
    words = list(sys.argv[1:] if argv is None else argv)
    # A command is done before there is much to collect; looking for it cost the shortest ones a twentieth.
    gc.set_threshold(100_000)
    _open_streams()
    try:
        status = _dispatch(words)
        sys.stdout.flush()
    except BrokenPipeError:
        # The reader has gone; what is still in the buffer must not be written at exit.
        _drop_output()
        return 0
    except KeyboardInterrupt:
        return 130
    except CardrefError as error:
        # Line by line, so that no text in the message can begin a line that a log takes for a command.
        print("cardref: " + "\n".join(map(visible, str(error).split("\n"))), file=sys.stderr)
        return 2
    except OSError as error:
        # What no verb has better words for: a name that is too long, a folder that is gone, a full disk.
        _drop_output()
        where = f"{quoted(os.fsdecode(error.filename))}: " if isinstance(error.filename, (str, bytes)) else ""
        print(f"cardref: {where}the system says: {error.strerror or error}", file=sys.stderr)
        return 2
    except SystemExit as stop:  # argparse
        return stop.code if isinstance(stop.code, int) else 2
    else:
        return status


def _open_streams() -> None:
    """Make the streams fit for use: they may be closed, of another encoding, or carry what is no text."""
    if sys.stdin is None:
        sys.stdin = io.StringIO()
    if sys.stdout is None:
        sys.stdout = io.StringIO()
    if sys.stderr is None:
        sys.stderr = io.StringIO()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # Line ends are written as they are, so that the bytes are the same on every system.
            stream.reconfigure(errors="backslashreplace", newline="\n")
    if isinstance(sys.stdin, io.TextIOWrapper):
        with contextlib.suppress(io.UnsupportedOperation):  # somebody has begun to read it
            # Files and programs write UTF-8; at a terminal people write what it is set to.
            sys.stdin.reconfigure(encoding=None if sys.stdin.isatty() else "utf-8", errors="replace")


def _drop_output() -> None:
    """Let what cannot be written to standard output go: Python would try again at exit, and fail again."""
    try:
        sys.stdout.flush()
    except OSError:
        with contextlib.suppress(OSError, io.UnsupportedOperation):
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _dispatch(words: list[str]) -> int:
    if not words or words[0] in ("-h", "--help", "help"):
        print(_usage(), file=sys.stdout if words else sys.stderr)
        return 0 if words else 2
    if words[0] == "--version":
        print(_version())
        return 0
    verb, *rest = words
    if verb not in VERBS:
        near = closest(verb, VERBS, 1)
        hint = f"did you mean {near[0]}?" if near else f"the verbs are {', '.join(VERBS)}"
        if verb.startswith("-"):
            hint = "the verb comes first, its options behind it, such as `cardref list makers --dataset DIR`"
        print(f"cardref: there is no verb {quoted(verb)}; {hint}", file=sys.stderr)
        return 2
    module = import_module(f"cardref.cli.{verb}")
    args = _parser(verb, module).parse_args(rest)
    status: int = module.run(args)
    return status


def _parser(verb: str, module: Any) -> Any:
    import argparse  # noqa: PLC0415 - slow to import, and --version does without

    class Help(argparse.HelpFormatter):
        def __init__(self, prog: str) -> None:
            # argparse makes one for every argument that is added, and would import much to ask for the width.
            super().__init__(prog, width=_width())

        def _fill_text(self, text: str, width: int, indent: str) -> str:
            """Folded; but an example is copied as it stands."""
            return text if text.startswith("example:") else super()._fill_text(text, width, indent)

    class Parser(argparse.ArgumentParser):
        _mixing = False

        def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
            """Words may stand before, between and behind options: nobody remembers that they may not."""
            words = list(args or ())
            if self._mixing:  # called by what follows
                return super().parse_known_args(words, namespace)
            if "--" in words and not any(word.startswith("-") for word in words[words.index("--") + 1 :]):
                words.remove("--")
            self._mixing = True
            try:
                # argparse mixes neither with actions, which do so themselves, nor with words behind `--`.
                plain = self._subparsers is not None or "--" in words
                parse = super().parse_known_args if plain else self.parse_known_intermixed_args
                found, left = parse(words, namespace)
            finally:
                self._mixing = False
            if left:
                self.error(_not_taken(left[0], self._option_string_actions))
            return found, left

        def error(self, message: str) -> Any:
            print(f"{self.prog}: {clip(message, 300)}; see `{self.prog} --help`", file=sys.stderr)
            raise SystemExit(2)

    parser = Parser(
        prog=f"cardref {verb}",
        description=module.SUMMARY,
        epilog=f"example:\n  {module.EXAMPLE}",
        formatter_class=Help,
        allow_abbrev=False,
    )
    module.arguments(parser)
    return parser


def _width() -> int:
    """Columns for help: those of the terminal, or 78."""
    try:
        said = int(os.environ.get("COLUMNS", "0"))
        return max((said or os.get_terminal_size(1).columns) - 2, 20)
    except (ValueError, OSError):
        return 78


def _not_taken(word: str, options: Collection[str]) -> str:
    """Why a word of a command line is not taken, with what was probably meant."""
    name = word.partition("=")[0]
    if not name.startswith("-"):
        return f"{quoted(word)} is one word too many; quote what belongs together"
    near = closest(name, options, 1)
    return f"there is no option {quoted(name)}" + (f"; did you mean {near[0]}?" if near else "")


def _version() -> str:
    from cardref import __version__  # noqa: PLC0415 - as below
    from cardref.model.dataset import MODEL_VERSION  # noqa: PLC0415 - only --version needs the model
    from cardref.reference import load  # noqa: PLC0415 - and the reference

    bundled = load()
    data = f"bundled dataset {bundled.version} {bundled.fingerprint}"
    return f"cardref {__version__}, model {MODEL_VERSION}, {data}"
