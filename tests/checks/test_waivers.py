"""Findings that are accepted for now: for a reason, for a time, and only those that are meant."""

from pathlib import Path
from typing import Any

import pytest

from cardref.finding import Report, Severity
from tests.checks.laid import cards, checked, edited, one, rules_told, told

SLIP = cards(
    "{id: c-020, face: f-004, back: b-001, sources: [bidner]}",
    "{id: c-021, face: f-003, back: b-001, stickers: [whistle-ofer], sources: [binder]}",
)


def waived(tmp_path: Path, text: str, **how: Any) -> Report:
    """A check of the slips under one waiver."""
    return checked(tmp_path, {**SLIP, "waivers.yaml": f"waivers:\n  - {{{text}}}\n"}, **how)


def test_a_waiver_accepts_its_finding_and_no_other(tmp_path: Path) -> None:
    """It is told with its reason among the waived ones; the same rule elsewhere still stands."""
    report = waived(
        tmp_path, "rule: unknown-link, record: lanternfish/pell-orrin/c-020, reason: The binder is lent."
    )
    assert [f.record for f in report.findings if f.rule == "unknown-link"] == ["lanternfish/pell-orrin/c-021"]
    assert [(f.record, f.waived) for f in report.waived] == [
        ("lanternfish/pell-orrin/c-020", "The binder is lent.")
    ]
    assert "unused-waiver" not in rules_told(report)


@pytest.mark.parametrize(("field", "holds"), [("sources", True), ("", True), ("stickers", False)])
def test_a_waiver_can_be_for_one_field(field: str, holds: bool, tmp_path: Path) -> None:
    """Where it names a field, only findings there are accepted."""
    where = f", field: {field}" if field else ""
    text = f"rule: unknown-link, record: lanternfish/pell-orrin/c-020, reason: Lent.{where}"
    report = waived(tmp_path, text)
    assert bool(report.waived) is holds
    assert ("unused-waiver" in rules_told(report)) is not holds


def test_either_side_of_a_conflict_can_be_named(tmp_path: Path) -> None:
    """Two cards that are one: a waiver for the other one accepts the finding, too."""
    twin = cards("{id: c-020, face: f-002, back: b-001, sources: [binder]}")
    text = "waivers:\n  - {rule: duplicate-card, record: lanternfish/pell-orrin/c-002, reason: Two prints.}\n"
    report = checked(tmp_path, {**twin, "waivers.yaml": text})
    assert rules_told(report) == [], told(report)
    assert [f.record for f in report.waived] == ["lanternfish/pell-orrin/c-020"]


@pytest.mark.parametrize(
    ("expires", "holds"),
    [
        ("2026-11-24", False),
        ("2026-11-25", True),
        ('"2026-11"', True),
        ('"2026"', True),
        ('"2026-10"', False),
        ('"2025?"', True),
    ],
)
def test_a_waiver_ends_when_its_day_is_surely_over(expires: str, holds: bool, tmp_path: Path) -> None:
    """On the day itself it still holds, and an uncertain date never surely ends."""
    if expires[0] != '"':
        expires = f'"{expires}"'
    text = f"rule: unknown-link, record: lanternfish/pell-orrin/c-020, reason: Lent., expires: {expires}"
    report = waived(tmp_path, text)
    assert bool(report.waived) is holds
    assert ("expired-waiver" in rules_told(report)) is not holds


def test_a_waiver_of_a_rule_that_did_not_run_is_not_called_unused(tmp_path: Path) -> None:
    """Nobody looked, so nobody knows."""
    text = "rule: unknown-link, record: lanternfish/pell-orrin/c-001, reason: Lent."
    assert "unused-waiver" in rules_told(waived(tmp_path / "a", text))
    assert "unused-waiver" not in rules_told(waived(tmp_path / "b", text, ignore=["unknown-link"]))
    broken = {
        "sources.yaml": "sources: [",
        "waivers.yaml": f"waivers:\n  - {{{text.replace('unknown-link', 'unused-source')}}}\n",
    }
    assert "unused-waiver" not in rules_told(checked(tmp_path / "c", broken))


def test_a_misspelt_rule_in_a_waiver_or_a_severity_is_told_with_a_fix(tmp_path: Path) -> None:
    """Both have no effect until they are mended."""
    report = waived(tmp_path / "a", "rule: unknwon-link, record: lanternfish/pell-orrin/c-020, reason: Lent.")
    finding = one(report, "unknown-rule")
    assert finding.fix
    assert finding.fix.edits[0].text == "unknown-link"
    severities = edited(
        "dataset.yaml", ("invented: true", "invented: true\nseverities: {unknwon-link: note}")
    )
    finding = one(checked(tmp_path / "b", severities), "unknown-rule")
    assert finding.field == "severities.unknwon-link"
    assert finding.fix
    assert finding.fix.edits[0].text == "unknown-link"


def test_a_waiver_without_a_reason_is_no_error(tmp_path: Path) -> None:
    """It holds all the same; whoever made it is asked to say why."""
    report = waived(tmp_path, "rule: unknown-link, record: lanternfish/pell-orrin/c-020, reason: ' '")
    finding = one(report, "unreasoned-waiver")
    assert finding.severity is Severity.WARNING


def test_a_waived_error_is_no_error_but_is_counted(tmp_path: Path) -> None:
    """The report is clean, and says that something was accepted."""
    slip = cards("{id: c-020, face: f-004, back: b-001, sources: [bidner]}")
    text = "waivers:\n  - {rule: unknown-link, record: lanternfish/pell-orrin/c-020, reason: Lent.}\n"
    report = checked(tmp_path, {**slip, "waivers.yaml": text})
    assert report.clean
    assert len(report.waived) == 1
