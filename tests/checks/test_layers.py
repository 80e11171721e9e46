"""A dataset over another: conflicts are told, at the record on top, with what the one below says."""

import datetime as dt
from pathlib import Path

import pytest

import cardref
from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.cli import main

TODAY = dt.date(2026, 11, 25)
BACKS = "lines/lanternfish/backs/pell-orrin.yaml"
HEAD = "line: lanternfish\nmaker: pell-orrin\nbacks:\n"
BACK = """\
  - id: b-001
    designation: 4A
    series: lanternfish
    wave: po-1
    count: 4
    claimed: same
    pictures: {plus: [reef-pilot, tide-clerk, brine-smith, gull-warden]}
    languages: [en]
    released: 1981-03
    features: {maker-line: one-line, offer-flash: absent, lantern-height: 10-11 mm, waves-drawn: 3}
    standing: confirmed
    sources: [spring-list, binder]
"""


@pytest.fixture
def base(tmp_path: Path) -> Path:
    """The dataset below."""
    return write_sample(tmp_path / "base")


def _layer(folder: Path, backs: str = "", **files: str) -> Path:
    (folder / BACKS).parent.mkdir(parents=True)
    (folder / "dataset.yaml").write_text(
        f'id: {folder.name}\ntitle: {folder.name}\nversion: "2026.11"\nlicence: CC0-1.0\nmodel: 1\n'
    )
    if backs:
        (folder / BACKS).write_text(HEAD + backs)
    for name, text in files.items():
        (folder / f"{name}.yaml").write_text(text)
    return folder


def _told(folder: Path, base: Path | cardref.Reference) -> list[str]:
    return [f.message for f in check(folder, over=base, today=TODAY, select=["layer-conflict"]).findings]


def test_a_copy_is_no_conflict_and_a_difference_is(base: Path, tmp_path: Path) -> None:
    """What is the same by meaning is silent; each field that differs is told with what stands below."""
    assert _told(_layer(tmp_path / "same", BACK), base) == []
    changed = BACK.replace("1981-03", "1981-04").replace("waves-drawn: 3", "waves-drawn: 4")
    (message,) = _told(_layer(tmp_path / "other", changed), base)
    assert "released is '1981-03'" in message
    assert "features differ" in message
    assert "waive it with your reason" in message


def test_what_is_left_out_above_is_a_conflict_as_well(base: Path, tmp_path: Path) -> None:
    """The record on top hides the whole one below, also what it does not say."""
    (message,) = _told(_layer(tmp_path / "mine", BACK.replace("    released: 1981-03\n", "")), base)
    assert "released is '1981-03'" in message


def test_an_id_that_is_retired_below_is_a_conflict(tmp_path: Path) -> None:
    """An id is never given twice, in no layer."""
    below = write_sample(tmp_path / "below")
    text = (below / "retired.yaml").read_text() if (below / "retired.yaml").exists() else "retired:\n"
    stone = "  - {id: lanternfish/pell-orrin/b-900, reason: the same as b-001, date: 2026-11-01}\n"
    (below / "retired.yaml").write_text(text.replace("retired: []", "retired:") + stone)
    mine = BACK.replace("b-001", "b-900").replace("4A", "4Q")
    (message,) = _told(_layer(tmp_path / "mine", mine), below)
    assert "was retired there (the same as b-001)" in message


def test_an_id_of_another_kind_below_is_a_conflict(base: Path, tmp_path: Path) -> None:
    """Backs, faces and cards of a maker share their ids, across layers too."""
    (message,) = _told(_layer(tmp_path / "mine", BACK.replace("b-001", "f-001")), base)
    assert "is a face there" in message


def test_a_conflict_can_be_waived_with_a_reason(base: Path, tmp_path: Path) -> None:
    """Whoever knows better says so, and the check is content."""
    waiver = (
        "waivers:\n  - rule: layer-conflict\n    record: lanternfish/pell-orrin/b-001\n"
        '    reason: The March catalogue was printed late, as its colophon says.\n    expires: "2027"\n'
    )
    changed = BACK.replace("1981-03", "1981-04")
    mine = _layer(tmp_path / "mine", changed, waivers=waiver)
    report = check(mine, over=base, today=TODAY, select=["layer-conflict"])
    assert report.findings == ()
    assert [finding.rule for finding in report.waived] == ["layer-conflict"]


def test_conflicts_are_looked_for_through_several_layers(base: Path, tmp_path: Path) -> None:
    """The dataset below may itself lie over another."""
    middle = _layer(tmp_path / "middle", BACK.replace("b-001", "b-800").replace("4A", "4Q"))
    below = cardref.load(middle, over=base)
    top = _layer(tmp_path / "top", BACK.replace("1981-03", "1981-04"))
    (message,) = _told(top, below)
    assert "released is '1981-03'" in message
    (top / BACKS).write_text(HEAD + BACK.replace("b-001", "b-800").replace("4A", "4R"))
    (message,) = _told(top, below)
    assert "designation is '4Q'" in message


def test_the_command_takes_layers(base: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`check mine --over middle --over base`; the exit status tells of the conflict."""
    middle = _layer(tmp_path / "middle", BACK.replace("b-001", "b-800").replace("4A", "4Q"))
    top = _layer(tmp_path / "top", BACK.replace("1981-03", "1981-04"))
    words = ["check", str(top), "--over", str(middle), "--over", str(base), "--select", "layer-conflict"]
    assert main(words) == 1
    assert "layer-conflict" in capsys.readouterr().out
