"""Rules about counts: mistakes once and at their source; misprints, blank backs and reissues in peace."""

from pathlib import Path

import pytest

from cardref.finding import Severity
from tests.checks.laid import BACKS, HEAD, Files, checked, edited, one

LINE = "lines/lanternfish/line.yaml"
HOME = "lines/lanternfish/backs/pell-orrin.yaml"


def _loud(folder: Path, files: Files) -> list[tuple[str, str, str]]:
    found = checked(folder, files).findings
    return [(f.rule, f.record.rpartition("/")[2], f.field) for f in found if f.severity is not Severity.NOTE]


def _more(*records: str) -> Files:
    return {
        BACKS: HEAD + "backs:\n" + "".join(f"  - {{{record}, sources: [binder]}}\n" for record in records)
    }


def test_a_list_that_is_one_short_is_told_where_it_is_short(tmp_path: Path) -> None:
    """Four backs take the list over; one finding, at the list that lacks the figure."""
    files = edited(HOME, ("brine-smith, gull-warden]}", "brine-smith]}"))
    assert _loud(tmp_path, files) == [("count-mismatch", "b-001", "pictures.plus")]


def test_the_odd_number_of_three_is_named(tmp_path: Path) -> None:
    """A count against designation and list; a designation against count and list."""
    assert _loud(tmp_path / "a", edited(HOME, ("count: 6", "count: 5"))) == [
        ("count-mismatch", "b-003", "count")
    ]
    renamed = edited(HOME, ("designation: 6A", "designation: 9A"))
    assert _loud(tmp_path / "b", renamed) == [("count-mismatch", "b-003", "designation")]


def test_a_message_says_how_the_count_came_about(tmp_path: Path) -> None:
    """What is, what was expected, by way of which backs, and the other place."""
    finding = one(checked(tmp_path, edited(HOME, ("count: 6", "count: 5"))), "count-mismatch")
    assert "6 pictures" in finding.message
    assert "by way of 4B, 4A" in finding.message
    assert finding.related


def test_a_misprint_that_is_recorded_is_in_peace(tmp_path: Path) -> None:
    """A figure shown twice where another is missing: the count is right, and no wave is wrong."""
    slip = "{figure: reef-pilot, note: Shown at both ends.}"
    record = (
        "id: b-020, designation: 6B, series: lanternfish, wave: po-2, count: 6, features: {waves-drawn: 7}, "
        f"pictures: {{based_on: b-003, minus: [bell-ringer], slips: [{slip}]}}"
    )
    assert _loud(tmp_path, _more(record)) == []


def test_a_blank_back_is_a_back(tmp_path: Path) -> None:
    """Nothing pictured, count 0: no list, no claim, no fault."""
    record = "id: b-020, designation: 0A, series: lanternfish, wave: po-1, count: 0, pictures: {plus: []}"
    bare = "id: b-021, designation: 0B, series: lanternfish, wave: po-1, count: 0, features: {waves-drawn: 2}"
    # A blank back is compared with no wave: it pictures no range.
    found = [rule for rule, _, _ in _loud(tmp_path, _more(record, bare))]
    assert found == []


def test_one_count_in_two_series_is_no_fault(tmp_path: Path) -> None:
    """Counts go up and down between series."""
    record = "id: b-020, designation: 6A, series: deepwater, count: 6, features: {waves-drawn: 2}"
    assert _loud(tmp_path, _more(record)) == []


def test_a_figure_that_returns_was_dropped(tmp_path: Path) -> None:
    """Dropped and brought back is fine; brought back while it was sold is not."""
    fine = edited(LINE, ("drops: [tide-clerk]", "drops: [tide-clerk]\n    returns: []"))
    assert _loud(tmp_path / "a", fine) == []
    twice = edited(LINE, ("date: 1982-09\n", "date: 1982-09\n    returns: [reef-pilot]\n"))
    assert _loud(tmp_path / "b", twice) == [("unsold-drop", "mv-1", "returns")]


def test_a_reissue_starts_over(tmp_path: Path) -> None:
    """A wave that starts over debuts its figures anew."""
    wave = (
        "  - id: po-4\n    maker: pell-orrin\n    series: deepwater\n    date: 1984-09\n"
        "    debuts: [reef-pilot, gull-warden]\n    {over}standing: reported\n    sources: [binder]\n"
        "  - id: mv-1\n"
    )
    over = edited(LINE, ("  - id: mv-1\n", wave.format(over="starts_over: true\n    ")))
    assert _loud(tmp_path / "a", over) == []
    again = edited(LINE, ("  - id: mv-1\n", wave.format(over="")))
    assert {rule for rule, _, _ in _loud(tmp_path / "b", again)} == {"debut-twice"}


@pytest.mark.parametrize(
    ("change", "field"),
    [
        (("debuts: [kelp-weaver, bell-ringer]", "debuts: [kelp-weaver]"), "debuts"),
        (("debuts: [kelp-weaver, bell-ringer]", "debuts: [kelp-weaver, bell-ringer, salt-porter]"), "debuts"),
        (("    drops: [tide-clerk]\n", ""), "drops"),
    ],
)
def test_a_wave_that_does_not_add_up_is_told_at_the_wave(
    tmp_path: Path, change: tuple[str, str], field: str
) -> None:
    """A figure forgotten, one too many, one not dropped: one finding, with the backs that say otherwise."""
    report = checked(tmp_path, edited(LINE, change))
    loud = [finding for finding in report.findings if finding.severity is not Severity.NOTE]
    assert [finding.rule for finding in loud] == ["wave-sum"]
    assert (loud[0].record.rpartition("/")[2][:2], loud[0].field) == ("po", field)
    assert loud[0].related
