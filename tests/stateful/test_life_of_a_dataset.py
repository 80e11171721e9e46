"""A dataset is edited, laid out, fixed, retired from, imported into and exported, and stays whole.

A machine does what maintainers do over the years, good and bad, and keeps by itself which records and which
comments there must be. The ordinary run is small and the same each time; a long one, another each time::

    CARDREF_STATEFUL=300 python -m pytest tests/stateful -s

makes that many lives of sixty steps each, and counts what was done in them.
"""

import csv
import datetime as dt
import io
import os
import shutil
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import hypothesis.strategies as st
import pytest
from hypothesis import HealthCheck, settings
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

import cardref
from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.errors import CardrefError, DatasetError
from cardref.export.as_json import as_json
from cardref.export.as_package import as_package
from cardref.export.as_sqlite import write_sqlite
from cardref.fixing.formatting import formatted
from cardref.fixing.place import target_of
from cardref.fixing.repairing import repair
from cardref.fixing.retiring import Retiring, merge, rename, retire, split
from cardref.index import from_loaded
from cardref.report import render_json, render_text
from cardref.starting.start import Beginning, start
from cardref.storage.atomic import write_changes
from cardref.storage.canonical import ordered, same
from cardref.storage.edit import Sheet
from cardref.storage.loader import Loaded, load_tree
from cardref.storage.shape import shape_at
from cardref.storage.tree import owned, parse
from cardref.storage.yamltext import read_text, spots
from cardref.tables.reading import read_tables
from cardref.tables.writing import written

LIVES = int(os.environ.get("CARDREF_STATEFUL", "0"))
TODAY = dt.date(2026, 11, 25)
_NAMELESS = ("dataset", "tombstone", "waiver")
_DONE: Counter[str] = Counter()
"""How often each step did something, over all lives; "..., refused" where there was a word why not."""

_VALUES = (
    "25B", "4A", "7", "0", "-1", "NO", "no", "12:30", "0412", "1984-03", "1981?", "1981/1984", "confirmed",
    "refuted", "disputed", "null", "~", "''", "' x  y '", '"a\\u00a0b"', "x-nothing", "reef-pilot", "b-001",
    "[b-001, b-002]", "[]", "{}", "{a: b}", "[en, EN, xx]", "true", "4 mm", "Reef Pilot", "R\u0435ef", "é",
    "[", "{a", '"half', "'half", "a: b", "- a", "&a b", "*a", "!x", "|", "# gone", "a\tb", "\x07", "%", "@",
    ">-\n      two\n      lines",
)  # fmt: skip
"""Right and wrong values as people type them, and some that break the file."""
_CELLS = (
    "", "25B", "'031", "31", "Mar-84", "1984-03", "[a", "{a: b}", "a; b", "reef-pilot", "en; fr", "true",
    "many", "=1+1", "two\nlines", " x ", "b-901", "confirmed", "?", "\u202e", "'", "[{text: New Name}]",
)  # fmt: skip
_NEW: dict[str, tuple[str, Callable[[str], dict[str, Any]]]] = {
    "sources.yaml": ("sources", lambda name: {"id": name, "kind": "photograph", "citation": f"Photo {name}"}),
    "glossary.yaml": ("terms", lambda name: {"id": name, "word": name, "what": "A word.", "why": "Why not."}),
    "figures.yaml": (
        "figures",
        lambda name: {"id": name, "names": [{"text": f"The {name}", "language": "en"}]},
    ),
    "backs": ("backs", lambda name: {"id": name, "designation": "9?", "series": "lanternfish", "count": 9}),
    "stickers.yaml": ("stickers", lambda name: {"id": name, "kind": "other", "text": f"Sticker {name}"}),
}
"""Where a record is added, and what it says: a back of an unknown letter is faulty, and is a record still."""


def _values(loaded: Loaded) -> dict[str, Any]:
    return {path: loaded.value(path) for path, file in loaded.files.items() if file.readable}


class Life(RuleBasedStateMachine):
    """One dataset, and what must be in it."""

    def __init__(self) -> None:
        super().__init__()
        self.home = Path(tempfile.mkdtemp(prefix="cardref-life-"))
        self.root = self.home / "dataset"
        self.records: set[str] = set()
        self.retired: set[str] = set()
        self.comments: Counter[str] = Counter()
        self.broken: tuple[str, bytes] | None = None
        self.earlier: Path | None = None
        self.exported: dict[str, bytes] = {}
        self.number = 0

    def teardown(self) -> None:
        """Clear up."""
        shutil.rmtree(self.home)

    @initialize(new=st.booleans(), windows=st.booleans())
    def begin(self, *, new: bool, windows: bool) -> None:
        """With the sample dataset, or one just started; some with Windows' line ends."""
        if new:
            self.root.mkdir()
            write_changes(self.root, start(self.root, _BEGINNING, TODAY).changes)
        else:
            write_sample(self.root)
        for path in self.root.rglob("*.yaml"):
            lines = [
                line for old in path.read_text(encoding="utf-8").splitlines() for line in self._noted(old)
            ]
            path.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\r\n" if windows else "\n")
        loaded = load_tree(self.root)
        self.records = self._there(loaded)
        self.retired = {entry.id for entry in loaded.entries["tombstone"]}
        self.comments = self._comments(loaded)

    def _noted(self, line: str) -> list[str]:
        """A line, with comments where people put them: above a record, behind its id, or below that."""
        if not line.startswith("  - id: "):
            return [line]
        note = self._note()
        ways = ([f"  {note}", line], [f"{line}  {note}"], [line, f"    {note}"], ["", f"  {note}", "", line])
        return ways[self.number % len(ways)]

    # --- what is there

    @staticmethod
    def _there(loaded: Loaded) -> set[str]:
        """The kind and full id of every record that could be found."""
        kinds = (kind for kind in loaded.entries if kind not in _NAMELESS)
        return {f"{kind} {entry.id}" for kind in kinds for entry in loaded.entries[kind]}

    def _comments(self, loaded: Loaded) -> Counter[str]:
        readable = (path for path, file in loaded.files.items() if file.readable)
        return Counter(note for path in readable for note in owned(parse(self._text(path))))

    def _text(self, path: str) -> str:
        return (self.root / path).read_bytes().decode()

    def _bytes(self) -> dict[str, bytes]:
        return {str(path): path.read_bytes() for path in sorted(self.root.rglob("*.yaml"))}

    def _fresh(self, lead: str) -> str:
        self.number += 1
        return f"{lead}-{900 + self.number}"

    def _note(self) -> str:
        return f"# {self._fresh('note')}"

    def _attempt(self, step: str, work: Callable[[], Any]) -> Any:
        """What ``work`` gives; None where it is refused with a word, and then no byte has changed."""
        before = self._bytes()
        try:
            done = work()
        except CardrefError as error:
            refused = str(error).strip()
            done = None
        else:
            refused = ""
        assert done is not None or refused, "refused without a word"
        assert self._bytes() == before, "nothing is written before it is asked for"
        _DONE[f"{step}, refused" if refused else step] += 1
        return done

    # --- by hand

    @precondition(lambda self: self.broken is None)
    @rule(data=st.data(), texts=st.lists(st.sampled_from(_VALUES), min_size=1, max_size=5))
    def edit(self, data: st.DataObject, texts: list[str]) -> None:
        """Values are typed over in an editor, right or wrong, until the file breaks."""
        for text in texts:
            if self.broken is None:
                self._edit(data, text)

    def _edit(self, data: st.DataObject, text: str) -> None:
        loaded = load_tree(self.root)
        path = data.draw(st.sampled_from(sorted(path for path in loaded.files if path != "retired.yaml")))
        before = self._text(path)
        known = spots(before)
        scalars = [
            way
            for way, spot in known.items()
            if way and way[-1] not in ("id", "line", "maker") and spot.line == spot.end_line
            and spot.style not in ("|", ">") and not any(other[: len(way)] == way != other for other in known)
        ]  # fmt: skip
        if not scalars:
            return
        way = data.draw(st.sampled_from(sorted(scalars, key=str)))
        spot = known[way]
        lines = before.split("\n")
        line = lines[spot.line - 1]
        lines[spot.line - 1] = line[: spot.column - 1] + text + line[spot.end_column - 1 :]
        self._typed(path, before, "\n".join(lines), "edit")

    def _typed(self, path: str, before: str, after: str, step: str) -> None:
        """Write it, unless that would take comments or records away by itself: what is gone is gone."""
        document = read_text(after)
        (self.root / path).write_bytes(after.encode())
        loaded = load_tree(self.root)
        if not loaded.files[path].readable:
            self.broken = path, before.encode()
            _DONE[f"{step}, breaks the file"] += 1
        elif (
            document.faults or self._comments(loaded) != self.comments or self._there(loaded) != self.records
        ):
            (self.root / path).write_bytes(before.encode())
        else:
            _DONE[step] += 1

    @precondition(lambda self: self.broken is not None)
    @rule()
    def mend(self) -> None:
        """What was broken is as before; unless somebody mended it."""
        assert self.broken is not None
        path, before = self.broken
        if not load_tree(self.root).files[path].readable:
            (self.root / path).write_bytes(before)
        self.broken = None
        _DONE["mend"] += 1

    @precondition(lambda self: self.broken is None)
    @rule(data=st.data())
    def comment(self, data: st.DataObject) -> None:
        """A comment is written somewhere: on a line of its own, or behind one."""
        path = data.draw(st.sampled_from(sorted(load_tree(self.root).files)))
        before = self._text(path)
        lines = before.split("\n")
        at = data.draw(st.integers(0, len(lines) - 1))
        note = self._note()
        if data.draw(st.booleans()):
            column = data.draw(st.sampled_from([0, 2, 4, 6]))
            lines.insert(at, " " * column + note)
        else:
            end = "\r" if lines[at].endswith("\r") else ""
            lines[at] = f"{lines[at].removesuffix(end)}  {note}{end}"
        after = "\n".join(lines)
        try:
            found = Counter(owned(parse(after)))
        except DatasetError:
            return
        if found == Counter([*owned(parse(before)), note]) and same(
            read_text(before).value, read_text(after).value
        ):
            (self.root / path).write_bytes(after.encode())
            self.comments[note] += 1
            _DONE["comment"] += 1

    @precondition(lambda self: self.broken is None)
    @rule(data=st.data(), noted=st.booleans())
    def add(self, data: st.DataObject, *, noted: bool) -> None:
        """A record is added, with a comment above it or without."""
        files = load_tree(self.root).files
        known = {
            path: _NEW.get(path.split("/")[-1]) or _NEW.get(path.split("/")[-2] if "/" in path else "")
            for path in files
        }
        path = data.draw(st.sampled_from(sorted(path for path, new in known.items() if new)))
        found = known[path]
        assert found is not None
        plural, record = found
        name, notes = self._fresh("r"), [self._note()] if noted else []

        def grown() -> str:
            sheet = Sheet(self._text(path), shape_at(path))
            sheet.append((plural,), record(name), notes)
            return sheet.done()

        after = self._attempt("add", grown)
        if after is None:
            return
        before = self._there(load_tree(self.root))
        (self.root / path).write_bytes(after.encode())
        new = self._there(load_tree(self.root)) - before
        assert len(new) == 1
        self.records |= new
        self.comments.update(notes)

    # --- by cardref

    @rule()
    def fmt(self) -> None:
        """Values and comments stay, and the second time nothing changes."""
        before = load_tree(self.root)
        values = _values(before)
        done = formatted(self.root, target_of([self.root]).paths)
        write_changes(self.root, done.changes)
        again = formatted(self.root, target_of([self.root]).paths)
        assert not again.changes
        after = _values(load_tree(self.root))
        assert after.keys() == values.keys()
        for path, value in values.items():
            assert same(ordered(value, shape_at(path)), after[path]), path
        _DONE["fmt"] += 1

    @rule(unsafe=st.booleans())
    def fix(self, *, unsafe: bool) -> None:
        """The report afterwards is the one that was promised."""
        done = self._attempt("fix", lambda: repair(self.root, unsafe=unsafe, today=TODAY))
        if done is None:
            return
        write_changes(self.root, done.changes)
        report = check(self.root, today=TODAY)
        prints = Counter(finding.fingerprint for finding in report.findings)
        assert prints == Counter(finding.fingerprint for finding in done.after.findings)
        if self.broken is not None and load_tree(self.root).files[self.broken[0]].readable:
            self.broken = None

    def _settled(self, step: str, work: Callable[[], Retiring]) -> None:
        done = self._attempt(step, work)
        if done is None:
            return
        write_changes(self.root, done.changes)
        kinds = {one.partition(" ")[2]: one.partition(" ")[0] for one in self.records}
        for old, new in done.retired.items():
            self.records.discard(f"{kinds[old]} {old}")
            self.records |= {f"{kinds[old]} {full}" for full in new}
        self.retired |= done.retired.keys()

    def _one(self, data: st.DataObject, like: str = "") -> str:
        kind = like.partition(" ")[0]
        return data.draw(st.sampled_from(sorted(one for one in self.records if one.startswith(kind))))

    @rule(data=st.data(), replaced=st.booleans())
    def retire(self, data: st.DataObject, *, replaced: bool) -> None:
        """A record goes, with or without one that takes its place."""
        one = self._one(data)
        full = one.partition(" ")[2]
        heirs = [self._one(data, one).partition(" ")[2]] if replaced else []
        self._settled("retire", lambda: retire(self.root, full, reason="a test", replaced_by=heirs))

    @rule(data=st.data())
    def rename(self, data: st.DataObject) -> None:
        """A record gets another id; a maker or line with all that is its own."""
        full, new = self._one(data).partition(" ")[2], self._fresh("n")
        self._settled("rename", lambda: rename(self.root, full, new))

    @rule(data=st.data())
    def merge(self, data: st.DataObject) -> None:
        """Two records are one."""
        one = self._one(data)
        full, into = one.partition(" ")[2], self._one(data, one).partition(" ")[2]
        self._settled("merge", lambda: merge(self.root, full, into, reason="a test"))

    @rule(data=st.data())
    def split(self, data: st.DataObject) -> None:
        """A record is two."""
        full, new = self._one(data).partition(" ")[2], [self._fresh("s"), self._fresh("s")]
        choose = {"*": new[0]}
        self._settled("split", lambda: split(self.root, full, new, reason="a test", choose=choose))

    @rule()
    def remember(self) -> None:
        """A copy is put aside; compared with it, nothing has changed."""
        copy = self.earlier = self.home / self._fresh("copy")
        shutil.copytree(self.root, copy)
        changes = self._attempt("compare with a copy", lambda: cardref.compare(copy, self.root))
        assert not changes

    @precondition(lambda self: self.earlier is not None)
    @rule()
    def compare(self) -> None:
        """Compared with an earlier copy, there are changes just where the records say something else."""
        earlier = self.earlier
        assert earlier is not None
        changes = self._attempt("compare", lambda: cardref.compare(earlier, self.root))
        if changes is not None:
            old, new = (from_loaded(load_tree(folder)) for folder in (earlier, self.root))
            equal = old.fingerprint == new.fingerprint
            assert bool(changes) != equal

    @rule()
    def tables_there_and_back(self) -> None:
        """Exported and imported without a change, no byte is changed."""
        result = self._attempt("import untouched", lambda: read_tables(self._sheets(), self.root))
        if result is not None:
            assert (result.changes, result.findings) == ((), ())

    def _sheets(self) -> Path:
        folder = self.home / self._fresh("sheets")
        folder.mkdir()
        for name, content in written(load_tree(self.root)).items():
            (folder / name).write_bytes(content)
        return folder

    @rule(data=st.data(), cell=st.sampled_from(_CELLS))
    def tables_changed(self, data: st.DataObject, cell: str) -> None:
        """One cell is changed in a spreadsheet."""
        folder = self._sheets()
        tables = sorted(path for path in folder.glob("*.csv") if path.name != "retired.csv")
        path = data.draw(st.sampled_from(tables), label="table")
        head, *rows = csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"), newline=""))
        if not rows:
            return
        row = data.draw(st.sampled_from(rows))
        row[data.draw(st.integers(0, len(head) - 1))] = cell
        with path.open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows([head, *rows])
        result = self._attempt("import", lambda: read_tables(folder, self.root))
        if result is None:
            return
        write_changes(self.root, result.changes)
        new = self._there(load_tree(self.root)) - self.records
        assert len(new) == len(result.added)
        self.records |= new

    @precondition(lambda self: self._bytes() != self.exported)
    @rule()
    def export(self) -> None:
        """The dataset leaves in every form, or is refused as one with errors."""

        def leave() -> bytes:
            index = cardref.load(self.root).index
            write_sqlite(index, self.home / f"{self._fresh('export')}.sqlite")
            as_package(index)
            return as_json(index)

        self.exported = self._bytes()
        if self._attempt("export", leave) is None:
            assert not check(self.root, today=TODAY).clean

    # --- what always holds

    @invariant()
    def nothing_is_lost(self) -> None:
        """Every record and every comment is there, and every id that was ever used leads somewhere."""
        loaded = load_tree(self.root)
        there = self._there(loaded)
        if self.broken is not None:
            assert there <= self.records
            return
        assert there == self.records
        assert not self.comments - self._comments(loaded)
        index = from_loaded(loaded)
        for old in self.retired:
            assert index.find(old) or old in index.retired, old

    @invariant()
    def ends_clean_or_with_findings(self) -> None:
        """Whatever was done, there is a report, the same twice, that can be shown."""
        report = check(self.root, today=TODAY)
        assert report == check(self.root, today=TODAY)
        assert report.checked
        assert all("".join(render(report)) for render in (render_text, render_json))
        assert self.broken is None or not report.clean


_BEGINNING = Beginning(line="Lantern Trail", maker="Pell & Orrin Playthings", country="IE")


@pytest.mark.slow
def test_a_dataset_lives_on_whatever_is_done_to_it(capsys: pytest.CaptureFixture[str]) -> None:
    """No record, comment or id is ever lost, and there is always an answer."""
    _DONE.clear()
    run_state_machine_as_test(
        Life,
        settings=settings(
            max_examples=LIVES or 4,
            stateful_step_count=60 if LIVES else 16,
            deadline=None,
            derandomize=not LIVES,  # what an ordinary run finds is found by everybody
            suppress_health_check=list(HealthCheck),
            print_blob=False,
        ),
    )
    if LIVES:
        with capsys.disabled():
            print("\n" + "\n".join(f"{number:6} {step}" for step, number in sorted(_DONE.items())))
