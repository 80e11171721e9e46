"""The YAML reader: same values with and without libyaml and as a second parser, faults with places."""

from io import StringIO
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from ruamel.yaml import YAML
from ruamel.yaml.error import YAMLError as RuamelError

from cardref.storage.yamltext import MAX_DEPTH, Document, decode, read_text, spots

_SNIPPETS = (
    r"""
a: 1|b: [x, y]|c:|  - d|  - e: f|    g: 'h'|"i": j # k|- l|? m|: n|  o: >|    p|q: {r: s, t: 'u'}|v: '
w: x: y|z: NO|aa: 0412|bb: 1e3|cc: ~|dd: "\u0041"|ee: - x|ff: [a, [b, c]|]|gg: 'it''s'|...|---|# hh
ii: a#b|jj: a #b|kk: [a,b]|ll: {a: b,c: d}|mm: -|nn: ?x|oo: :x|pp: @x|qq: `x|rr: |-|ss: x:|a: 2
""".strip()
    .replace("\n", "|")
    .split("|")
)
_LINES = st.lists(st.sampled_from(_SNIPPETS), max_size=8)


def _verdict(document: Document) -> tuple[Any, bool]:
    return document.value if not document.faults else None, bool(document.faults)


@given(_LINES)
@settings(max_examples=400, deadline=None)
def test_the_verdict_is_the_same_without_libyaml(lines: list[str]) -> None:
    """Both parsers give the same values, or both a fault."""
    text = "\n".join(lines) + "\n"
    assert _verdict(read_text(text)) == _verdict(read_text(text, pure=True))


@given(_LINES)
@settings(max_examples=300, deadline=None)
def test_a_second_parser_reads_the_same_values(lines: list[str]) -> None:
    """Package ruamel.yaml (YAML 1.2) reads what we accept as the same values, but for what we call odd."""
    text = "\n".join(lines) + "\n"
    document = read_text(text)
    if document.faults or document.odd:
        return
    try:
        theirs = YAML(typ="safe", pure=True).load(StringIO(text))
    except RuamelError:
        pytest.fail(f"ruamel.yaml refuses what we accept: {text!r}")
    assert document.value == theirs


@pytest.mark.parametrize(
    ("text", "rule", "line", "column"),
    [
        ("", "empty-file", 1, 1),
        ("# only a comment\n", "empty-file", 1, 1),
        ("a: &x 1\n", "yaml-feature", 1, 4),
        ("a: !!str 1\n", "yaml-feature", 1, 4),
        ("a: x\nb: *x\n", "yaml-feature", 2, 4),
        ("a: &x 1\nb: *x\n", "yaml-feature", 1, 4),
        ("<<: {a: 1}\n", "yaml-feature", 1, 1),
        ("a: 1\nb: 2\na: 3\n", "duplicate-key", 3, 1),
        ("caf\u00e9: 1\ncafe\u0301: 3\n", "duplicate-key", 2, 1),
        ("? [a]\n: 1\n", "yaml-feature", 1, 3),
        ("a: 1\n---\nb: 2\n", "several-documents", 2, 1),
        ("a: [1\n", "yaml-syntax", 2, 1),
        ("a: " + "[" * 100 + "]" * 100, "nesting", 1, 3 + MAX_DEPTH),
        ("a: " + "x" * 10_001, "scalar-length", 1, 4),
        ("a: 1\n<<<<<<< mine\nb: 1\n=======\nb: 2\n>>>>>>> theirs\n", "merge-conflict", 2, 1),
    ],
)
def test_what_is_outside_our_subset_has_a_place(text: str, rule: str, line: int, column: int) -> None:
    """Each feature that we refuse is a fault with its line and column, with and without libyaml."""
    for pure in (False, True):
        fault = read_text(text, pure=pure).faults[0]
        assert (fault.rule, fault.line, fault.column) == (rule, line, column)


@pytest.mark.parametrize(
    ("data", "rule", "line", "column"),
    [
        (b"a: 1\nb: \xff\n", "encoding", 2, 4),
        (b"a:\t1\n", "tab", 1, 3),
        (b"a: 1 # \t\n", "tab", 1, 8),
        (b"\xef\xbb\xbfa: 1\n", "byte-order-mark", 1, 1),
        ("a: x\ufeffy\n".encode(), "byte-order-mark", 1, 5),
        (b"a: \x00\n", "control-character", 1, 4),
        (b"a: 1\rb: 2\n", "line-end", 1, 5),
        ("a: x\u2028b\n".encode(), "control-character", 1, 5),
        ("a: x\u0085b\n".encode(), "control-character", 1, 5),
        (b"%YAML 1.1\n---\na: 1\n", "yaml-feature", 1, 1),
        (b"\xed\xa0\x80", "encoding", 1, 1),
        (b"a" * ((1 << 20) + 1), "file-size", 0, 0),
    ],
)
def test_bytes_that_parsers_treat_each_in_their_own_way_are_refused(
    data: bytes, rule: str, line: int, column: int
) -> None:
    """Bytes are looked at before any parser is, and each refusal has its place."""
    fault = decode(data)[1][0]
    assert (fault.rule, fault.line, fault.column) == (rule, line, column)


def test_crlf_and_plain_ascii_are_fine() -> None:
    """Windows line ends are nobody's fault."""
    assert decode(b"a: 1\r\nb: 2\r\n") == ("a: 1\r\nb: 2\r\n", ())
    assert read_text("a: 1\r\nb: 2\r\n").value == {"a": 1, "b": 2}


@pytest.mark.parametrize(
    "plain", "0412 NO yes on 12:30 1_000 1e3 2024-01-05 = ~ +5 0x1F 0o17 .5 1. 007 NULL True".split()
)
def test_plain_scalars_that_tools_disagree_about_are_odd(plain: str) -> None:
    """YAML 1.1 or 1.2 tools would make something else of each of these: they are reported, text is kept."""
    document = read_text(f"a:\n  - {plain}\n")
    assert document.odd == (("a", 0),)
    assert read_text(f"a:\n  - '{plain}'\n").odd == ()


@pytest.mark.parametrize(
    "plain", "25 25B 7K 1982/1984 1982-03 198X quay-marl x:y a=b -1 1.5 true 1979~ v1.2".split()
)
def test_ordinary_plain_scalars_are_not_odd(plain: str) -> None:
    """What every tool reads alike is left alone; PyYAML (YAML 1.1) reads the same text or number."""
    document = read_text(f"a: {plain}\n")
    assert document.odd == ()
    assert document.value == yaml.safe_load(f"a: {plain}\n")


def test_spots_point_at_values_and_keys() -> None:
    """Lines and columns count from 1, in characters, also after signs outside ASCII."""
    found = spots("α: ω\nlist:\n  - ключ: [x, 'y z']\n")
    assert (found[("α",)].line, found[("α",)].column, found[("α",)].end_column) == (1, 4, 5)
    value = found["list", 0, "ключ", 1]
    assert (value.line, value.column, value.end_column, value.style) == (3, 15, 20, "'")
    key = found["list", 0, "ключ"]
    assert (key.key_line, key.key_column, key.key_end_column) == (3, 5, 9)


def test_a_million_brackets_end_at_the_cap() -> None:
    """Depth is bounded by a counter, not by the stack."""
    text = "a: " + "[" * 300_000
    assert read_text(text).faults[0].rule == "nesting"


def test_a_repeated_key_names_its_first_line_beside_another_fault() -> None:
    """The second reading, with positions, is made also where something else is wrong in the file."""
    for pure in (False, True):
        faults = {fault.rule: fault.message for fault in read_text("a: &x 1\nb: 2\na: 3\n", pure=pure).faults}
        assert "line 1" in faults["duplicate-key"]
        assert "yaml-feature" in faults


@pytest.mark.parametrize("pure", [False, True])
def test_a_question_mark_in_brackets_is_to_be_quoted(pure: bool) -> None:
    """Parsers differ on it, so both refuse it, at its place and with what to do; elsewhere it is a sign."""
    (fault,) = read_text("codes: [L-0?4/06]\n", pure=pure).faults
    assert (fault.rule, fault.line, fault.column) == ("yaml-syntax", 1, 12)
    assert "put the whole text in quotes" in fault.message
    for text in ('codes: ["L-0?4/06"]\n', "codes:\n  - L-0?4/06\n"):
        assert read_text(text, pure=pure).value == {"codes": ["L-0?4/06"]}


@pytest.mark.parametrize(
    "text", ["a: [b: ]\n", "{a: , b: }\n", "a: {b: \n\n }\n", "a: [x, ? ]\n", "a: [b:  # c\n ]\n"]
)
def test_what_is_not_written_in_brackets_stands_in_one_place(text: str) -> None:
    """An empty value or key is behind its sign, with libyaml and without."""
    assert spots(text) == spots(text, pure=True)
