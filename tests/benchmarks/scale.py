"""How time and memory grow with the dataset: 1,000, 10,000 and 100,000 records, each beside a tenth of it.

Each work is done in a process of its own, on one made-up dataset a size (`big.py`), some 50 records a file.
*load* reads it from YAML. *check* and *compare* are whole commands; what is compared is the dataset and the
same with one card in a hundred corrected. *decode* is one of up to 2,000 distinct codes, *identify* three
looks, each with the next one, both after loading: more records are more lines here, as they are in a
reference. How identifying grows with the cards of one line is measured in `identifying_cards.py`.
"""

import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path

from tests.benchmarks.big import write_big
from tests.benchmarks.common import ENVIRONMENT, ROOT, Best, Row

SIZES = (1_000, 10_000, 100_000)
FILES = {1_000: 27, 10_000: 200, 100_000: 2_000}
ROUNDS = {1_000: 5, 10_000: 3, 100_000: 1}

_BEGIN = """\
import sys, time
import cardref
begun = time.process_time()
ref = cardref.load(sys.argv[1])
"""
# What is timed begins after the line that sets `begun`; the process says how long it took.
_END = "print(time.process_time() - begun)\n"
_PROGRAMS = {
    "load": _BEGIN + "len(ref.cards)\n" + _END,
    "decode a code": _BEGIN
    + """\
codes = sorted({code for face in ref.faces.values() for code in face.printed_codes})
codes = codes[:2000]
ref.decode(codes[0])
begun = time.process_time()
assert all(ref.decode(code).known.value == "yes" for code in codes)
print((time.process_time() - begun) / len(codes))
""",
    "identify, three looks with the next one": _BEGIN
    + """\
ident = ref.identify(line="line-a")
ident.next_feature
begun = time.process_time()
for feature, state in (("maker", "pell"), ("beam", "first"), ("gulls", "3")):
    ident = ident.observe(feature, state)
    ident.next_feature
"""
    + _END,
}


def rows() -> Iterator[Row]:
    """Seconds and memory of each work at each size, beside those at a tenth of it."""
    with tempfile.TemporaryDirectory() as name:
        folders = {size: write_big(Path(name) / str(size), size, FILES[size]) for size in SIZES}
        for size, folder in folders.items():
            _correct(folder, write_big(Path(name) / f"{size}-later", size, FILES[size]))
        works = [*_PROGRAMS, "check", "compare"]
        found = {(work, size): _measured(work, size, folders[size]) for work in works for size in SIZES}
    for work in works:
        for less, more in pairwise(SIZES):
            before, after = found[work, less], found[work, more]
            yield Row(f"{work}: {more:,} records", after[0], f"{less:,}", before[0])
            yield Row("peak memory of that", after[1], f"{less:,}", before[1], unit="MiB")


def _measured(work: str, size: int, folder: Path) -> tuple[float, float]:
    """Seconds and MiB, the least of some rounds."""
    if work in _PROGRAMS:
        command = [sys.executable, "-c", _PROGRAMS[work], str(folder)]
        seconds = min(
            float(
                subprocess.run(
                    command, check=True, capture_output=True, text=True, env=ENVIRONMENT, cwd=ROOT
                ).stdout
            )
            for _ in range(ROUNDS[size])
        )
        return seconds, Best(command).run().mib
    words = [str(folder)] if work == "check" else [str(folder), f"{folder}-later"]
    best = Best([sys.executable, "-m", "cardref", work, *words], may_end_with=(0, 1))
    for _ in range(ROUNDS[size]):
        best.run()
    return best.seconds, best.mib


def _correct(old: Path, new: Path) -> None:
    """Correct one record in a hundred: cards were seen three times that had been seen twice."""
    number = 0
    for path in sorted(new.rglob("cards/*.yaml")):
        text = path.read_text(encoding="utf-8")

        def more(found: re.Match[str]) -> str:
            nonlocal number
            number += 1
            return "count: 3" if number % 20 == 0 else found[0]

        path.write_text(re.sub(r"count: 2$", more, text, flags=re.MULTILINE), encoding="utf-8")
    if not number or old == new:
        raise SystemExit("nothing to compare was made")
