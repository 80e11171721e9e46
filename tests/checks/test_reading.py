"""Files that cannot be read, or not alike by everybody: each is told with its place, and the rest is checked.

The same texts are read with libyaml and without it, since either may be what a contributor has.
"""

import os
import random
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardref.checks.runner import check
from cardref.checks.table import rules
from cardref.finding import Severity
from cardref.storage import yamltext
from cardref.storage.yamltext import MAX_BYTES, MAX_DEPTH, MAX_SCALAR, decode, read_text, spots
from tests.checks.laid import BACKS, HEAD, TODAY, checked, edited, laid, one, rules_told, told

TERMS = "terms:\n  - id: back\n    word: back\n    what: The reverse.\n"
WRONG_COUNT = """\
backs:
  - id: b-020
    designation: 5A
    series: lanternfish
    count: 5
    pictures: {based_on: b-001}
    sources: [binder]
"""

# name: (what the glossary holds, rule, line, column)
HOSTILE: dict[str, tuple[bytes, str, int, int]] = {
    "latin-1": ("terms:\n  - id: récif\n".encode("latin-1"), "encoding", 2, 10),
    "utf-16": ("terms: []\n".encode("utf-16"), "encoding", 1, 1),
    "a surrogate encoded as if it were a sign": (b"terms:\n  - id: \xed\xa0\x80\n", "encoding", 2, 9),
    "an overlong slash": (b"terms: [\xc0\xaf]\n", "encoding", 1, 9),
    "a mark first": (b"\xef\xbb\xbf" + TERMS.encode(), "byte-order-mark", 1, 1),
    "a mark inside": (TERMS.replace("reverse", "re\ufeffverse").encode(), "byte-order-mark", 4, 17),
    "nul": (TERMS.replace("reverse", "re\0verse").encode(), "control-character", 4, 17),
    "escape": (TERMS.replace("reverse", "\x1b[31m").encode(), "control-character", 4, 15),
    "next line": (TERMS.replace("reverse", "re\x85verse").encode(), "control-character", 4, 17),
    "line separator": (TERMS.replace("reverse", "re\u2028verse").encode(), "control-character", 4, 17),
    "an escape that makes a control": (b'terms:\n  - id: "b\\x1b"\n', "control-character", 2, 9),
    "an escape that makes a surrogate": (b'terms:\n  - id: "\\ud83d"\n', "control-character", 2, 9),
    "a tab before a value": (b"terms:\n  - id:\tback\n", "tab", 2, 8),
    "a tab in a text": (b"terms:\n  - id: ba\tck\n", "tab", 2, 11),
    "a tab that indents": (b"terms:\n\t- id: back\n", "tab", 2, 1),
    "old line ends": (b"terms:\r  - id: back\r", "line-end", 1, 7),
    "a tag": (b"terms:\n  - id: !!python/name:os.system\n", "yaml-feature", 2, 9),
    "an anchor": (b"terms:\n  - &a {id: back}\n", "yaml-feature", 2, 5),
    "an alias": (b"terms:\n  - &a {id: back}\n  - *a\n", "yaml-feature", 2, 5),
    "a merge key": (b"terms:\n  - <<: {id: back}\n", "yaml-feature", 2, 5),
    "a directive": (b"%YAML 1.1\n---\nterms: []\n", "yaml-feature", 1, 1),
    "a list for a key": (b"? [a, b]\n: c\n", "yaml-feature", 1, 3),
    "an end mark": (b"terms: []\n...\n", "yaml-feature", 2, 1),
    "a key twice": (b"terms:\n  - id: back\n    word: a\n    word: b\n", "duplicate-key", 4, 5),
    "a key twice at the top": (b"terms: []\nterms: []\n", "duplicate-key", 2, 1),
    "a key twice, one composed": (
        "terms:\n  - id: back\n    récif: a\n    re\u0301cif: b\n".encode(),
        "duplicate-key",
        4,
        5,
    ),
    "too deep": (b"terms: " + b"[" * (MAX_DEPTH + 6) + b"]" * (MAX_DEPTH + 6) + b"\n", "nesting", 1, 71),
    "deep enough to end a recursion": (b"terms: " + b"[" * 5_000 + b"\n", "nesting", 1, 71),
    "a very long text": (b"terms: " + b"x" * (MAX_SCALAR + 1) + b"\n", "scalar-length", 1, 8),
    "a very large file": (b"#" * (MAX_BYTES + 1), "file-size", 0, 0),
    "nothing": (b"", "empty-file", 1, 1),
    "blank lines": (b"\n\n", "empty-file", 1, 1),
    "only a comment": (b"# to be done\n", "empty-file", 1, 1),
    "two documents": (b"terms: []\n---\nterms: []\n", "several-documents", 2, 1),
    "an open bracket": (b"terms: [\n", "yaml-syntax", 2, 1),
    "an open quote": (b"terms:\n  - id: 'back\n", "yaml-syntax", 3, 1),
    "a colon too many": (b"terms:\n  - id: a: b\n", "yaml-syntax", 2, 10),
    "two indentations": (b"terms:\n  - id: a\n   word: b\n", "yaml-syntax", 3, 4),
    "no YAML at all": (b"{{{ \x25 }}}", "yaml-syntax", 1, 5),
    "an unfinished merge": (
        b"terms:\n<<<<<<< ours\n  - id: a\n=======\n  - id: b\n>>>>>>> theirs\n",
        "merge-conflict",
        2,
        1,
    ),
    "an unfinished merge with a base": (
        b"terms:\n<<<<<<< ours\n  - id: a\n||||||| base\n  - id: c\n=======\n  - id: b\n>>>>>>> theirs\n",
        "merge-conflict",
        2,
        1,
    ),
    "half of an unfinished merge": (b"terms: []\n=======\n>>>>>>> theirs\n", "merge-conflict", 2, 1),
}


@pytest.fixture(params=["libyaml", "pure"])
def parser(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    """With the fast parser, and as if PyYAML had been built without it."""
    if request.param == "pure":
        monkeypatch.setattr(yamltext, "_FastParser", None)
    elif yamltext._FastParser is None:
        pytest.skip("this PyYAML has no libyaml, so there is no second parser to compare with")
    return str(request.param)


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_told_once_with_its_place_and_the_rest_is_checked(
    name: str, tmp_path: Path
) -> None:
    """One finding of the right rule, line and column; a wrong count in another file is still found."""
    data, rule, line, column = HOSTILE[name]
    report = checked(tmp_path, {"glossary.yaml": data, BACKS: HEAD + WRONG_COUNT})
    of_glossary = [f for f in report.findings if f.place.path == "glossary.yaml" and f.rule != "missing-key"]
    assert [f.rule for f in of_glossary][:1] == [rule], told(report)
    assert (of_glossary[0].place.line, of_glossary[0].place.column) == (line, column)
    assert {f.rule for f in report.findings if f.place.path != "glossary.yaml"} == {"count-mismatch"}


def test_no_hostile_text_reaches_a_message_raw(tmp_path: Path) -> None:
    """What a terminal would act on is never part of a message."""
    for name, (data, *_) in HOSTILE.items():
        for finding in checked(tmp_path / name.replace(" ", "-"), {"glossary.yaml": data}).findings:
            assert finding.message.isprintable(), name


def test_a_duplicate_key_names_both_its_places(tmp_path: Path) -> None:
    """The second place is the finding's, the first one is related."""
    finding = one(checked(tmp_path, {"glossary.yaml": HOSTILE["a key twice"][0]}), "duplicate-key")
    assert [related.place.line for related in finding.related] == [3]
    assert "line 3" in finding.message


def test_many_faults_in_one_file_are_bounded(tmp_path: Path) -> None:
    """A file of nothing but tabs does not give a finding for each."""
    report = checked(tmp_path, {"glossary.yaml": "\t\n" * 5_000})
    assert rules_told(report) == ["tab"] * 20


def test_a_broken_file_of_backs_makes_no_link_to_them_unknown(tmp_path: Path) -> None:
    """Cards whose backs could not be read do not refer to nothing; the cards' own slips are still told."""
    report = checked(
        tmp_path,
        {
            "lines/lanternfish/backs/pell-orrin.yaml": "backs: [\n",
            "lines/lanternfish/cards/morvane.more.yaml": (
                "line: lanternfish\nmaker: morvane\ncards:\n"
                "  - {id: c-020, face: f-001, back: b-001, sources: [bidner]}\n"
            ),
        },
    )
    assert [r for r in rules_told(report) if r != "duplicate-card"] == ["yaml-syntax", "unknown-link"], told(
        report
    )


def test_a_record_of_wrong_shape_is_no_missing_record(tmp_path: Path) -> None:
    """One field of a back is ill-formed: that is told, and the cards on it are left alone."""
    text = (
        "line: lanternfish\nmaker: morvane\nbacks:\n  - id: b-001\n    designation: three\n"
        "    series: lanternfish\n    count: 3\n"
    )
    report = checked(tmp_path, {"lines/lanternfish/backs/morvane.yaml": text})
    assert [f.rule for f in report.findings if f.severity.rank] == ["ill-formed"], told(report)


def test_a_file_with_a_wrong_ending_is_told_once(tmp_path: Path) -> None:
    """backs/morvane.yml is a file out of place; nothing else is said about the backs that are in it."""
    report = checked(
        tmp_path,
        {
            "lines/lanternfish/backs/morvane.yaml": None,
            "lines/lanternfish/backs/morvane.yml": "line: lanternfish\n",
        },
    )
    assert [f.rule for f in report.findings if f.severity.rank] == ["unknown-file"], told(report)


def test_a_lost_file_is_told_once_and_not_by_every_link_into_it(tmp_path: Path) -> None:
    """Without sources.yaml every record's sources lead nowhere: one finding names the file."""
    report = checked(tmp_path, {"sources.yaml": None})
    assert [f.rule for f in report.findings if f.severity.rank] == ["missing-file"], told(report)
    assert "sources.yaml" in report.findings[0].message


def test_a_folder_of_a_line_without_its_line_file_is_told(tmp_path: Path) -> None:
    """line.yaml holds the series: without it the folder cannot be judged, and that is the one finding."""
    report = checked(tmp_path, {"lines/lanternfish/line.yaml": None})
    assert [f.rule for f in report.findings if f.severity.rank] == ["missing-file"], told(report)


def test_links_that_leave_the_dataset_are_not_followed(tmp_path: Path) -> None:
    """A symbolic link to a file elsewhere is told, and nothing of that file appears."""
    secret = tmp_path / "secret.yaml"
    secret.write_text("terms: [{id: secret, word: secret, what: secret}]\n")
    folder = laid(tmp_path / "dataset", {"glossary.yaml": None})
    (folder / "glossary.yaml").symlink_to(secret)
    (folder / "lines" / "loop").symlink_to(folder / "lines")
    report = check(folder, today=TODAY)
    assert rules_told(report) == ["symbolic-link", "symbolic-link"], told(report)
    assert "secret" not in " ".join(told(report))


def test_a_pipe_does_not_hang_the_check(tmp_path: Path) -> None:
    """A named pipe in the tree is told, not waited for."""
    folder = laid(tmp_path, {"glossary.yaml": None})
    os.mkfifo(folder / "glossary.yaml")
    assert rules_told(check(folder, today=TODAY)) == ["unreadable-file"]


def test_text_that_others_read_as_something_else_is_quoted_safely(tmp_path: Path) -> None:
    """Each form of rules about written text is found where text is meant, and nowhere else."""
    odd = ["0412", "NO", "12:30", "1_000", "1e3", "2024-01-05", "=", "off", "0x1F", "1.", "+1", "true", "7"]
    words = "".join(f"  - {{id: t-{at}, word: {text}, what: A word}}\n" for at, text in enumerate(odd))
    report = checked(tmp_path, {"glossary.yaml": "terms:\n" + words})
    assert [f.value for f in report.findings if f.rule == "written-form"] == odd, told(report)
    assert {f.rule for f in report.findings} == {"written-form"}
    assert all(f.fix and f.fix.safe and f.fix.edits[0].text == f'"{f.value}"' for f in report.findings)
    assert [f.record for f in report.findings] == [f"term/t-{at}" for at in range(len(odd))]


def test_a_date_without_a_day_is_text_to_everybody(tmp_path: Path) -> None:
    """1981-03 is text to every reader of YAML, so nothing is said about it."""
    assert checked(tmp_path, {}).clean


def test_a_number_for_a_key_is_told(tmp_path: Path) -> None:
    """A scheme's table has codes for keys: without quotes 014 is 12 to some programs and 14 to others."""
    line = edited("lines/lanternfish/line.yaml", ('"014": reef-pilot', "014: reef-pilot"))
    report = checked(tmp_path, line)
    finding = one(report, "written-form")
    assert (finding.record, finding.value) == ("lanternfish/scheme/po", "014")
    assert finding.fix
    assert finding.fix.edits[0].text == '"014"'


_PIECES = [
    *"a []{}'\"%@\u0301",
    *(
        "b: ",
        "- ",
        "\n",
        "  ",
        "    ",
        ": ",
        "? ",
        ", ",
        "# c",
        "&a ",
        "*a",
        "!t ",
        "|",
        "|\n",
        ">-\n",
        "|2\n",
    ),
    *(
        "--- ",
        "---\n",
        "...\n",
        "0412",
        "NO",
        "~",
        "null",
        "é",
        "\\",
        "\\x1b",
        "<<: ",
        "\n\n",
        "x: y\n",
        "- a\n",
    ),
    *("k:\n  - 1\n", "1: 2\n", '"a\\\n b"', "? a\n: b\n", "[a: b]", "{a, b}", "\r\n"),
]


@given(st.lists(st.sampled_from(_PIECES), min_size=1, max_size=14).map("".join))
@settings(max_examples=400, deadline=None)
def test_both_parsers_give_one_verdict(text: str) -> None:
    """Whatever the text: the same value, faults, places and oddities with libyaml and without."""
    if decode(text.encode())[1]:
        return
    fast, pure = read_text(text), read_text(text, pure=True)
    assert (repr(fast.value), fast.faults, fast.odd, fast.odd_keys, fast.tidy) == (
        repr(pure.value),
        pure.faults,
        pure.odd,
        pure.odd_keys,
        pure.tidy,
    )
    if not fast.faults:
        assert spots(text) == spots(text, pure=True)


@given(st.binary(max_size=200))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_bytes_are_findings_and_never_an_exception(tmp_path: Path, data: bytes) -> None:
    """A file of any bytes at all is judged, and the report is the same a second time."""
    folder = tmp_path / str(random.getrandbits(64))
    first = checked(folder, {"glossary.yaml": data})
    assert first == check(folder, today=TODAY)


def test_what_is_not_read_or_not_kept_is_an_error() -> None:
    """A file or value that is left out of everything else never passes as a remark."""
    families = [rule for rule in rules() if rule.family in ("reading", "shape")]
    assert [rule.id for rule in families if rule.severity is not Severity.ERROR] == [
        "older-model",
        "reserved-name",
    ]
