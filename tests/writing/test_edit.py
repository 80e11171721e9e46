"""Edits of a text: the target changes, and nothing else does."""

import random
from typing import Any

import pytest

from cardref.errors import DatasetError
from cardref.finding import Edit
from cardref.fixing.formatting import shape_at
from cardref.location import Place
from cardref.storage.canonical import same
from cardref.storage.edit import Sheet, apply_edits
from cardref.storage.shape import FREE
from cardref.storage.tree import owned, parse
from cardref.storage.yamltext import read_text
from tests.writing.scribe import Scribe, random_record_file, random_value

BACKS = "lines/tidewrack/backs/quay-marl.yaml"
SHAPE = shape_at(BACKS)


def _text(seed: int) -> tuple[str, random.Random]:
    rng = random.Random(seed)
    value: Any = random_record_file(rng) if rng.random() < 0.6 else {"a": random_value(rng, 4), "b": "x"}
    return Scribe(rng, rng.choice([0, 0.1, 0.3])).write(value).text, rng


def _get(value: Any, pointer: tuple[str | int, ...]) -> Any:
    for step in pointer:
        value = value[step]
    return value


def test_setting_a_word_changes_its_own_span_only() -> None:
    """Text before and after the value is the same, byte for byte; the value is the new one."""
    done = 0
    for seed in range(300):
        text, rng = _text(seed)
        words = [n for n in parse(text).walk() if not n.is_collection and n.parent and n.end > n.start]
        words = [n for n in words if n.style not in ("|", ">") and not n.tail]
        if not words:
            continue
        node = rng.choice(words)
        sheet = Sheet(text)
        sheet.set(node.pointer, "Reef Pilot, the 2nd")
        made = sheet.done()
        assert made.startswith(text[: node.start])
        assert made.endswith(text[node.end :])
        assert _get(read_text(made).value, node.pointer) == "Reef Pilot, the 2nd"
        done += 1
    assert done > 200


@pytest.mark.parametrize("what", ["set", "add", "append", "remove", "drop", "rename"])
def test_random_edits_are_exact_or_refused(what: str) -> None:
    """An edit of any file does what was asked and loses no comment that was to stay, or is refused."""
    refused = done = 0
    for seed in range(150):
        text, rng = _text(seed)
        nodes = [node for node in parse(text).walk() if node.parent is not None]
        node = rng.choice(nodes)
        sheet = Sheet(text, SHAPE)
        wanted = Sheet(text).value
        comments = sorted(owned(parse(text)))
        try:
            if what == "set":
                node = rng.choice([n for n in nodes if not n.is_collection])
                sheet.set(node.pointer, rng.choice(["25B", 7, None, "long " * 40 + "x", "a\nb", ["a", "b"]]))
            elif what == "add":
                node = rng.choice([n for n in nodes if n.is_map] or [parse(text)])
                sheet.set((*node.pointer, "zz"), rng.choice(["25B", ["a"], [{"a": "b"}]]))
            elif what == "append":
                node = rng.choice([n for n in nodes if isinstance(n.value, list)] or [parse(text)])
                sheet.append(node.pointer, rng.choice(["25B", {"id": "b-020", "designation": "12B"}]))
            elif what == "rename":
                node = rng.choice([n for n in nodes if n.key_start >= 0])
                sheet.rename_key(node.pointer, "zz")
            else:
                sheet.remove(node.pointer, with_comments=what == "drop")
                for comment in owned(node) if what == "drop" else ():
                    comments.remove(comment)
            made = sheet.done()
        except DatasetError:
            refused += 1
            continue
        done += 1
        assert sorted(owned(parse(made))) == comments
        kept = [line for line in text.split("\n") if line.strip()]
        lost = len(kept) - sum(line in made for line in kept)
        inside = text[node.start : node.end].count("\n") + len(owned(node)) + 2
        assert lost <= inside
        assert not same(read_text(made).value, wanted) or what == "set"
    assert done > refused


@pytest.mark.parametrize(
    ("text", "edit", "wanted"),
    [
        ("a: 1\n", lambda s: s.set(("b",), "x"), "a: 1\nb: x\n"),
        ("a: 1", lambda s: s.set(("b",), "x"), "a: 1\nb: x"),
        ("a: 1\r\nc: 2\r\n", lambda s: s.set(("b",), ["x", "z"]), "a: 1\r\nc: 2\r\nb: [x, z]\r\n"),
        ("a: {b: 1}\n", lambda s: s.set(("a", "c"), "x"), "a: {b: 1, c: x}\n"),
        ("a: {}  # c\n", lambda s: s.set(("a", "c"), "x"), "a:  # c\n  c: x\n"),
        ("a:  # c\nb: 1\n", lambda s: s.set(("a",), "x"), "a: x  # c\nb: 1\n"),
        ("a: |  # c\n  one\n  two\nb: 1\n", lambda s: s.set(("a",), "x"), "a: x  # c\nb: 1\n"),
        ("a: x  # c\n", lambda s: s.set(("a",), "1\n2\n"), "a: |  # c\n  1\n  2\n"),
        ("a: [x]  # c\n", lambda s: s.append(("a",), "z"), "a: [x, z]  # c\n"),
        ("a: []\n", lambda s: s.append(("a",), "z"), "a: [z]\n"),
        ("a: []  # c\nb: 1\n", lambda s: s.append(("a",), {"z": 1}), "a:  # c\n  - z: 1\nb: 1\n"),
        ("a:\n- x # c\n# d\nb: 1\n", lambda s: s.append(("a",), "z"), "a:\n- x # c\n- z\n# d\nb: 1\n"),
        ("a:\n  - x\n  # end\nb: 1\n", lambda s: s.append(("a",), "z"), "a:\n  - x\n  - z\n  # end\nb: 1\n"),
        ("a:\n  - x\n  - y # c\nb: 1\n", lambda s: s.remove(("a", 1)), "a:\n  - x\n  # c\nb: 1\n"),
        ("a:\n  - x\nb: 1\n", lambda s: s.remove(("a", 0)), "a: []\nb: 1\n"),
        ("a: [x, y, z]\n", lambda s: (s.remove(("a", 1)), s.remove(("a", 2))), "a: [x]\n"),
        ("a: [x, y]\n", lambda s: (s.remove(("a", 0)), s.remove(("a", 1))), "a: []\n"),
        ("a:\n-\n  [x]\n- [y]\n", lambda s: s.remove(("a", 0)), "a:\n- [y]\n"),
        ("- id: a\n  b: 1\n", lambda s: s.remove((0, "id")), "- b: 1\n"),
        ("a: 1 # c\nb: 2\n", lambda s: s.remove(("a",)), "# c\nb: 2\n"),
        ("z: 0\n# c\na: 1\nb: 2\n", lambda s: s.remove(("a",), with_comments=True), "z: 0\nb: 2\n"),
        ("a: 1\nb: 2\n", lambda s: s.rename_key(("a",), "NO"), '"NO": 1\nb: 2\n'),
    ],
)
def test_edits(text: str, edit: Any, wanted: str) -> None:
    """Each edit gives the text that somebody would have typed."""
    sheet = Sheet(text)
    edit(sheet)
    assert sheet.done() == wanted


def test_a_record_is_added_where_its_kind_has_it() -> None:
    """A list in order stays in order, with its blank lines; a new key stands in the model's order."""
    text = 'backs:\n  - id: b-1\n    designation: "1A"\n\n  # on three\n  - id: b-3\n    designation: "3A"\n'
    sheet = Sheet(text, SHAPE)
    sheet.append(("backs",), {"designation": "2A", "id": "b-2"}, ["# on two"])
    sheet.set(("backs", 1, "count"), 3)
    sheet.set(("backs", 1, "series"), "x")
    assert sheet.done() == (
        'backs:\n  - id: b-1\n    designation: "1A"\n\n  # on two\n  - id: b-2\n    designation: "2A"\n\n'
        '  # on three\n  - id: b-3\n    designation: "3A"\n    series: x\n    count: 3\n'
    )


@pytest.mark.parametrize(
    ("text", "edit", "said"),
    [
        ("a: [x, # c\n  y]\n", lambda s: s.set(("a",), "z"), "comments inside"),
        ("a: 1\n", lambda s: s.set(("b", "c"), 1), "nothing at b"),
        ("a: 1\n", lambda s: s.append(("a",), 1), "cannot be added"),
        ("a: 1\nb: 2\n", lambda s: s.rename_key(("a",), "b"), "cannot be renamed"),
        ("a: 1\n", lambda s: s.remove(()), "whole text"),
        ("a: [x, # c\n  y]\n", lambda s: s.remove(("a", 0)), "comments beside"),
        ("a: {b: 1}\n", lambda s: (s.set(("a",), 1), s.set(("a", "b"), 2)), "same text"),
        ("- id: a # c\n  b: 1\n", lambda s: s.remove((0, "id")), "taken out alone"),
    ],
)
def test_what_cannot_be_done_exactly_is_refused(text: str, edit: Any, said: str) -> None:
    """An edit that would take more with it raises a DatasetError that says what to do."""
    sheet = Sheet(text)
    with pytest.raises(DatasetError, match=said):  # noqa: PT012 - some are refused at once, some at the end
        edit(sheet)
        sheet.done()


def test_two_edits_leave_the_rest() -> None:
    """Several edits of one text are all made in terms of the text as it was."""
    sheet = Sheet("a: [x, y]\nb:\n  - c: 1\n  - d: 2\n")
    sheet.set(("a", 0), "X")
    sheet.remove(("a", 1))
    sheet.append(("a",), "z")
    sheet.remove(("b", 0))
    sheet.set(("b", 1, "d"), 3)
    assert sheet.done() == "a: [X, z]\nb:\n  - d: 3\n"


# --- edits that findings propose ----------------------------------------------------------------------------


def _at(line: int, column: int, end_line: int, end_column: int, text: str) -> Edit:
    return Edit(Place("f.yaml", line, column, end_line, end_column), text)


TEXT = "a: {x: 1, y: 2}\nb:\n  c: 1 # n\n  d: [1, 2]\ne: NO\n"


@pytest.mark.parametrize(
    ("edit", "old", "new"),
    [
        (_at(5, 4, 5, 6, '"NO"'), "e: NO", 'e: "NO"'),
        (_at(1, 5, 1, 11, ""), "{x: 1, y: 2}", "{y: 2}"),
        (_at(4, 1, 5, 1, ""), "  d: [1, 2]\n", ""),
        (_at(5, 1, 5, 2, "f"), "e: NO", "f: NO"),
        (_at(4, 7, 4, 10, ""), "[1, 2]", "[2]"),
        (_at(5, 6, 5, 6, "TE"), "e: NO", "e: NOTE"),  # inserted at the end of a value
        (_at(5, 4, 5, 4, "KEY"), "e: NO", "e: KEYNO"),  # and at its start
        (_at(4, 10, 4, 10, "9"), "[1, 2]", "[1, 92]"),
    ],
)
def test_a_findings_edit_is_carried_out(edit: Edit, old: str, new: str) -> None:
    """The text at the place is replaced, and nothing else."""
    assert apply_edits(TEXT, [edit]) == TEXT.replace(old, new)


@pytest.mark.parametrize(
    "edits",
    [
        [_at(2, 1, 5, 1, "")],  # takes the comment along
        [_at(3, 6, 3, 10, "")],  # takes the comment along
        [_at(5, 4, 5, 6, "x\nq: 1")],  # brings a key of its own
        [_at(5, 4, 5, 6, "[")],  # breaks the file
        [_at(5, 4, 5, 6, "x # y")],  # brings a comment
        [_at(1, 1, 1, 2, "b")],  # the key is there already
        [_at(5, 4, 5, 6, "x"), _at(5, 5, 5, 6, "y")],  # touch each other
        [_at(5, 4, 5, 6, "&a x")],  # what no dataset holds
    ],
)
def test_a_findings_edit_that_does_more_is_refused(edits: list[Edit]) -> None:
    """An edit that would break the file, change a comment or touch another value is refused."""
    with pytest.raises(DatasetError):
        apply_edits(TEXT, edits)


def test_a_findings_edit_may_fill_what_is_empty() -> None:
    """A key without a value is a value that stands nowhere: what is inserted there belongs to it."""
    assert apply_edits("a:\nb: 1\n", [_at(1, 3, 1, 3, " x")]) == "a: x\nb: 1\n"


def test_an_unreadable_text_must_get_better() -> None:
    """In a text that cannot be read yet an edit is kept only if it leaves fewer faults."""
    assert apply_edits("a: 1\nb: &x 2\n", [_at(2, 4, 2, 7, "")]) == "a: 1\nb: 2\n"
    with pytest.raises(DatasetError):
        apply_edits("a: 1\nb: &x 2\n", [_at(1, 4, 1, 5, "3")])


def test_free_shape_keeps_order() -> None:
    """Without a shape new keys come last."""
    sheet = Sheet("b: 1\na: 2\n", FREE)
    sheet.set(("aa",), 1)
    assert sheet.done() == "b: 1\na: 2\naa: 1\n"
