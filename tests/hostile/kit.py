r"""What tests of hostile input share: the command line run in this process, its bytes kept, steps counted.

>>> from tests.hostile.kit import run
>>> ran = run(["explain", "wave"])
>>> ran.status, b"Traceback" in ran.err
(0, False)
"""

import datetime as dt
import io
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from attrs import frozen

from cardref.cli.dispatch import main
from cardref.text import visible

__all__ = ["FILES", "TODAY", "Ran", "raw_signs", "run", "steps"]

FILES = Path(__file__).with_name("files")
"""The hostile files; ``expected.yaml`` beside the folder says what is found in each."""
TODAY = dt.date(2026, 11, 25)


@frozen
class Ran:
    """What a call of the command line came to: its exit status and every byte that it wrote."""

    status: int
    out: bytes
    err: bytes


def run(words: list[str], stdin: bytes = b"", encoding: str = "utf-8") -> Ran:
    """Run the command line in this process. An exception that gets out of it gets out of here."""
    kept = sys.stdin, sys.stdout, sys.stderr
    out, err = io.BytesIO(), io.BytesIO()
    sys.stdin = io.TextIOWrapper(io.BytesIO(stdin), encoding, errors="surrogateescape")
    # Without translation of line ends, so that the bytes are those that a terminal would get.
    sys.stdout = io.TextIOWrapper(out, encoding, errors="strict", newline="")
    sys.stderr = io.TextIOWrapper(err, encoding, errors="backslashreplace", newline="")
    try:
        status = main(words)
        sys.stdout.flush()
        sys.stderr.flush()
        return Ran(status, out.getvalue(), err.getvalue())
    finally:
        sys.stdin, sys.stdout, sys.stderr = kept


def raw_signs(output: bytes) -> list[str]:
    """The signs in ``output`` that a terminal or a reader would act on instead of seeing them; line ends are
    none, and neither is a command of a CI log that stands in the middle of a line.
    """
    text = output.decode("utf-8")  # the one encoding of all that we write
    return [sign for sign in set(text) - {"\n", "\r"} if visible(sign) != sign]


@contextmanager
def _counting(count: list[int]) -> Iterator[None]:
    def one(_frame: Any, _event: str, _argument: Any) -> None:
        count[0] += 1

    kept = sys.getprofile()
    sys.setprofile(one)
    try:
        yield
    finally:
        sys.setprofile(kept)


def steps(work: Callable[[], Any]) -> int:
    """How many calls and returns of functions, C ones included, ``work`` takes: no clock disturbs that."""
    count = [0]
    with _counting(count):
        work()
    return count[0]
