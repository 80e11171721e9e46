"""How fast and how large a full check is, beside general-purpose tools that do the nearest thing.

Whole processes on one large dataset, made up and clean (`big.py`): the check with all its rules, beside
PyYAML merely loading the files, check-jsonschema (shape only, no lines) and yamllint (style only). Measured
is the processor time of each process, which a busy machine changes less than the clock.
"""

import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

from tests.benchmarks.big import write_big
from tests.benchmarks.common import ENVIRONMENT, ROOT, Best, Row

ROUNDS = 5
LOADING = """\
import sys, yaml
from pathlib import Path
for path in sorted(Path(sys.argv[1]).rglob("*.yaml")):
    yaml.load(path.read_bytes(), yaml.CSafeLoader)
"""


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
    ours, loading = Best(_check(folder)), Best([sys.executable, "-c", LOADING, str(folder)])
    for _ in range(ROUNDS):
        ours.run()
        loading.run()
    work = "full check of 10,000 records in 190 files"
    yield Row(work, ours.seconds, "yaml.CSafeLoader loading them", loading.seconds, 1.1)
    shapes = sum(Best(command).run().seconds for command in _shape_checks(folder))
    yield Row("the same", ours.seconds, "check-jsonschema, shape only", shapes, 1 / 14)
    # Its default style finds something (long lines), which is no failure of the run.
    style = Best([_tool("yamllint"), str(folder)], may_end_with=(0, 1)).run()
    yield Row("the same", ours.seconds, "yamllint, style only", style.seconds, 1 / 19)
    yield Row("peak memory of that", ours.mib, "what it may take", 40, 1, "MiB")
    yield Row("the same", ours.mib, "yaml.CSafeLoader, a file at a time", loading.mib, None, "MiB")


def _large(small: Path, large: Path) -> Iterator[Row]:
    one, ten = Best(_check(small)), Best(_check(large))
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
    subprocess.run(_check(folder), check=True, env=ENVIRONMENT, cwd=ROOT, capture_output=True)
