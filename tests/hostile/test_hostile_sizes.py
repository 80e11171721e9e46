"""Large input: work grows in proportion, memory is bounded, and there is one short finding or a few.

Work is counted in calls of functions, not in seconds, so that a busy machine changes nothing.
"""

import json
import os
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import pytest

from cardref.checks.corpus import MAX_EXPLAINED
from cardref.checks.runner import check
from cardref.checks.sample import SAMPLE, write_sample
from cardref.finding import Report
from cardref.storage import yamltext
from cardref.storage.layout import spec_of
from cardref.storage.loader import MAX_TOLD, load_tree
from cardref.storage.yamltext import MAX_BYTES, read_text
from tests.hostile.kit import TODAY, steps

_TERM = b"- {id: back, word: a, what: x}\n"

# What to repeat: head, piece, tail; and what is found first when there are many.
PILES: dict[str, tuple[bytes, bytes, bytes, str]] = {
    "brackets": (b"terms: ", b"[", b"", "nesting"),
    "closed-brackets": (b"terms: ", b"[", b"]", "nesting"),
    "braces": (b"terms: ", b"{", b"", "yaml-feature"),
    "pairs": (b"terms: ", b"[{a: ", b"", "nesting"),
    "dashes": (b"", b"- ", b"", "nesting"),
    "question-marks": (b"", b"? ", b"", "yaml-feature"),
    "question-marks-in-brackets": (b"", b"[? ", b"", "yaml-feature"),
    "commas": (b"[", b",", b"", "yaml-syntax"),
    "colons": (b"", b": ", b"", "yaml-syntax"),
    "colons-together": (b"", b":", b"", "yaml-syntax"),
    "single-quotes": (b"a: '", b"''", b"", "yaml-syntax"),
    "double-quotes": (b'a: "', b'\\"', b"", "yaml-syntax"),
    "backslashes": (b'a: "', b"\\", b"", "yaml-syntax"),
    "escaped-lines": (b'a: "', b"\\\n", b'"', "unknown-key"),
    "anchors": (b"terms: [", b"&a a, ", b"]", "yaml-feature"),
    "anchors-together": (b"", b"&", b"", "yaml-syntax"),
    "aliases": (b"terms: [&a a, ", b"*a, ", b"]", "yaml-feature"),
    "tags": (b"terms: [", b"!!str a, ", b"]", "yaml-feature"),
    "tag": (b"terms: !<", b"x", b"> a", "yaml-feature"),
    "percent-tag": (b"terms: !", b"%41", b" a", "yaml-feature"),
    "merge-keys": (b"terms: [", b"{<<: a}, ", b"]", "yaml-feature"),
    "block": (b"terms: |\n", b" x\n", b"", "scalar-length"),
    "folded": (b"terms: >\n", b" x\n", b"", "scalar-length"),
    "empty-lines-in-block": (b"terms: |\n", b"\n", b" x\n", "scalar-length"),
    "plain-lines": (b"terms: a\n", b" a\n", b"", "scalar-length"),
    "plain-words": (b"terms: a", b" a", b"", "scalar-length"),
    "plain-spaces": (b"terms: a", b" ", b"b", "scalar-length"),
    "digits": (b"terms: ", b"9", b"", "scalar-length"),
    "sixties": (b"terms: 1", b":59", b"", "scalar-length"),
    "one-comment": (b"", b"#", b"", "empty-file"),
    "comments": (b"", b"#\n", b"", "empty-file"),
    "blank-lines": (b"", b"\n", b"", "empty-file"),
    "spaces": (b"", b" ", b"", "empty-file"),
    "documents": (b"", b"---\n", b"", "several-documents"),
    "ends": (b"", b"...\n", b"", "yaml-syntax"),
    "same-keys": (b"", b"a: 1\n", b"", "duplicate-key"),
    "long-key": (b"? ", b"a", b"\n: b\n", "scalar-length"),
    "items": (b"terms:\n", b"- 1\n", b"", "wrong-type"),
    "lists": (b"terms:\n", b"- []\n", b"", "wrong-type"),
    "nothings": (b"terms:\n", b"-\n", b"", "wrong-type"),
    "records": (b"terms:\n", b"- {}\n", b"", "missing-key"),
    "equal-records": (b"terms:\n", _TERM, b"", "duplicate-id"),
    "misspelt-records": (b"terms:\n", b"- {id: a, wrod: b}\n", b"", "missing-key"),
    "odd-records": (b"terms:\n", b"- {id: NO, word: 0412, what: 1_0}\n", b"", "ill-formed"),
    "tabs": (b"", b"\t", b"", "tab"),
    "nuls": (b"", b"\0", b"", "control-character"),
    "escapes": (b"", b"\x1b[2J", b"", "control-character"),
    "marks": (b"", b"\xef\xbb\xbf", b"", "byte-order-mark"),
    "carriage-returns": (b"", b"\r", b"", "line-end"),
    "no-text": (b"", b"\xff", b"", "encoding"),
    "directives": (b"", b"%YAML 1.1\n", b"", "yaml-feature"),
    "conflicts": (b"", b"<<<<<<< a\n=======\n>>>>>>> b\n", b"", "merge-conflict"),
    "half-conflicts": (b"a: 1\n", b"<<<<<<< a\n", b"", "yaml-syntax"),
}


def _pile(name: str, size: int) -> bytes:
    head, piece, tail, _ = PILES[name]
    return head + piece * ((size - len(head) - len(tail)) // len(piece)) + tail


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample dataset."""
    return write_sample(tmp_path_factory.mktemp("sample"))


def _checked(sample: Path, data: bytes) -> Report:
    (sample / "glossary.yaml").write_bytes(data)
    return check(sample, today=TODAY)


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dataset with nothing in it but a glossary."""
    folder = tmp_path_factory.mktemp("small")
    (folder / "dataset.yaml").write_text(SAMPLE["dataset.yaml"], encoding="utf-8")
    return folder


@pytest.mark.parametrize("name", PILES)
def test_work_is_in_proportion(small: Path, monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Twice as long a file takes at most about twice as many steps to read.

    Read without libyaml, whose steps cannot be counted: where there is a fault, this is read in any case.
    """
    monkeypatch.setattr(yamltext, "_FastParser", None)

    def taken(size: int) -> int:
        (small / "glossary.yaml").write_bytes(_pile(name, size))
        return steps(lambda: load_tree(small))

    once, twice = taken(1_500), taken(3_000)
    assert twice <= 2.2 * once + 500


@pytest.mark.parametrize("name", PILES)
def test_a_large_file(small: Path, name: str) -> None:
    """A file of 16 KiB has its finding at the first slip, and the peak of memory stays below 12 MiB."""
    data = _pile(name, 1 << 14)
    tracemalloc.start()
    try:
        report = _checked(small, data)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    here = [finding for finding in report.findings if finding.place.path == "glossary.yaml"]
    assert here[0].rule == PILES[name][3]
    assert peak < 12 << 20


@pytest.mark.parametrize("name", ["brackets", "braces", "dashes", "commas", "nuls", "no-text", "block"])
def test_a_megabyte(small: Path, name: str) -> None:
    """A file of the largest size that is read gives the same finding as a small one."""
    data = _pile(name, MAX_BYTES)
    assert len(data) > MAX_BYTES - 8
    assert _checked(small, data).findings[0].rule == PILES[name][3]


def test_a_scalar_of_a_hundred_megabytes(sample: Path) -> None:
    """A file too large to be read is told, and no more of it is held than the largest that is read."""
    path = sample / "glossary.yaml"
    with path.open("wb") as stream:
        stream.write(b"terms: ")
        stream.truncate(100 << 20)  # the rest is a hole, which takes no room on the disk
    tracemalloc.start()
    try:
        report = check(sample, today=TODAY)
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
        path.unlink()
    assert [finding.rule for finding in report.findings] == ["file-size"]
    assert peak < 8 << 20


def test_a_million_brackets_without_a_file() -> None:
    """The reader alone ends at its depth, with libyaml and without it."""
    for sign in "[{":
        for pure in (False, True):
            assert read_text("a: " + sign * 1_000_000, pure=pure).faults


def test_many_faults_are_told_in_sum(sample: Path) -> None:
    """Of very many slips of one sort in a file the first are told, and then how many more there are."""
    items = _checked(sample, b"terms:\n" + b"- 1\n" * 5_000).findings
    assert len(items) == MAX_TOLD + 1
    assert items[-1].message.startswith(f"from here on {5_000 - MAX_TOLD} more items of terms")
    keys = _checked(sample, b"terms: []\n" + b"".join(b"k%d: 1\n" % at for at in range(1_000))).findings
    assert len(keys) == MAX_TOLD + 1
    assert keys[-1].message.startswith(f"from here on {1_000 - MAX_TOLD} more keys")
    unfit = _checked(sample, b"terms:\n" + b"- {word: b, what: c}\n" * (MAX_EXPLAINED + 7)).findings
    assert len(unfit) == MAX_EXPLAINED + 1
    assert "7 more records of this file" in unfit[-1].message
    record = b"terms:\n- {id: a, word: b, what: c, " + b", ".join(b"k%d: 1" % at for at in range(1_000))
    assert len(_checked(sample, record + b"}\n").findings) == 100


# --- many slips of one sort in many records ----------------------------------------------------------------


def _kinds() -> dict[str, tuple[str, dict[str, object]]]:
    found = {}
    for path, text in SAMPLE.items():
        says = read_text(text).value
        spec = spec_of(path)
        for plural in spec.lists if spec else ():
            if says.get(plural):
                found[plural] = path, says
    return found


def _changed(value: object, change: Callable[[str], object]) -> object:
    if isinstance(value, dict):
        return {key: _changed(item, change) for key, item in value.items()}
    if isinstance(value, list):
        return [_changed(item, change) for item in value]
    return change(value) if isinstance(value, str) else value


def _slipped(record: dict[str, object], slip: str, number: int) -> dict[str, object]:
    """A record like ``record`` with an id of its own and a slip of the sort."""
    own = str(record.get("id", ""))
    stem = own[:2] if own[:2] in ("b-", "f-", "c-") else "z-"
    made = dict(record)
    if slip == "misspelt":
        return {key + "x": value for key, value in record.items()}
    if slip == "nothing":
        made = dict.fromkeys(record)
    elif slip == "to nowhere":
        made = {key: _changed(value, lambda text: f"{text}x{number}") for key, value in record.items()}
    if own:
        made["id"] = "same" if slip == "same id" else f"{stem}{number + 500:05d}"
    return made


SLIPS = ("alike", "same id", "misspelt", "nothing", "to nowhere")


@pytest.mark.parametrize("slip", SLIPS)
@pytest.mark.parametrize("plural", _kinds())
def test_many_slips_take_work_in_proportion(sample: Path, plural: str, slip: str) -> None:
    """Twice as many records with the same slip take at most about twice as many steps to check."""
    path, says = _kinds()[plural]
    records = says[plural]
    assert isinstance(records, list)
    longest = max(records, key=lambda record: len(json.dumps(record)))

    def taken(count: int) -> int:
        more = [_slipped(longest, slip, at) for at in range(count)]
        text = json.dumps({**says, plural: [*records, *more]}, ensure_ascii=False)
        (sample / path).write_text(text.replace("}, {", "},\n {"), encoding="utf-8")
        return steps(lambda: check(sample, today=TODAY))

    try:
        taken(3)
        base, once, twice = taken(0), taken(20), taken(40)
    finally:
        (sample / path).write_text(SAMPLE[path], encoding="utf-8")
        (sample / "glossary.yaml").write_text(SAMPLE["glossary.yaml"], encoding="utf-8")
    assert twice - base <= 2.6 * (once - base) + 500


def test_two_thousand_files(tmp_path: Path) -> None:
    """A folder of very many files that do not belong there gives one finding each, and nothing is opened."""
    folder = write_sample(tmp_path)
    for number in range(2_000):
        os.mkfifo(folder / f"n{number}.yaml")  # to open one for reading would wait for ever
    report = check(folder, today=TODAY)
    assert len(report.findings) == 2_000
    assert {finding.rule for finding in report.findings} == {"unknown-file"}
