"""The code blocks of a Markdown file: for the test that executes them, and for .ci/run.

Needs nothing but Python, since .ci/run calls it on a bare machine:
``python tests/markdown.py README.md fresh`` prints the blocks marked ``fresh``, one after another.

What a fence says decides what is done with its block:

- ``python``: executed; with ``>>>`` as a doctest. The blocks of one file share their names.
- ``console``: lines that start with ``$ `` are executed, what follows them is the output expected, in which
  ``...`` stands for any text of a line, and alone on a line for any lines.
- ``sh fresh``: for a machine with only Python and git; .ci/run executes it in a fresh copy of the tree.
- ``sh by-hand``: too long or too personal to be executed; a person does that.
- anything else (``yaml``, ``json``, ``text``) is shown only.
"""

import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

_FENCE = re.compile(r"^(?P<indent> {0,3})(?P<fence>`{3,})(?P<info>[^`]*)$")


@dataclass(frozen=True)
class Block:
    """One fenced block: the words behind its fence, its text, and the line of the fence, from 1."""

    language: str
    words: tuple[str, ...]
    text: str
    line: int


def blocks(text: str) -> Iterator[Block]:
    """The fenced code blocks of a Markdown text (CommonMark 4.5, the part of it that we use)."""
    opened: re.Match[str] | None = None
    start = 0
    body: list[str] = []
    for number, line in enumerate(text.splitlines(), 1):
        if opened is None:
            opened = _FENCE.match(line)
            start, body = number, []
        elif line.strip().startswith(opened["fence"]) and not line.strip().strip("`"):
            language, *words = opened["info"].split() or [""]
            yield Block(language, tuple(words), "".join(f"{row}\n" for row in body), start)
            opened = None
        else:
            body.append(line.removeprefix(opened["indent"]))
    if opened is not None:
        raise ValueError(f"line {start}: the code block is never closed")


def main(path: str, word: str) -> int:
    """Print the blocks of a file that are marked with ``word``; exit status 1 where there is none."""
    found = [block.text for block in blocks(Path(path).read_text(encoding="utf-8")) if word in block.words]
    print("\n".join(found), end="")
    return 0 if found else 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
