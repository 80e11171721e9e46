"""How fast designations and package codes are read, mended and found, beside general-purpose packages.

    python tests/benchmarks/notation.py

Each row: the work; ours and theirs in microseconds for one text; the ratio ours : theirs; the goal. Only the
ratio means something: absolute times drift with the machine. The best of several rounds counts, which are
taken in turns, so that a busy moment hits both.
"""

import difflib
import random
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).parents[2]))

import phonenumbers
import yaml
from packaging.version import Version

from cardref.notation.code import CodeLayout, PackageCode, Segment
from cardref.notation.designation import Designation
from cardref.notation.names import NameIndex
from cardref.notation.nearest import Suggester
from cardref.notation.running import findall

ROUNDS = 7
ROOT = Path(__file__).parents[2]
LAYOUT = CodeLayout(
    [
        Segment("series", 2, "alphanumeric", meaning="series"),
        Segment("figure", 4, meaning="figure", before=" "),
        Segment("back", 3, meaning="back", before="/"),
    ]
)


class Row(NamedTuple):
    """One comparison; times are microseconds for one text."""

    work: str
    ours: float
    beside: str
    their: float
    ratio: float
    goal: str


def run(read: Callable[[str], object], texts: Sequence[str]) -> float:
    """Seconds for one text, over all of them."""
    start = time.perf_counter()
    for text in texts:
        read(text)
    return (time.perf_counter() - start) / len(texts)


def row(
    work: str,
    ours: tuple[Callable[[str], object], Sequence[str]],
    beside: str,
    theirs: tuple[Callable[[str], object], Sequence[str]],
    goal: str,
) -> Row:
    """Compare two readers, each on its own texts."""
    mine, other = [], []
    for _ in range(ROUNDS):
        mine.append(run(*ours))
        other.append(run(*theirs))
    return Row(work, min(mine) * 1e6, beside, min(other) * 1e6, min(mine) / min(other), goal)


def codes(count: int) -> list[str]:
    """Different codes, as close to each other as those of a few series are."""
    rng = random.Random(5)
    backs = ("010", "016", "021", "025", "028", "034", "043", "012")
    found: dict[str, None] = {}
    while len(found) < count:
        series = rng.choice(("7K", "7L", "8A", "9H"))
        found[f"{series} {rng.randrange(2000, 2600 if count < 5000 else 9999)}/{rng.choice(backs)}"] = None
    return list(found)


def one_wrong(known: Sequence[str], count: int) -> list[str]:
    """Known codes with one sign changed."""
    rng = random.Random(6)
    wrong = []
    for _ in range(count):
        code = rng.choice(known)
        at = rng.choice([at for at, sign in enumerate(code) if sign.isalnum()])
        wrong.append(code[:at] + rng.choice("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ") + code[at + 1 :])
    return wrong


def imported(statement: str) -> float:
    """Microseconds that a statement takes in a new interpreter, the best of several."""
    program = f"import time; start = time.perf_counter(); {statement}; print(time.perf_counter() - start)"
    times = [
        float(
            subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, check=True).stdout
        )
        for _ in range(2 * ROUNDS)
    ]
    return min(times) * 1e6


def first_use() -> Row:
    """The first notation value in a new process, beside importing attrs."""
    ours = imported("import cardref; cardref.Designation.parse('25B')")
    theirs = imported("import attrs")
    return Row("first notation used", ours, "import attrs", theirs, ours / theirs, "<= 1.3 x")


def rows() -> list[Row]:
    """All comparisons."""
    rng = random.Random(4)
    designations = [f"{rng.randrange(1000)}{rng.choice(['', 'A', 'B', 'AA'])}" for _ in range(50_000)]
    versions = [f"{rng.randrange(100)}.{rng.randrange(100)}" for _ in range(50_000)]
    distinct = codes(20_000)
    typed = [
        code.lower().replace(" ", "").replace("/", "-").replace("0", "O", 1) for code in distinct[:5_000]
    ]
    phones = [f"+44207946{rng.randrange(10_000):04}" for _ in range(2_000)]
    known = codes(2_000)
    wrong = one_wrong(known, 2_000)
    suggester = Suggester(known)
    suggester.suggest("")

    titles_of = yaml.safe_load((ROOT / "tests/notation/titles.yaml").read_text(encoding="utf-8"))
    titles = [title["title"] for title in (*titles_of["plain"], *titles_of["traps"])]
    names = NameIndex(tuple(name) for name in titles_of["names"])
    findall("", [LAYOUT], names)

    def version(text: str) -> object:
        return Version(text)

    def phone(text: str) -> object:
        return phonenumbers.parse(text, None)

    def phones_in(text: str) -> object:
        return list(phonenumbers.PhoneNumberMatcher(text, "GB"))

    return [
        row(
            "designation, strict",
            (Designation.parse, designations),
            "packaging.Version",
            (version, versions),
            "<= 1 us",
        ),
        row(
            "package code, strict",
            (lambda text: PackageCode.parse(text, LAYOUT), distinct),
            "packaging.Version",
            (version, versions),
            "<= 1 us",
        ),
        row(
            "package code, mistyped, with its trace",
            (lambda text: PackageCode.read(text, LAYOUT), typed),
            "phonenumbers.parse",
            (phone, phones),
            "none set",
        ),
        row(
            "suggestion, one wrong sign, 2,000 codes",
            (suggester.suggest, wrong),
            "difflib.get_close_matches",
            (lambda text: difflib.get_close_matches(text, known, n=1, cutoff=0.8), wrong[:20]),
            "<= 20 us",
        ),
        row(
            "a title: codes, names, everything",
            (lambda text: findall(text, [LAYOUT], names), titles),
            "phonenumbers.PhoneNumberMatcher",
            (phones_in, titles),
            "none set",
        ),
        first_use(),
    ]


def main() -> None:
    """Print the table."""
    print(f"{'work':40} {'ours':>10} {'theirs':>10} {'ratio':>8}  {'goal':9} beside")
    for work, ours, beside, their, ratio, goal in rows():
        print(f"{work:40} {ours:8.2f}us {their:8.2f}us {ratio:8.2g}  {goal:9} {beside}")


if __name__ == "__main__":
    main()
