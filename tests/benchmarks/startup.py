"""How soon cardref answers: importing it, using a notation, decoding one code as a whole process.

The whole process runs from a built wheel, as users have it: there the reference is compiled.
"""

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.benchmarks.common import Row, process, race

ROOT = Path(__file__).parents[2]
ROUNDS = 15


def _net(code: str, beside: str, environment: dict[str, str]) -> tuple[float, float]:
    """Seconds that two imports add to a bare interpreter: its own start is taken off both."""
    bare = process([sys.executable, "-c", "pass"], env=environment)
    ours, theirs = race(
        process([sys.executable, "-c", code], env=environment),
        process([sys.executable, "-c", beside], env=environment),
        ROUNDS,
    )
    start, _ = race(bare, bare, ROUNDS)
    return max(ours - start, 1e-6), max(theirs - start, 1e-6)


def rows() -> Iterator[Row]:
    """Import rows, and decoding beside phonenumbers."""
    with tempfile.TemporaryDirectory() as folder:
        pip = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--target", folder, str(ROOT)]
        subprocess.run(pip, check=True, capture_output=True)
        environment = {**os.environ, "PYTHONPATH": folder}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)
        yield Row(
            "import cardref", *_swap(_net("import cardref", "import attrs", environment), "import attrs"), 0.2
        )
        first = "import cardref; cardref.Designation.parse('25B')"
        yield Row(
            "first notation used", *_swap(_net(first, "import attrs", environment), "import attrs"), 1.3
        )
        command = [sys.executable, "-m", "cardref", "decode", "7K 2046/031"]
        peer = "import phonenumbers; phonenumbers.parse('+442083661177')"
        ours, theirs = race(
            process(command, env=environment, cwd=folder),
            process([sys.executable, "-c", peer], env=environment),
            ROUNDS,
        )
        yield Row(
            "cardref decode CODE, whole process",
            ours,
            "a script that parses one number with phonenumbers",
            theirs,
            2.5,
        )


def _swap(times: tuple[float, float], beside: str) -> tuple[float, str, float]:
    return times[0], beside, times[1]
