"""Every rule's examples are executed over the sample dataset, one test for all rules."""

import datetime as dt
from pathlib import Path

import pytest

from cardref.checks.rule import Rule
from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.checks.table import ROWS, families, rules
from cardref.finding import Report

TODAY = dt.date(2026, 11, 25)


def checked(folder: Path, rule: Rule, base: Path) -> Report:
    """What a check with all rules says; the plain sample is the earlier version where one is needed."""
    return check(folder, today=TODAY, base=base if "base" in rule.needs else None)


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample dataset, as it is."""
    return write_sample(tmp_path_factory.mktemp("sample"))


def test_no_rule_has_anything_to_say_about_the_sample(plain: Path) -> None:
    """The sample is clean: nothing found, waived or skipped, also with itself as the earlier version."""
    for report in (check(plain, today=TODAY), check(plain, today=TODAY, base=plain)):
        assert [f"{f.place} {f.rule}: {f.message}" for f in report.findings] == []
        assert report.waived == ()
        assert report.skipped == ()
        assert report.clean


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_the_good_example_passes(rule: Rule, plain: Path, tmp_path: Path) -> None:
    """No rule at all has anything to say about a rule's good example."""
    report = checked(write_sample(tmp_path, rule.good), rule, plain)
    assert [f"{f.place} {f.rule}: {f.message}" for f in report.findings] == []


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_the_bad_example_is_told_once_and_at_its_record(rule: Rule, plain: Path, tmp_path: Path) -> None:
    """The bad example gives one finding, of this rule, with a place, at the record that it names."""
    report = checked(write_sample(tmp_path, rule.bad), rule, plain)
    assert [f.rule for f in report.findings] == [rule.id], [f"{f.rule}: {f.message}" for f in report.findings]
    (finding,) = report.findings
    assert finding.record == rule.bad.record
    assert finding.severity is rule.severity
    if rule.bad.field:
        assert finding.field == rule.bad.field
    assert finding.place.path in (rule.bad.path, *(related.place.path for related in finding.related))
    if finding.record:
        assert finding.place.line


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_a_rule_says_what_it_promises(rule: Rule, plain: Path, tmp_path: Path) -> None:
    """Texts are sentences, and a rule has a fix exactly where its table entry says so."""
    assert rule.summary.endswith(".")
    assert rule.summary.count(". ") == 0
    assert len(rule.rationale) > 40
    assert rule.rationale.endswith(".")
    (finding,) = checked(write_sample(tmp_path, rule.bad), rule, plain).findings
    told = "" if finding.fix is None else "safe" if finding.fix.safe else "unsafe"
    assert told == rule.fix
    assert len(finding.message) < 400
    assert not finding.message.endswith(".")


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
