"""What every benchmark shares: a row that compares two ways of doing the same work, and how it is measured.

Only ratios mean something: absolute times drift with the machine. Both sides are measured in turns in one
run, and the best of several rounds counts, so that a busy moment hits both.
"""

import subprocess
import sys
import time
from collections.abc import Callable, Iterable, Sequence
from typing import NamedTuple

ROUNDS = 7


class Row(NamedTuple):
    """One comparison: ``ours`` and ``theirs`` for the same work, in seconds, ``goal`` the largest ratio.

    ``unit`` where they are something else than seconds, such as MiB.
    """

    work: str
    ours: float
    beside: str
    theirs: float
    goal: float | None = None
    unit: str = "s"

    @property
    def ratio(self) -> float:
        """Ours : theirs; below 1 is quicker than they are."""
        return self.ours / self.theirs


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
        goal = (
            "" if row.goal is None else f"<= {row.goal:.3g}" + (" **missed**" if row.ratio > row.goal else "")
        )
        times = [f"{x:.3g} {row.unit}" if row.unit != "s" else time_text(x) for x in (row.ours, row.theirs)]
        print(f"| {row.work} | {times[0]} | {row.beside} | {times[1]} | {row.ratio:.3g} | {goal} |")
        sys.stdout.flush()
