"""Coverage-guided fuzzing of the readers of files (see :mod:`tests.fuzz.harness`).

``yaml`` reads a text by both parsers and lays it out; ``dataset`` puts it into a whole dataset, which is
loaded and checked; ``tables`` and ``cards`` bring a CSV file into one, and check that. The first byte says
which file of the dataset, or which table, the others are; a list of ``cards`` has none in front.
"""

import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path

import atheris  # type: ignore[import-untyped]  # the harness says why

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.fuzz.harness import fuzz, holds

with atheris.instrument_imports(include=["cardref"]):
    from cardref.checks.runner import check
    from cardref.checks.sample import SAMPLE, write_sample
    from cardref.errors import DatasetError
    from cardref.finding import Report
    from cardref.reference import load
    from cardref.report import render_annotations, render_json, render_text
    from cardref.storage.atomic import write_changes
    from cardref.storage.canonical import canonical, ordered, same
    from cardref.storage.layout import spec_of
    from cardref.storage.loader import load_tree
    from cardref.storage.shape import shape_at
    from cardref.storage.tree import owned, parse
    from cardref.storage.yamltext import Document, decode, read_text, spots
    from cardref.tables.gathering import read_list
    from cardref.tables.reading import read_tables
    from cardref.tables.work import Import
    from cardref.tables.writing import KINDS_IN_TABLES, written
    from cardref.text import visible

    # What is imported when it is first used is to be seen by the fuzzer too.
    _BENCH = write_sample(Path(tempfile.mkdtemp(prefix="cardref-fuzz-")) / "dataset")
    holds(check(_BENCH).clean, "the sample is not clean")

ROOT = Path(__file__).parents[2]
PATHS = tuple(SAMPLE)
TABLES = tuple(f"{kind.plural}.csv" for kind in KINDS_IN_TABLES)
_LARGEST = 2_000
"""Larger seeds are cut: an input that takes long is tried seldom."""


# --- YAML ------------------------------------------------------------------------------------------------


def _said(document: Document) -> str:
    # As text, in which 1, 1.0 and True differ, and a number that is none equals itself.
    return repr((document.value, document.faults, document.odd, document.odd_keys, document.tidy))


def yaml(data: bytes) -> None:
    """Both parsers read the same; what can be read is laid out without a loss, once and for all."""
    path, data = PATHS[data[0] % len(PATHS)] if data else PATHS[0], data[1:]
    text, faults = decode(data)
    if faults:
        holds(not any(fault.line < 1 for fault in faults if fault.rule != "file-size"), "a fault nowhere")
        return
    document = read_text(text)
    holds(_said(document) == _said(read_text(text, pure=True)), "with libyaml it says something else")
    if document.faults:
        lines = text.count("\n") + 1
        holds(all(0 <= fault.line <= lines + 1 for fault in document.faults), "a fault outside of the text")
        return
    holds(repr(spots(text)) == repr(spots(text, pure=True)), "with libyaml it stands elsewhere")
    shape = shape_at(path)
    try:
        made = canonical(text, shape)
    except DatasetError:
        return
    again = read_text(made)
    holds(not again.faults, "laid out it cannot be read")
    holds(same(ordered(document.value, shape), again.value), "laid out it says something else")
    holds(Counter(owned(parse(text))) == Counter(owned(parse(made))), "a comment is lost")
    holds(canonical(made, shape) == made, "laid out again it is another text")


def _sound(report: Report) -> None:
    """Findings stand in a file, at a place that there is, and are shown harmless in every format."""
    for finding in report.findings:
        holds(finding.place.line >= 0 and finding.place.column >= 0, "a finding nowhere")
        holds(len(finding.message) <= 1_500, "an endless message")
    for render in (render_text, render_json, render_annotations):
        shown = "".join(render(report))
        holds(all(visible(sign) == sign for sign in set(shown) - {"\n"}), "a sign that is shown raw")


def dataset(data: bytes) -> None:
    """A dataset with any file in it is loaded and checked, and is refused only as one with errors."""
    path, data = PATHS[data[0] % len(PATHS)] if data else PATHS[0], data[1:]
    (_BENCH / path).write_bytes(data)
    try:
        report = check(_BENCH)
        _sound(report)
        try:
            load(_BENCH)
        except DatasetError:
            holds(
                any(finding.severity.value == "error" for finding in report.findings), "refused for nothing"
            )
    finally:
        (_BENCH / path).write_text(SAMPLE[path], encoding="utf-8")


def _yaml_seeds() -> Iterator[bytes]:
    for number, text in enumerate(SAMPLE.values()):
        yield bytes([number]) + text.encode()
    glossary = bytes([PATHS.index("glossary.yaml")])
    for path in sorted((ROOT / "tests/hostile/files").iterdir()):
        if path.stat().st_size <= _LARGEST:
            yield glossary + path.read_bytes()
    kinds = {spec.document: number for number, path in enumerate(PATHS) if (spec := spec_of(path))}
    for path in sorted((ROOT / "dataset").rglob("*.yaml")):
        spec = spec_of(path.relative_to(ROOT / "dataset").as_posix())
        if spec is not None and spec.document in kinds:
            yield bytes([kinds[spec.document]]) + path.read_bytes()[:_LARGEST]


# --- CSV -------------------------------------------------------------------------------------------------


_UNFIT = frozenset(
    "missing-key unknown-key wrong-type wrong-value out-of-range ill-formed yaml-syntax yaml-feature "
    "control-character duplicate-key written-form scalar-length duplicate-id misplaced-file".split()
)
"""Rules that nothing an import writes may break; what a record means is for the checker to judge."""


def _ids() -> set[tuple[str, str]]:
    return {(kind, entry.id) for kind, entries in load_tree(_BENCH).entries.items() for entry in entries}


def _taken_in(read: Callable[[Path, Path], Import], path: Path) -> None:
    """What an import writes keeps every record and comment and fits the model; once in, it is in."""
    result = read(path, _BENCH)
    holds(all(f.place.line >= 1 and f.place.column >= 1 for f in result.findings), "a finding nowhere")
    if not result.changes:
        return
    try:
        before = _ids()
        for change in result.changes:
            old, new = (owned(parse(side.decode())) if side else [] for side in (change.before, change.after))
            holds(change.after is not None, "an import takes a file away")
            holds(not Counter(old) - Counter(new), "an import loses a comment")
        write_changes(_BENCH, result.changes)
        holds(before <= _ids(), "an import loses a record")
        report = check(_BENCH)
        _sound(report)
        unfit = sorted({finding.rule for finding in report.findings} & _UNFIT)
        holds(not unfit, f"an import writes what does not fit the model: {unfit}")
        if not result.findings:
            holds(not read(path, _BENCH).changes, "the same again changes something")
    finally:
        shutil.rmtree(_BENCH)
        write_sample(_BENCH)


def tables(data: bytes) -> None:
    """Any bytes as a table: told at row and column, or taken in whole."""
    folder = _BENCH.parent / "sheets"
    folder.mkdir(exist_ok=True)
    path = folder / TABLES[data[0] % len(TABLES) if data else 0]
    path.write_bytes(data[1:])
    try:
        _taken_in(read_tables, folder)
    finally:
        path.unlink()


def cards(data: bytes) -> None:
    """Any bytes as a list of cards: told at row and column, or taken in."""
    path = _BENCH.parent / "list.csv"
    path.write_bytes(data)
    _taken_in(read_list, path)


def _table_seeds() -> Iterator[bytes]:
    plain = written(load_tree(_BENCH))
    for number, name in enumerate(TABLES):
        yield bytes([number]) + plain[name]
        head, *rows = plain[name].decode("utf-8-sig").splitlines()
        for row in rows[:2]:
            yield bytes([number]) + f"{head}\n{row}\n".encode()
            yield bytes([number]) + f"{head.replace(',', ';')}\n{row.replace(',', ';')}\n".encode()


_LISTS = (
    "figure,back\nReef Pilot,4A\nFog Piper,25A\n",
    "line;maker;series;figure;back;codes\nlanternfish;pell-orrin;Lanternfish;Tide Clerk;6A;L-015/06\n",
    "series\tfigure\tback\tnumber\tbarcode\tlanguages\nlanternfish\tEel\t9B\t'0451\t036000291452\ten\n",
    "series,figure,back,made,released,seen,standing,sources\ndeepwater,Salt Porter,7A,proof,1984,2,,binder\n",
    'series;figure;back;standing;note\nlanternfish;"Reef\nPilot";4B;disputed;"Seen ""twice"""\n',
    "maker,series,figure,back,name\nmorvane,lanternfish,Reef Pilot,3A,Pilote du récif\n",
    "line,maker,series,figure,back\nlanternfish,pell-orrin,deepwater,Reef Pliot,Mar-82\n",
)


if __name__ == "__main__":
    fuzz(
        {
            "yaml": (yaml, _yaml_seeds()),
            "dataset": (dataset, _yaml_seeds()),
            "tables": (tables, _table_seeds()),
            "cards": (cards, [text.encode() for text in _LISTS]),
        }
    )
