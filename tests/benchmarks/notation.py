"""How fast designations and package codes are read, mended and found, beside general-purpose packages.

The time of a row is for one text. How soon the first notation is there is a row of ``startup``.
"""

import difflib
import random
from collections.abc import Sequence
from pathlib import Path

import phonenumbers
import yaml
from packaging.version import Version

from cardref.notation.code import CodeLayout, PackageCode, Segment
from cardref.notation.designation import Designation
from cardref.notation.names import NameIndex
from cardref.notation.nearest import Suggester
from cardref.notation.running import findall
from tests.benchmarks.common import Row, reading

ROOT = Path(__file__).parents[2]
LAYOUT = CodeLayout(
    [
        Segment("series", 2, "alphanumeric", meaning="series"),
        Segment("figure", 4, meaning="figure", before=" "),
        Segment("back", 3, meaning="back", before="/"),
    ]
)


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
        reading(
            "designation, strict",
            (Designation.parse, designations),
            "packaging.Version",
            (version, versions),
            limit=1e-6,
        ),
        reading(
            "package code, strict",
            (lambda text: PackageCode.parse(text, LAYOUT), distinct),
            "packaging.Version",
            (version, versions),
            limit=1e-6,
        ),
        reading(
            "package code, mistyped, with its trace",
            (lambda text: PackageCode.read(text, LAYOUT), typed),
            "phonenumbers.parse",
            (phone, phones),
        ),
        reading(
            "suggestion, one wrong sign, 2,000 codes",
            (suggester.suggest, wrong),
            "difflib.get_close_matches",
            (lambda text: difflib.get_close_matches(text, known, n=1, cutoff=0.8), wrong[:20]),
            limit=20e-6,
        ),
        reading(
            "a title: codes, names, everything",
            (lambda text: findall(text, [LAYOUT], names), titles),
            "phonenumbers.PhoneNumberMatcher",
            (phones_in, titles),
        ),
    ]
