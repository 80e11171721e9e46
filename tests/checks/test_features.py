"""Rules about features: impossible states once and with a hint; several states and unknown ones in peace."""

from pathlib import Path

import pytest

from cardref.finding import Severity
from tests.checks.laid import Files, checked, edited, one

HOME = "lines/lanternfish/backs/pell-orrin.yaml"
FEATURES = "features.yaml"
OWN = "lines/lanternfish/features.yaml"


def _loud(folder: Path, files: Files) -> list[tuple[str, str, str]]:
    found = checked(folder, files).findings
    return [(f.rule, f.record.rpartition("/")[2], f.field) for f in found if f.severity is not Severity.NOTE]


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("offer-token: whistle", "offer-token: wistle", "features.offer-token"),
        ("lantern-height: 14-15 mm", "lantern-height: 14-15", "features.lantern-height"),
        ("lantern-height: 14-15 mm", "lantern-height: 1415 mm", "features.lantern-height"),
        ("waves-drawn: 3", "waves-drawn: 33", "features.waves-drawn"),
        ("waves-drawn: 3", "waves-drawn: three", "features.waves-drawn"),
        ("maker-line: one-line", "maker-line: not-applicable", "features.maker-line"),
    ],
)
def test_an_impossible_state_is_told_at_its_place(tmp_path: Path, old: str, new: str, field: str) -> None:
    """By kind: a choice, a length, a count, and what always applies."""
    found = _loud(tmp_path, edited(HOME, (old, new)))
    assert [(rule, at) for rule, _, at in found] == [("unknown-state", field)]


def test_a_misspelt_state_has_a_hint(tmp_path: Path) -> None:
    """The state that was meant."""
    finding = one(
        checked(tmp_path, edited(HOME, ("offer-token: whistle", "offer-token: wistle"))), "unknown-state"
    )
    assert "did you mean whistle?" in finding.message


def test_several_states_are_all_looked_at(tmp_path: Path) -> None:
    """Both exist is fine; one of several that cannot be is told by its position."""
    assert _loud(tmp_path / "a", edited(HOME, ("waves-drawn: 3", "waves-drawn: [3, 4]"))) == []
    finding = one(
        checked(tmp_path / "b", edited(HOME, ("waves-drawn: 3", "waves-drawn: [3, 40]"))), "unknown-state"
    )
    assert finding.value == "40"


def test_a_child_under_the_wrong_parent(tmp_path: Path) -> None:
    """An offer without a flash; and not-applicable where the flash is there."""
    absent = edited(
        HOME, ("offer-flash: present, offer-token: whistle", "offer-flash: absent, offer-token: whistle")
    )
    assert _loud(tmp_path / "a", absent) == [("child-against-parent", "b-003", "features.offer-token")]
    wrong = edited(HOME, ("offer-token: whistle", "offer-token: not-applicable"))
    assert _loud(tmp_path / "b", wrong) == [("child-against-parent", "b-003", "features.offer-token")]


def test_both_states_of_a_parent_allow_either(tmp_path: Path) -> None:
    """Where the parent is known in both states a child may be there or not."""
    both = "offer-flash: [present, absent], offer-token: whistle"
    assert _loud(tmp_path, edited(HOME, ("offer-flash: present, offer-token: whistle", both))) == []


def test_a_definition_that_contradicts_itself_is_told_once(tmp_path: Path) -> None:
    """Whatever follows from it, the catalogue is told, and once."""
    files = edited(
        FEATURES,
        ("applies: {feature: offer-flash, state: present}", "applies: {feature: offer-flash, state: there}"),
    )
    loud = [entry for entry in _loud(tmp_path, files) if entry[0] == "feature-definition"]
    assert loud == [("feature-definition", "offer-token", "applies.state")]


def test_features_that_hang_on_each_other_are_told_and_nothing_hangs(tmp_path: Path) -> None:
    """A circle in the catalogue."""
    files = edited(
        FEATURES,
        (
            "kind: presence\n    side: back\n",
            "kind: presence\n    side: back\n    applies: {feature: offer-token, state: badge}\n",
        ),
    )
    assert "feature-definition" in {rule for rule, _, _ in _loud(tmp_path, files)}


def test_a_feature_of_the_front_on_a_back(tmp_path: Path) -> None:
    """Told at the key, with where it belongs."""
    files = edited(OWN, ("kind: count\n    side: back", "kind: count\n    side: figure"))
    found = checked(tmp_path, files).findings
    assert {f.rule for f in found if f.severity is not Severity.NOTE} == {"feature-side"}


def test_blind_pairs_are_a_note(tmp_path: Path) -> None:
    """Two printings that nothing recorded tells apart are a gap, no error; both are named."""
    more = "lines/lanternfish/backs/pell-orrin.more.yaml"
    record = (
        "line: lanternfish\nmaker: pell-orrin\nbacks:\n"
        "  - {id: b-020, designation: 6B, series: lanternfish, count: 6, pictures: {based_on: b-003},"
        " sources: [binder]}\n"
    )
    report = checked(tmp_path, {more: record})
    finding = one(report, "siblings-alike")
    assert finding.severity is Severity.NOTE
    assert finding.related_records == ("lanternfish/pell-orrin/b-003",)
    assert report.clean
