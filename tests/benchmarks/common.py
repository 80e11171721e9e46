"""What every benchmark shares: a row that compares two ways of doing the same work, and how it is measured.

Only ratios mean something: absolute times drift with the machine. Both sides are measured in turns in one
run, and the best of several rounds counts, so that a busy moment hits both.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

ROUNDS = 7


Reader = tuple[Callable[[str], object], Sequence[str]]
"""What reads one text, and the texts that it is given."""


class Row(NamedTuple):
    """One comparison: ``ours`` and ``theirs`` for the same work, in seconds, ``goal`` the largest ratio.

    ``unit`` where they are something else than seconds, such as MiB. ``limit``, in the same unit, is for work
    that no peer does in a like way: it holds for the machine on which it was set.
    """

    work: str
    ours: float
    beside: str
    theirs: float
    goal: float | None = None
    unit: str = "s"
    limit: float | None = None

    @property
    def ratio(self) -> float:
        """Ours : theirs; below 1 is quicker than they are."""
        return self.ours / self.theirs

    def amount(self, value: float) -> str:
        """A value with its unit."""
        return time_text(value) if self.unit == "s" else f"{value:.3g} {self.unit}"

    @property
    def goals(self) -> str:
        """The goals in words, with a mark behind one that is missed."""
        told = []
        if self.goal is not None:
            told.append((f"<= {self.goal:.3g}", self.ratio > self.goal))
        if self.limit is not None:
            told.append((f"<= {self.amount(self.limit)}", self.ours > self.limit))
        return ", ".join(f"{text} **missed**" if missed else text for text, missed in told)


def race(
    ours: Callable[[], object], theirs: Callable[[], object], rounds: int = ROUNDS
) -> tuple[float, float]:
    """Seconds for each, the best of ``rounds``, measured in turns."""
    best = [float("inf"), float("inf")]
    for _ in range(rounds):
        for at, work in enumerate((ours, theirs)):
            start = time.perf_counter()
            work()
            best[at] = min(best[at], time.perf_counter() - start)
    return best[0], best[1]


def reading(
    work: str,
    ours: Reader,
    beside: str,
    theirs: Reader,
    goal: float | None = None,
    limit: float | None = None,
) -> Row:
    """Compare two readers, each on its own texts of one kind; the slower one may get fewer. For one text."""

    def all_of(side: Reader) -> Callable[[], None]:
        def read_all() -> None:
            read, texts = side
            for text in texts:
                read(text)

        return read_all

    mine, other = race(all_of(ours), all_of(theirs))
    return Row(work, mine / len(ours[1]), beside, other / len(theirs[1]), goal, limit=limit)


def process(command: Sequence[str], **options: object) -> Callable[[], object]:
    """A whole process, output thrown away."""
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "check": False}
    return lambda: subprocess.run(command, **{**quiet, **options})  # type: ignore[call-overload]  # noqa: PLW1510 - run's own options, check among them


def time_text(seconds: float) -> str:
    """Seconds in the unit that reads best."""
    for unit, size in (("s", 1.0), ("ms", 1e-3), ("us", 1e-6)):
        if seconds >= size:
            return f"{seconds / size:.3g} {unit}"
    return f"{seconds / 1e-9:.3g} ns"


def print_table(rows: Iterable[Row]) -> None:
    """The rows as a Markdown table, ready for DEVELOPERS.md."""
    print("| work | ours | beside | theirs | ratio | goal |")
    print("| --- | ---: | --- | ---: | ---: | ---: |")
    for row in rows:
        sides = row.amount(row.ours), row.amount(row.theirs)
        print(f"| {row.work} | {sides[0]} | {row.beside} | {sides[1]} | {row.ratio:.3g} | {row.goals} |")
        sys.stdout.flush()


ROOT = Path(__file__).parents[2]
ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}
"""For child processes: compiled modules are kept, as they are for a user."""

_MIB = 1 << 20


class Best:
    """The least processor time and peak memory of several runs of a command that must succeed."""

    def __init__(self, command: Sequence[str], may_end_with: Sequence[int] = (0,)) -> None:
        self.command = command
        self.may_end_with = may_end_with
        self.seconds = float("inf")
        self.mib = float("inf")

    def run(self) -> "Best":
        """Once more."""
        child = subprocess.Popen(self.command, env=ENVIRONMENT, cwd=ROOT, stdout=subprocess.DEVNULL)
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode not in self.may_end_with:
            raise SystemExit(f"{self.command[:4]} ended with {child.returncode}")
        self.seconds = min(self.seconds, usage.ru_utime + usage.ru_stime)
        # Linux counts in KiB, macOS in bytes.
        size = usage.ru_maxrss / _MIB if sys.platform == "darwin" else usage.ru_maxrss / 1024
        self.mib = min(self.mib, size)
        return self
