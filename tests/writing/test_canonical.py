"""The canonical layout: every comment and every value stays, and one step is enough.

The ordinary run takes a few of the random files. The full 1,500:

    CARDREF_FILES=1500 python -m pytest tests/writing/test_canonical.py
"""

import os
import random
from io import StringIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML

from cardref.checks.sample import SAMPLE
from cardref.errors import DatasetError
from cardref.fixing.formatting import formatted, shape_at
from cardref.fixing.place import target_of
from cardref.storage import yamltext
from cardref.storage.canonical import WIDTH, canonical, ordered, same
from cardref.storage.scalars import block, written
from cardref.storage.shape import FREE, Shape, by_meaning, in_order
from cardref.storage.tree import owned, parse
from cardref.storage.yamltext import decode, read_text
from tests.writing.scribe import Scribe, Written, random_record_file, random_value

ROOT = Path(__file__).parents[2]
BACKS = "lines/tidewrack/backs/quay-marl.yaml"
FILES = int(os.environ.get("CARDREF_FILES", "150"))


def _random_file(seed: int) -> tuple[Written, Shape]:
    rng = random.Random(seed)
    if rng.random() < 0.5:
        value: Any = random_record_file(rng)
        shape = shape_at(BACKS)
    else:
        value, shape = random_value(rng, 4), FREE
        while not isinstance(value, (dict, list)):
            value = random_value(rng, 4)
    return Scribe(rng, rng.choice([0, 0.1, 0.3])).write(value), shape


@pytest.mark.parametrize("part", range(10))
def test_random_files_keep_every_comment_and_value(part: int) -> None:
    """Whatever hand wrote a file, layout keeps its values and its comments, and is done in one step."""
    for seed in range(part, FILES, 10):
        given_file, shape = _random_file(seed)
        made = canonical(given_file.text, shape)
        document = read_text(made)
        assert not document.faults, seed
        assert same(document.value, ordered(given_file.value, shape)), seed
        assert sorted(owned(parse(made.replace("\r\n", "\n")))) == sorted(given_file.comments), seed
        assert canonical(made, shape) == made, seed


@pytest.mark.parametrize("part", range(5))
def test_a_second_parser_reads_the_same_values(part: int) -> None:
    """Package ruamel.yaml (YAML 1.2) reads from the canonical text what was written; no word is odd."""
    for seed in range(part, FILES, 10):
        given_file, shape = _random_file(seed)
        made = canonical(given_file.text, shape)
        assert not read_text(made).odd or None in _leaves(given_file.value), seed
        theirs = YAML(typ="safe", pure=True).load(StringIO(made))
        assert same(theirs, ordered(given_file.value, shape)), seed


def _leaves(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return [leaf for item in value.values() for leaf in _leaves(item)]
    return [leaf for item in value for leaf in _leaves(item)] if isinstance(value, list) else [value]


def test_comments_stay_in_their_order_where_nothing_is_reordered() -> None:
    """In the author's own order comments follow each other as before, but for a few lifted above an item."""
    moved = total = 0
    for seed in range(0, FILES, 3):
        rng = random.Random(seed)
        given_file = Scribe(rng, 0.2).write(random_record_file(rng))
        made = canonical(given_file.text, FREE).replace("\r\n", "\n")
        where = [made.index(f"{comment}\n") for comment in given_file.comments]
        moved += sum(a > b for a, b in pairwise(where))
        total += len(where)
    assert moved <= total * 0.05


@pytest.mark.parametrize("path", sorted(SAMPLE))
def test_another_hand_comes_back_in_one_step(path: str) -> None:
    """A canonical file, written out in any other style and order of keys, is laid out the same again."""
    shape = shape_at(path)
    wanted = canonical(SAMPLE[path], shape)
    for seed in range(20):
        rng = random.Random(seed)
        value = _shuffled(read_text(wanted).value, shape, rng)
        other = Scribe(rng, 0).write(value).text
        assert canonical(other.replace("\r\n", "\n"), shape) == wanted


def _shuffled(value: Any, shape: Shape, rng: random.Random) -> Any:
    """The same values with keys and records in another order, where the layout has an order for them."""
    if isinstance(value, dict):
        keys = list(value)
        if shape.order:
            rng.shuffle(keys)
        return {key: _shuffled(value[key], shape.fields.get(key, FREE), rng) for key in keys}
    if isinstance(value, list):
        items = [_shuffled(item, shape.each or FREE, rng) for item in value]
        if shape.sort:
            rng.shuffle(items)
        return items
    return value


def test_the_layout_is_the_same_without_libyaml(monkeypatch: pytest.MonkeyPatch) -> None:
    """Both parsers give one layout."""
    files = [_random_file(seed) for seed in range(0, FILES, 5)]
    with_it = [canonical(one.text, shape) for one, shape in files]
    monkeypatch.setattr(yamltext, "_FastParser", None)
    assert [canonical(one.text, shape) for one, shape in files] == with_it


def test_the_bundled_dataset_says_the_same_afterwards() -> None:
    """Laying out the whole bundled dataset changes no value and loses no comment."""
    paths = target_of([ROOT / "dataset"]).paths
    assert len(paths) > 20
    done = formatted(ROOT / "dataset", paths)
    assert not done.left
    for change in done.changes:
        assert change.before is not None
        assert change.after is not None
        old, new = decode(change.before)[0], decode(change.after)[0]
        assert same(ordered(read_text(old).value, shape_at(change.path)), read_text(new).value)
        assert sorted(owned(parse(old))) == sorted(owned(parse(new)))


_LAYOUT = (
    (
        "a comment goes with the record that it stands above",
        "faces:\n# on two\n- id: f-2\n  note: x\n# on one\n- id: f-1\n  note: z\n",
        "faces:\n  # on one\n  - id: f-1\n    note: z\n\n  # on two\n  - id: f-2\n    note: x\n",
    ),
    (
        "the head of a file stays at its head",
        "# head\nmaker: m\nline: l\nbacks: []\n",
        "# head\nline: l\nmaker: m\n\nbacks: []\n",
    ),
    (
        "what a blank line sets off above the first record is about all of them",
        "faces:\n  # on all\n\n  # on two\n  - id: f-2\n    note: x\n  - id: f-1\n    note: z\n",
        "faces:\n  # on all\n\n  - id: f-1\n    note: z\n\n  # on two\n  - id: f-2\n    note: x\n",
    ),
    (
        "a comment indented like a record's keys is at the end of that record",
        "backs:\n  - id: b-1\n    note: x\n    # end of one\n  - id: b-2\n",
        "backs:\n  - id: b-1\n    note: x\n    # end of one\n\n  - id: b-2\n",
    ),
    (
        "an example in comments below the last record stays there",
        "backs:\n  - id: b-1\n  # - id: b-2\n  #   count: 2\n",
        "backs:\n  - id: b-1\n  # - id: b-2\n  #   count: 2\n",
    ),
    (
        "a comment behind a value stays behind it, folded or not",
        "backs:\n  - note: 'short'   # why\n    id: b-1\n",
        "backs:\n  - id: b-1\n    note: short  # why\n",
    ),
    (
        "a comment in brackets opens them",
        "backs:\n  - sources: [a, # the better one\n      b]\n",
        "backs:\n  - sources:\n      - a  # the better one\n      - b\n",
    ),
    (
        "a list that holds nothing but a comment keeps it",
        "backs:\n  - sources: []\n      # none yet\n    id: b-1\n",
        "backs:\n  - id: b-1\n    sources: []\n      # none yet\n",
    ),
    (
        "a key that was misspelt stays where it was",
        "maker: m\nlime: l\nbacks: []\n",
        "maker: m\nlime: l\n\nbacks: []\n",
    ),
    (
        "blank lines inside a record stay, one at a time",
        "backs:\n  - id: b-1\n\n\n    note: x\n",
        "backs:\n  - id: b-1\n\n    note: x\n",
    ),
    (
        "a word to other readers is quoted",
        "backs:\n  - id: no\n    note: 12:30\n    sources: [~, NO, x]\n",
        'backs:\n  - id: "no"\n    sources: [null, "NO", x]\n    note: "12:30"\n',
    ),
)


@pytest.mark.parametrize(
    ("text", "wanted"), [case[1:] for case in _LAYOUT], ids=[case[0] for case in _LAYOUT]
)
def test_layout(text: str, wanted: str) -> None:
    """Comments, blank lines, keys and quotes stand where the case says."""
    shape = shape_at(BACKS.replace("backs", "faces") if "faces:" in text else BACKS)
    assert canonical(text, shape) == wanted
    assert canonical(wanted, shape) == wanted


def test_keys_stand_in_the_order_of_the_model_however_deep() -> None:
    """A record's keys, those of a record inside it, and those of each record in a list inside it."""
    lines = """\
backs:
  - note: said
    pictures:
      slips:
        - times: 3
          figure: lamp-diver
      based_on: b-001
    sides:
      - sources: [a]
        claim: seen
    id: b-002
"""
    wanted = """\
backs:
  - id: b-002
    pictures:
      based_on: b-001
      slips:
        - figure: lamp-diver
          times: 3
    sides:
      - claim: seen
        sources: [a]
    note: said
"""
    assert canonical(lines, shape_at(BACKS)) == wanted


def test_codes_are_always_in_quotes() -> None:
    """What is copied as printed is quoted, whatever it looks like; the words *none* and *unread* are not."""
    text = "faces:\n  - codes: [ABC]\n    number: M1\n    barcode: 'x'\n  - codes: none\n"
    made = canonical(text, shape_at("lines/a/faces/b.yaml"))
    assert made == 'faces:\n  - number: "M1"\n    barcode: "x"\n    codes: ["ABC"]\n\n  - codes: none\n'


def test_no_line_is_longer_than_the_width() -> None:
    """Long text is folded and long lists are opened; only a long word or comment may stick out."""
    value = {"a": "word " * 80 + "end", "b": ["item"] * 60, "c": [{"d": "word " * 40 + "end"}]}
    made = canonical(Scribe(random.Random(1), 0).write(value).text.replace("\r\n", "\n"), FREE)
    assert max(map(len, made.split("\n"))) <= WIDTH


def test_windows_line_ends_stay() -> None:
    """A file with CRLF is laid out with CRLF, and says what the same file with LF says."""
    text = "backs:\r\n- id: b-1  # c\r\n  note: 'x'\r\n"
    made = canonical(text, shape_at(BACKS))
    assert made == "backs:\r\n  - id: b-1  # c\r\n    note: x\r\n"
    assert canonical(text.replace("\r\n", "\n"), shape_at(BACKS)) == made.replace("\r\n", "\n")


@pytest.mark.parametrize(
    ("text", "rule", "said"),
    [
        ("a: 1\n<<<<<<< mine\nb: 1\n=======\nb: 2\n>>>>>>> theirs\n", "merge-conflict", "lines 2, 4, 6"),
        ("makers:\n  - id: a\n    name: 'half", "yaml-syntax", "not YAML from here on"),
        ("makers:\n  - id: a\n    langu", "yaml-syntax", "not YAML from here on"),
        ("makers: [a, b", "yaml-syntax", "not YAML from here on"),
        ("", "empty-file", "the file is empty"),
        ("a: 1\na: 2\n", "duplicate-key", "in line 1"),
        ("a:\t1\n", "tab", "use spaces"),
        ("\ufeffa: 1\n", "byte-order-mark", "without one"),
        ("? a\n  b\n: 1\n", "layout", "over several lines"),
    ],
)
def test_what_cannot_be_read_is_left_alone(tmp_path: Path, text: str, rule: str, said: str) -> None:
    """Half-written files, merge conflicts and their like are not touched, and the reason has its line."""
    (tmp_path / "makers.yaml").write_text(text, encoding="utf-8", newline="")
    done = formatted(tmp_path, ["makers.yaml"])
    assert not done.changes
    (finding,) = done.left
    assert finding.rule == rule
    assert said in finding.message
    assert rule == "layout" or finding.place.line > 0


def test_every_prefix_of_a_file_is_laid_out_or_left_alone(tmp_path: Path) -> None:
    """A file cut off anywhere is laid out without a loss or left as it is: never an exception."""
    text = SAMPLE["lines/lanternfish/line.yaml"].replace("title: Lanternfish\n", "title: Lanternfish  # c\n")
    path = "lines/lanternfish/line.yaml"
    (tmp_path / path).parent.mkdir(parents=True)
    for end in range(0, len(text), 17):
        (tmp_path / path).write_text(text[:end], encoding="utf-8")
        done = formatted(tmp_path, [path])
        for change in done.changes:
            assert same(
                read_text((change.after or b"").decode()).value,
                ordered(read_text(text[:end]).value, shape_at(path)),
            )


@given(
    st.lists(
        st.sampled_from(
            "a: 1|  - x|- b # c|  # d||[|]|{|}|,|'|\"|? k|: v|a: >-|  t|---|...|b: |#e".split("|")
        )
    )
)
@settings(max_examples=300, deadline=None)
def test_odd_lines_never_break_it(lines: list[str]) -> None:
    """Any jumble of lines is laid out once and for all, or refused as a DatasetError."""
    text = "\n".join(lines) + "\n"
    try:
        made = canonical(text, FREE)
    except DatasetError:
        return
    assert canonical(made, FREE) == made


@given(st.text(), st.booleans())
@settings(max_examples=300, deadline=None)
def test_written_text_is_read_as_itself(text: str, flow: bool) -> None:
    """What is written for a text is read as that text by both parsers, in brackets too, and never as odd."""
    shown = f"k: [{written(text, flow=True)}]" if flow else f"k: {written(text)}"
    for pure in (False, True):
        document = read_text(shown, pure=pure)
        if document.faults:  # a sign that no file may hold
            assert {fault.rule for fault in document.faults} <= {"control-character", "scalar-length"}
            continue
        assert document.value == {"k": [text] if flow else text}
        assert not document.odd


@given(st.text("ab #:-\n|>é", max_size=60), st.integers(20, 60))
@settings(max_examples=300, deadline=None)
def test_a_block_is_read_as_its_text(text: str, width: int) -> None:
    """What is written as a block scalar is read as that text, with a comment behind its header as well."""
    made = block(text, 2, width)
    if made is None:
        return
    for note in ("", "  # c"):
        shown = "\n".join([f"k: {made[0]}{note}", *made[1:], "l: 1"])
        assert read_text(shown).value == {"k": text, "l": 1}


@given(st.lists(st.sampled_from("abcdxyz"), unique=True))
def test_keys_in_order_are_all_there(keys: list[str]) -> None:
    """Ordering keys loses none, puts the known ones in order, and changes nothing the second time."""
    order = ("d", "c", "b", "a")
    made = in_order(keys, order)
    assert sorted(made) == sorted(keys)
    assert [key for key in made if key in order] == [key for key in order if key in keys]
    assert in_order(made, order) == made


def test_records_stand_by_meaning() -> None:
    """Backs stand by designation, then id; b-9 before b-10; one without either behind the one it followed."""
    backs = [
        {"id": "b-10", "designation": "25B"},
        {"id": "x"},
        {"id": "b-9", "designation": "25B"},
        {"id": "b-3", "designation": "9"},
    ]
    made = by_meaning("back", backs, lambda item: item)
    assert [back["id"] for back in made] == ["b-3", "b-9", "b-10", "x"]


@pytest.mark.parametrize("text", ["prix\u00a0fort", "a\u2009b", "\u3042\u3000\u3044"])
def test_a_space_of_another_width_needs_no_quotes(text: str) -> None:
    """Whatever takes room on the line is seen, and stands as it was written."""
    assert written(text) == text


def test_a_file_that_is_gone_is_told(tmp_path: Path) -> None:
    """Another program may take a file away between the list and the reading."""
    with pytest.raises(DatasetError, match=r"makers\.yaml is gone"):
        formatted(tmp_path, ["makers.yaml"])
