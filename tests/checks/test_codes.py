"""Rules about codes: each wrong sign told once; leftovers, unread signs and other digits in peace."""

import shutil
from pathlib import Path

import pytest

from cardref.checks.runner import check
from cardref.finding import Severity
from tests.checks.laid import Files, checked, edited, one

ROOT = Path(__file__).parents[2]
FACES = "lines/lanternfish/faces/pell-orrin.yaml"
MORVANE = "lines/lanternfish/faces/morvane.yaml"
LINE = "lines/lanternfish/line.yaml"


def _loud(folder: Path, files: Files) -> list[tuple[str, str]]:
    found = checked(folder, files).findings
    return [(f.rule, f.record.rpartition("/")[2]) for f in found if f.severity is not Severity.NOTE]


@pytest.mark.parametrize(
    ("code", "rule"),
    [
        ("L-022/06", "code-figure"),
        ("D-021/06", "code-series"),
        ("D-022/07", "code-figure"),
        ("L-021/07", "code-back"),
        ("L-021/09", "unknown-segment"),
        ("X-021/06", "code-series"),
        ("L-029/06", "code-figure"),
        ("L-21/06", "malformed-code"),
        ("2041-2", "malformed-code"),
        ("l-021/06", "malformed-code"),
    ],
)
def test_one_wrong_code_is_one_finding(tmp_path: Path, code: str, rule: str) -> None:
    """However many segments are wrong, the code is told once, by what is most surely wrong with it."""
    assert _loud(tmp_path, edited(FACES, ("L-021/06", code))) == [(rule, "f-006")]


@pytest.mark.parametrize("code", ["L-0?1/06", "L-021/??", "?-021/06", "L-021/06"])
def test_what_could_not_be_read_is_no_fault(tmp_path: Path, code: str) -> None:
    """Unread signs contradict nothing."""
    assert _loud(tmp_path, edited(FACES, ("[L-021/06]", f'["{code}"]'))) == []


def test_a_code_of_another_maker_is_told_as_that(tmp_path: Path) -> None:
    """The message says whose way of writing it is."""
    finding = one(checked(tmp_path, edited(FACES, ("L-021/06", "2041-2"))), "malformed-code")
    assert "mv" in finding.message
    assert "morvane" in finding.message


def test_a_slip_of_spacing_can_be_mended(tmp_path: Path) -> None:
    """Where kind reading finds one code, the finding offers it, and not as safe."""
    finding = one(checked(tmp_path, edited(FACES, ("L-021/06", "L021-06"))), "malformed-code")
    assert finding.fix is not None
    assert not finding.fix.safe
    assert finding.fix.edits[0].text == '"L-021/06"'


def test_a_check_digit_is_worked_out(tmp_path: Path) -> None:
    """The message tells what it should be if all else is right."""
    finding = one(checked(tmp_path, edited(MORVANE, ("2041-2", "2041-7"))), "check-digit")
    assert "check digit 2" in finding.message


def test_codes_in_other_digits_are_read(tmp_path: Path) -> None:
    """A scheme that is printed in Devanagari digits takes them, and holds them against its tables."""
    printed = edited(LINE, ("    check: luhn\n", "    check: luhn\n    digits: devanagari\n"))
    codes = {"2041-2": "२०४१-२", "2042-0": "२०४२-०", "2043-8": "२०४३-८"}
    assert _loud(tmp_path / "a", {**printed, **edited(MORVANE, *codes.items())}) == []
    wrong = edited(MORVANE, ("2041-2", "२०४२-०"), ("2042-0", '"२०४२-?"'), ("2043-8", "२०४३-८"))
    assert _loud(tmp_path / "b", {**printed, **wrong}) == [("code-figure", "f-001")]


def test_a_wrong_entry_of_a_table_is_told_at_the_table(tmp_path: Path) -> None:
    """Where every front that carries the segment is of one other figure, the fronts are right."""
    more = "lines/lanternfish/faces/pell-orrin.more.yaml"
    face = "line: lanternfish\nmaker: pell-orrin\nfaces:\n" + "".join(
        f"  - {{id: f-0{n}, figure: kelp-weaver, series: lanternfish, codes: [L-021/06], name: Kelp Weaver,"
        f" picture: pose {n}, languages: [en], sources: [binder]}}\n"
        for n in (31, 32)
    )
    swapped = edited(
        LINE, ('"021": kelp-weaver', '"021": gull-warden'), ('"017": gull-warden', '"017": kelp-weaver')
    )
    assert _loud(tmp_path, {more: face, **swapped}) == [("code-figure", "po")]


def test_a_scheme_that_cannot_be_is_told_and_nothing_falls_over(tmp_path: Path) -> None:
    """Its codes are left alone: what they mean nobody knows now."""
    files = edited(LINE, ("{name: check, width: 1", "{name: check, width: 2"))
    assert _loud(tmp_path, files) == [("broken-scheme", "mv")]


def test_a_leftover_front_is_a_note(tmp_path: Path) -> None:
    """A code of an older back than the one under it is true often enough."""
    files: Files = {
        "lines/lanternfish/cards/pell-orrin.more.yaml": "line: lanternfish\nmaker: pell-orrin\ncards:\n"
        "  - {id: c-020, face: f-005, back: b-004, sources: [binder]}\n"
    }
    report = checked(tmp_path, files)
    assert {f.rule for f in report.findings} == {"code-elsewhere"}
    assert report.clean


def test_a_code_that_cannot_be_read_hides_no_other(tmp_path: Path) -> None:
    """Behind a face with a code that fits no scheme, a wrong series is told all the same."""
    faces = "lines/lanternfish/faces/pell-orrin.yaml"
    wrong = ("codes: [D-031/07]", "codes: [L-031/07]")
    alone = checked(tmp_path / "alone", edited(faces, wrong))
    behind = checked(tmp_path / "behind", edited(faces, ("codes: [L-014/06]", "codes: [L+014/06]"), wrong))
    told, still = (
        [found.record for found in report.findings if found.rule == "code-series"]
        for report in (alone, behind)
    )
    assert told == still == ["lanternfish/pell-orrin/f-008"]


def test_a_face_of_another_figure_is_not_told_for_its_number_too(tmp_path: Path) -> None:
    """A face that is recorded for the wrong figure has that figure's number, one sign off: told once."""
    shutil.copytree(ROOT / "dataset", tmp_path, dirs_exist_ok=True)
    path = tmp_path / "lines/hedgerow-circuit/faces/pomelloway.yaml"
    text = path.read_text(encoding="utf-8")
    at = text.index("id: f-005\n")
    path.write_text(
        text[:at] + text[at:].replace("figure: marrow-mabel", "figure: turnip-tess", 1), encoding="utf-8"
    )
    report = check(tmp_path)
    told = {finding.rule for finding in report.findings if finding.severity is not Severity.NOTE}
    assert "face-figure" in told
    assert "number-differs" not in told
