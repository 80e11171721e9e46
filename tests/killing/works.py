"""The commands that write, each with what has to lie in the directory before it, and with what it changes."""

import os
from collections.abc import Callable
from pathlib import Path

from attrs import frozen

from cardref.checks.sample import SAMPLE, write_sample
from cardref.cli.dispatch import main
from cardref.storage.unfinished import SUFFIX, UNFINISHED, Step, digest, written

__all__ = ["WORKS", "Work"]


@frozen
class Work:
    """A command that writes.

    Attributes:
        words: what is typed, in a directory that ``prepare`` has filled.
        prepare: fills the directory; it is the working directory meanwhile.
        files: so many files, or more, does the command change, make or take away.
        together: whether these files belong together, so that a change that was cut off has to be finished.
        whole: whether it begins with files that are; else what was cut off is finished, never undone.
    """

    words: tuple[str, ...]
    prepare: Callable[[], object]
    files: int
    together: bool = True
    whole: bool = True


def _sample() -> None:
    write_sample(Path("dataset"))


def _misspelt() -> None:
    _sample()
    for path, old, new in (
        ("makers.yaml", "country: IE", "country: NO"),
        ("glossary.yaml", "word: back count", 'word: "back count "'),
        ("sources.yaml", "id: fair-photo\n    kind: photograph", "id: fair-photo\n    kind: Photograph"),
    ):
        assert old in SAMPLE[path]
        (Path("dataset") / path).write_text(SAMPLE[path].replace(old, new), encoding="utf-8")


def _sheets() -> None:
    _sample()
    assert main(["tables", "export", "sheets"]) == 0
    for name, old, new in (
        ("makers.csv", "Morvane Jouets", "Morvane et fils"),
        ("figures.csv", "hand lamp", "signal lamp"),
        ("backs.csv", "1982-09", "1982-10"),
    ):
        text = Path("sheets", name).read_text(encoding="utf-8")
        assert old in text
        Path("sheets", name).write_text(text.replace(old, new), encoding="utf-8")


def _list() -> None:
    _sample()
    rows = ("Fog Piper,pell-orrin,6A", "Tide Clerk,morvane,3A", "Fog Piper,morvane,3A")
    text = "".join(f"lanternfish,{row}\n" for row in rows)
    Path("list.csv").write_text(f"series,figure,maker,back\n{text}", encoding="utf-8")


def _own() -> None:
    _sample()
    Path("mine.yaml").write_text(
        "# mine\nspecimens:\n  - id: s-007  # the first\n    card: lanternfish/pell-orrin/c-001\n",
        encoding="utf-8",
    )


def _own_table() -> None:
    _sample()
    Path("mine.csv").write_text("id,figure,back,price\n7,reef pilot,pell-orrin 4A,5 EUR\n", encoding="utf-8")


def _own_tables() -> None:
    _sample()
    for name in ("a.csv", "b.csv"):
        text = 'id,figure,back,price\n7,reef pilot,pell-orrin 4A,"12,50 EUR"\n'
        Path(name).write_text(text, encoding="utf-8")


def _seen() -> None:
    _sample()
    text = "id,figure,back,basis,photos\n7,gull warden,pell-orrin 4A,identified,front.jpg\n"
    Path("mine.csv").write_text(text, encoding="utf-8")


def _half() -> None:
    """A change of two files that was cut off behind the first, as the note beside them tells."""
    _sample()
    root = Path("dataset")
    assert main(["fmt"]) == 0
    steps = []
    for name in ("makers.yaml", "glossary.yaml"):
        old, new = (root / name).read_bytes(), f".{name}.0123456789ab{SUFFIX}"
        (root / new).write_bytes(old + b"# changed\n")
        steps.append(Step(name, new, digest(old), digest(old + b"# changed\n")))
    (root / UNFINISHED).write_bytes(written(steps))
    (root / steps[0].new).replace(root / steps[0].path)


def _baseline() -> None:
    _misspelt()
    Path("accepted.json").write_text("{}\n", encoding="utf-8")


_DATED = ("--reason", "two are one", "--date", "2026")
_MINE = ("--figure", "reef pilot", "--back", "pell-orrin 4B", "--price", "5 EUR", "--date", "2026")

WORKS = {
    "fmt": Work(("fmt",), _sample, 10),
    "fix": Work(("fix", "--unsafe"), _misspelt, 3),
    "fix own": Work(("fix", "--unsafe", "a.csv", "b.csv"), _own_tables, 2, together=False),
    "tables export": Work(("tables", "export", "sheets"), _sample, 10),
    "tables import": Work(("tables", "import", "sheets"), _sheets, 3),
    "tables add": Work(("tables", "add", "list.csv"), _list, 5),
    "retire": Work(("retire", "glossy-four", *_DATED), _sample, 2),
    "rename": Work(("retire", "morvane", "--rename-to", "morvan", "--date", "2026"), _sample, 10),
    "merge": Work(("retire", "pell-orrin b-002", "--merge-into", "pell-orrin b-001", *_DATED), _sample, 3),
    "split": Work(
        ("retire", "pell-orrin 7A", "--split-into", "b-8", "b-9", "--mention", "*=b-8", *_DATED), _sample, 3
    ),
    "own add": Work(("own", "add", "mine.yaml", *_MINE), _own, 1),
    "own add, begun": Work(("own", "add", "box/mine.yaml", *_MINE), _sample, 1),
    "own add, table": Work(("own", "add", "mine.csv", *_MINE[:6]), _own_table, 1),
    "own propose": Work(("own", "propose", "mine.csv", "--by", "A fair, 2026", "--write"), _seen, 2),
    "own report": Work(("own", "report", "mine.yaml", "--svg", "drawn.svg"), _own, 1),
    "init": Work(("init", "new", "--line", "Lantern Trail", "--maker", "Pell"), os.getcwd, 20),
    "export json": Work(("export", "json", "out"), _sample, 2),
    "export datapackage": Work(("export", "datapackage", "out"), _sample, 30),
    "export sqlite": Work(("export", "sqlite", "out"), _sample, 1),
    "finish": Work(("fmt",), _half, 1, whole=False),
    "baseline": Work(("check", "--write-baseline", "accepted.json"), _baseline, 1),
}
"""By the name that tests call it."""
