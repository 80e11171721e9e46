"""What statements stand on, ids over time, and how text is written: claims beyond the rules' examples."""

import unicodedata
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardref.finding import Report
from cardref.storage.edit import apply_edits
from cardref.storage.scalars import written
from tests.checks.laid import CARDS, SAMPLE, cards, checked, one, rules_told, told

CARD = "{{id: c-020, face: f-004, back: b-001, {}}}"


def card(tmp_path: Path, text: str) -> Report:
    """A check of one more card, which says this."""
    return checked(tmp_path, cards(CARD.format(text)))


@pytest.mark.parametrize(
    ("text", "rules"),
    [
        ("standing: confirmed, sources: [binder]", []),
        ("standing: confirmed", ["unsourced-confirmation"]),
        ("standing: confirmed, sightings: [{source: binder}]", []),
        ("standing: confirmed, sources: [old-listing]", ["weak-confirmation"]),
        ("standing: confirmed, sources: [old-listing], sightings: [{source: binder, seen: '2018'}]", []),
        ("standing: confirmed, sightings: [{source: old-listing, seen: '2020'}]", ["weak-confirmation"]),
        ("standing: reported", []),
        ("standing: reported, sources: [old-listing]", []),
        ("standing: unverified", []),
        ("standing: disputed, sources: [binder]", ["one-sided-dispute"]),
        ("standing: refuted", ["unsourced-refutation"]),
        ("standing: refuted, sources: [binder]", []),
    ],
)
def test_a_standing_says_what_it_stands_on(text: str, rules: list[str], tmp_path: Path) -> None:
    """Confirmed needs a source and a strong one, sightings count as sources, and doubt needs none."""
    report = card(tmp_path, text)
    assert [f.rule for f in report.findings if f.severity.rank] == rules, told(report)


def test_an_id_that_is_retired_and_used_names_both_places(tmp_path: Path) -> None:
    """The record is at fault, and the tombstone is beside it."""
    report = card(tmp_path, "sources: [binder]")
    assert rules_told(report) == []
    tomb = SAMPLE["retired.yaml"] + "  - {id: lanternfish/pell-orrin/c-001, reason: A test.}\n"
    finding = one(checked(tmp_path / "b", {"retired.yaml": tomb}), "reused-id")
    assert finding.record == "lanternfish/pell-orrin/c-001"
    assert [related.place.path for related in finding.related] == ["retired.yaml"]


def tombs(*steps: tuple[str, str]) -> str:
    """Tombstones of the home maker's backs, each with what took its place."""
    home = "lanternfish/pell-orrin"
    row = "  - {{id: {0}/{1}, replaced_by: [{0}/{2}], reason: A test.}}\n"
    return "".join(row.format(home, old, new) for old, new in steps)


def test_a_chain_of_tombstones_is_told_with_what_stands_today(tmp_path: Path) -> None:
    """Three steps: each tombstone that leads to another is told, and its fix leads to the end."""
    rows = tombs(("b-091", "b-092"), ("b-092", "b-093"), ("b-093", "b-001"))
    report = checked(tmp_path, {"retired.yaml": SAMPLE["retired.yaml"] + rows})
    assert rules_told(report) == ["alias-chain", "alias-chain"]
    assert [f.fix.edits[0].text for f in report.findings if f.fix] == ["lanternfish/pell-orrin/b-001"] * 2


def test_tombstones_in_a_circle_are_told_as_a_circle(tmp_path: Path) -> None:
    """Not as a chain, since there is no end to lead to."""
    rows = tombs(("b-091", "b-092"), ("b-092", "b-091"))
    assert rules_told(checked(tmp_path, {"retired.yaml": SAMPLE["retired.yaml"] + rows})) == ["circular-link"]


@pytest.mark.parametrize(
    ("note", "rule"),
    [
        ("Seen twice.", ""),
        ("Ανεμώνη Παιχνίδια, 파도길 완구, लहर खिलौने", ""),
        ("It says “free” on it, and ‘new’.", ""),
        ("It's old.", ""),
        ("क्\u200dष is written with a joiner", ""),
        ("e\u0301", "decomposed-text"),
        ("a  b", "stray-space"),
        (" a", "stray-space"),
        ("a ", "stray-space"),
        ("a\u00a0b", "exotic-space"),
        ("a\u3000b", "exotic-space"),
        ("a\u202eb", "bidirectional-control"),
        ("a\u200fb", "bidirectional-control"),
        ("a\u200bb", "invisible-sign"),
        ("co\u00adop", "invisible-sign"),
        ("a\u200db", "invisible-sign"),
        ("p\u0430per", "mixed-script"),
        ("Αnchor", "mixed-script"),
        ("It’s 'new'.", "mixed-quotes"),
    ],
)
def test_text_that_only_looks_right_is_told(note: str, rule: str, tmp_path: Path) -> None:
    """One finding at the field, mended by its fix where one is certain; other scripts are no fault."""
    quoted = '"' + note.replace('"', '\\"') + '"'
    report = card(tmp_path, f"sources: [binder], note: {quoted}")
    assert rules_told(report) == ([rule] if rule else []), told(report)
    if rule:
        assert one(report, rule).field == "note"


def test_text_inside_a_block_is_looked_at_too(tmp_path: Path) -> None:
    """A folded note has no edit that is sure to keep its lines, so its fix is told in words only."""
    text = (
        str(cards("id: c-020")[CARDS])
        + "    face: f-004\n    back: b-001\n    note: >-\n      a\u00a0b\n      c\n"
    )
    finding = one(checked(tmp_path, {CARDS: text}), "exotic-space")
    assert finding.fix
    assert finding.fix.edits == ()
    assert not finding.fix.safe


def test_signs_as_printed_are_left_as_they_are(tmp_path: Path) -> None:
    """A separator that is a blank, and a code with two, are what is on the card."""
    path = "lines/lanternfish/line.yaml"
    table = '\n        table:\n          "014"'
    line = SAMPLE[path].replace('before: "-"' + table, 'before: " "' + table)
    assert line != SAMPLE[path]
    assert "stray-space" not in rules_told(checked(tmp_path, {path: line}))


_SIGNS = st.sampled_from("ab é\u0301\u00a0\u200b\u202e\u0430'’\"“ \u3000.-:#[]{}")


@given(st.text(_SIGNS, min_size=1, max_size=10))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_fixing_text_ends(tmp_path: Path, text: str) -> None:
    """Carrying out the fixes one after the other leads to text without a fixable fault."""
    current = str(cards(CARD.format(f"sources: [binder], note: {written(text, flow=True)}"))[CARDS])
    for _ in range(8):
        report = checked(tmp_path, {CARDS: current}, select=["text"])
        fixes = [f.fix for f in report.findings if f.fix and f.fix.edits]
        if not fixes:
            break
        current = apply_edits(current, fixes[0].edits)
    else:
        pytest.fail(f"still not done: {current!r}")
    assert unicodedata.is_normalized("NFC", current)
