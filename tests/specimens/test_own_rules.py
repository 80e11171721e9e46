"""The rules for users' own files: each passes its good example and finds the fault of its bad one."""

from pathlib import Path

import pytest

from cardref.checks.runner import plan
from cardref.finding import Severity
from cardref.specimens.checking import check_own
from cardref.specimens.mending import mend_own
from cardref.specimens.rules import RULES, FileRule
from tests.specimens.made import reference, write


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_the_good_example_passes(rule: FileRule, tmp_path: Path) -> None:
    """Nothing at all is found in the example that passes."""
    assert check_own([write(tmp_path, rule.good.path, rule.good.text)], reference()).findings == ()


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.id)
def test_the_bad_example_fails(rule: FileRule, tmp_path: Path) -> None:
    """The rule finds its fault, at a line, of the record and field named, and nothing else finds anything."""
    report = check_own([write(tmp_path, rule.bad.path, rule.bad.text)], reference())
    assert {finding.rule for finding in report.findings} == {rule.id}
    finding = report.findings[0]
    assert finding.place.line > 0
    assert finding.severity is rule.severity
    if rule.bad.record:
        assert (finding.record, finding.field) == (rule.bad.record, rule.bad.field)


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.fix], ids=lambda rule: rule.id)
def test_the_fix_makes_the_finding_go_away(rule: FileRule, tmp_path: Path) -> None:
    """A fix that is called safe is one, and carrying it out leaves nothing to find."""
    path = write(tmp_path, rule.bad.path, rule.bad.text)
    finding = check_own([path], reference()).findings[0]
    assert finding.fix is not None
    assert finding.fix.safe == (rule.fix == "safe")
    careful, bold = mend_own([path], reference()), mend_own([path], reference(), unsafe=True)
    assert bool(careful.changes) == finding.fix.safe
    assert bold.after.findings == ()
    assert path.read_bytes() == rule.bad.text.encode(), "mending writes nothing by itself"


def test_ids_are_their_own() -> None:
    """No rule here has the id or family of a rule for datasets, and none is listed twice."""
    others = plan().known
    ids = [rule.id for rule in RULES]
    assert len(set(ids)) == len(ids)
    assert not {*ids, *(rule.family for rule in RULES)} & {name for r in others for name in (r.id, r.family)}


def test_an_error_is_what_cannot_be_read() -> None:
    """What is an error keeps a record from being read right; all else is a warning or a note."""
    assert {rule.id for rule in RULES if rule.severity is Severity.ERROR} == {
        "csv-syntax", "row-length", "unknown-column", "missing-column", "repeated-column", "decimal-comma",
        "unknown-currency", "ambiguous-date",
    }  # fmt: skip
