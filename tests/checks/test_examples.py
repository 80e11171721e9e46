"""Every rule's examples are executed over the sample dataset, one test for all rules."""

import datetime as dt
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from cardref.checks.rule import Example, Rule
from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.checks.table import ROWS, families, rules
from cardref.finding import Edit, Finding, Report, Severity
from cardref.storage.edit import apply_edits

TODAY = dt.date(2026, 11, 25)


def told(report: Report, rule: Rule) -> list[Finding]:
    """The findings that count. An example is a fragment: a note of another rule on what it lacks is none."""
    partial = {other.id for other in rules() if other.needs and other.severity is Severity.NOTE}
    return [f for f in report.findings if f.rule == rule.id or f.rule not in partial]


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample dataset, as it is."""
    return write_sample(tmp_path_factory.mktemp("sample"))


def test_no_rule_has_anything_to_say_about_the_sample(plain: Path) -> None:
    """The sample is clean: nothing found, waived or skipped, also with itself as the earlier one or below."""
    reports = (check(plain, today=TODAY), check(plain, today=TODAY, base=plain))
    for report in (*reports, check(plain, today=TODAY, over=plain)):
        assert [f"{f.place} {f.rule}: {f.message}" for f in report.findings] == []
        assert report.waived == ()
        assert report.skipped == ()
        assert report.clean


def _checked(folder: Path, rule: Rule, plain: Path) -> Report:
    """Checked with what the rule needs: the plain sample as the earlier version, or as the one below."""
    return check(
        folder,
        today=TODAY,
        base=plain if "base" in rule.needs else None,
        over=plain if "under" in rule.needs else None,
    )


Checked = Callable[[Rule, Example], Report]


@pytest.fixture(scope="module")
def checked(plain: Path, tmp_path_factory: pytest.TempPathFactory) -> Checked:
    """What a check with all rules says of an example; the plain sample is the earlier version."""

    @cache
    def report(rule: Rule, example: Example) -> Report:
        folder = write_sample(tmp_path_factory.mktemp("example"), example)
        return _checked(folder, rule, plain)

    return report


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_the_good_example_passes(rule: Rule, checked: Checked) -> None:
    """No rule at all has anything to say about a rule's good example."""
    report = checked(rule, rule.good)
    assert [f"{f.place} {f.rule}: {f.message}" for f in told(report, rule)] == []


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_the_bad_example_is_told_once_and_at_its_record(rule: Rule, checked: Checked) -> None:
    """The bad example gives one finding, of this rule, with a place, at the record that it names."""
    findings = told(checked(rule, rule.bad), rule)
    assert [f.rule for f in findings] == [rule.id], [f"{f.rule}: {f.message}" for f in findings]
    (finding,) = findings
    assert finding.record == rule.bad.record
    assert finding.severity is rule.severity
    if rule.bad.field:
        assert finding.field == rule.bad.field
    if finding.record:
        assert finding.place.line
    else:
        assert finding.place.path == rule.bad.path


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_a_rule_says_what_it_promises(rule: Rule, checked: Checked) -> None:
    """Texts are sentences, and a rule has a fix exactly where its table entry says so."""
    assert rule.summary.endswith(".")
    assert rule.summary.count(". ") == 0
    assert len(rule.rationale) > 40
    assert rule.rationale.endswith(".")
    (finding,) = told(checked(rule, rule.bad), rule)
    fix = "" if finding.fix is None else "safe" if finding.fix.safe else "unsafe"
    assert fix == rule.fix
    assert len(finding.message) < 400
    assert not finding.message.endswith(".")


@pytest.mark.parametrize("rule", [rule for rule in rules() if rule.fix], ids=lambda rule: rule.id)
def test_a_fix_mends_what_it_says_it_mends(rule: Rule, plain: Path, checked: Checked, tmp_path: Path) -> None:
    """Carried out on the bad example, a fix takes its finding away and brings no other."""
    (finding,) = told(checked(rule, rule.bad), rule)
    assert finding.fix
    by_path: dict[str, list[Edit]] = {}
    for edit in finding.fix.edits:
        by_path.setdefault(edit.place.path, []).append(edit)
    assert by_path
    folder = write_sample(tmp_path, rule.bad)
    for path, edits in by_path.items():
        # As bytes: a line end must stay what it is.
        text = (folder / path).read_bytes().decode("utf-8")
        (folder / path).write_bytes(apply_edits(text, edits).encode("utf-8"))
    after = _checked(folder, rule, plain)
    assert [f"{f.rule}: {f.message}" for f in told(after, rule)] == []


def test_the_table_has_every_rule_module_and_no_other() -> None:
    """A module under checks/rules without a row would be a rule that never runs."""
    folder = Path(__file__).parents[2] / "cardref" / "checks" / "rules"
    modules = {
        f"{path.parent.name}.{path.stem}" for path in folder.glob("*/*.py") if not path.stem.startswith("_")
    }
    assert set(ROWS) == modules
    assert len(set(ROWS)) == len(ROWS)


def test_ids_follow_from_the_rows() -> None:
    """A rule's id and family are its module's and folder's names: rows can be read without imports."""
    assert {rule.id: rule.family for rule in rules()} == dict(families())
