"""How fast and how large a full check is, beside general-purpose tools that do the nearest thing.

Whole processes on one large dataset, made up and clean (`big.py`): the check with all its rules, beside
PyYAML merely loading the files, check-jsonschema (shape only, no lines) and yamllint (style only). Measured
is the processor time of each process, which a busy machine changes less than the clock.
"""

import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.benchmarks.big import write_big
from tests.benchmarks.common import Row

ROOT = Path(__file__).parents[2]
ROUNDS = 5
LOADING = """\
import sys, yaml
from pathlib import Path
for path in sorted(Path(sys.argv[1]).rglob("*.yaml")):
    yaml.load(path.read_bytes(), yaml.CSafeLoader)
"""
MIB = 1 << 20


def rows() -> Iterator[Row]:
    """Time and memory of a check of ten thousand records, and of ten times as many."""
    with tempfile.TemporaryDirectory() as name:
        small, large = Path(name) / "small", Path(name) / "large"
        write_big(small, 10_000, 200)
        write_big(large, 100_000, 2_000)
        _warm(small)
        yield from _small(small)
        yield from _large(small, large)


def _small(folder: Path) -> Iterator[Row]:
    ours, loading = _Best(_check(folder)), _Best([sys.executable, "-c", LOADING, str(folder)])
    for _ in range(ROUNDS):
        ours.run()
        loading.run()
    work = "full check of 10,000 records in 190 files"
    yield Row(work, ours.seconds, "yaml.CSafeLoader loading them", loading.seconds, 1.1)
    shapes = sum(_Best(command).run().seconds for command in _shape_checks(folder))
    yield Row("the same", ours.seconds, "check-jsonschema, shape only", shapes, 1 / 14)
    # Its default style finds something (long lines), which is no failure of the run.
    style = _Best([_tool("yamllint"), str(folder)], may_end_with=(0, 1)).run()
    yield Row("the same", ours.seconds, "yamllint, style only", style.seconds, 1 / 19)
    yield Row("peak memory of that", ours.mib, "what it may take", 40, 1, "MiB")
    yield Row("the same", ours.mib, "yaml.CSafeLoader, a file at a time", loading.mib, None, "MiB")


def _large(small: Path, large: Path) -> Iterator[Row]:
    one, ten = _Best(_check(small)), _Best(_check(large))
    for _ in range(2):
        one.run()
        ten.run()
    yield Row("full check of 100,000 records", ten.seconds, "10,000 records", one.seconds, 10)
    yield Row("peak memory of that", ten.mib, "10,000 records", one.mib, 6, "MiB")


def _check(folder: Path) -> Sequence[str]:
    return [sys.executable, "-m", "cardref", "check", str(folder), "--today", "2026-11-25"]


def _shape_checks(folder: Path) -> Iterator[Sequence[str]]:
    """One call a type of file: that is how the tool takes schemas."""
    for document in ("backs", "faces", "cards", "figures", "line", "makers", "sources", "features"):
        files = sorted(
            str(path) for path in folder.rglob("*.yaml") if document in (path.stem, path.parent.name)
        )
        yield [_tool("check-jsonschema"), "--schemafile", f"{ROOT}/schemas/{document}.schema.json", *files]


def _tool(name: str) -> str:
    return str(Path(sys.executable).with_name(name))


def _warm(folder: Path) -> None:
    """Compiled modules are there from the second run on, as they are for a user."""
    subprocess.run(_check(folder), check=True, env=_ENVIRONMENT, cwd=ROOT, capture_output=True)


_ENVIRONMENT = {key: value for key, value in os.environ.items() if key != "PYTHONDONTWRITEBYTECODE"}


class _Best:
    """The least processor time and peak memory of several runs of a command that must succeed."""

    def __init__(self, command: Sequence[str], may_end_with: Sequence[int] = (0,)) -> None:
        self.command = command
        self.may_end_with = may_end_with
        self.seconds = float("inf")
        self.mib = float("inf")

    def run(self) -> "_Best":
        """Once more."""
        child = subprocess.Popen(self.command, env=_ENVIRONMENT, cwd=ROOT, stdout=subprocess.DEVNULL)
        _, status, usage = os.wait4(child.pid, 0)
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode not in self.may_end_with:
            raise SystemExit(f"{self.command[:4]} ended with {child.returncode}")
        self.seconds = min(self.seconds, usage.ru_utime + usage.ru_stime)
        # Linux counts in KiB, macOS in bytes.
        size = usage.ru_maxrss / MIB if sys.platform == "darwin" else usage.ru_maxrss / 1024
        self.mib = min(self.mib, size)
        return self
