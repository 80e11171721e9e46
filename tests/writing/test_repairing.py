"""Fixes: after fixing the finding is gone and nothing new has come, for every rule that has a fix."""

import datetime as dt
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Mend, Rule
from cardref.checks.runner import check
from cardref.checks.sample import SAMPLE, write_sample
from cardref.checks.table import rules
from cardref.finding import Edit, Severity
from cardref.fixing.formatting import shape_at
from cardref.fixing.repairing import _taken, repair
from cardref.location import Place
from cardref.model.source import Source
from cardref.storage.atomic import write_changes
from cardref.storage.canonical import canonical
from cardref.storage.tree import owned, parse

ROOT = Path(__file__).parents[2]
TODAY = dt.date(2026, 11, 25)
MENDED = [rule for rule in rules() if rule.fix]


def test_some_rules_have_a_fix() -> None:
    """The tests below have something to look at."""
    assert {rule.fix for rule in MENDED} == {"safe", "unsafe"}


@pytest.mark.parametrize("rule", MENDED, ids=lambda rule: str(rule.id))
def test_a_fix_mends_what_its_rule_found(tmp_path: Path, rule: Rule) -> None:
    """The rule's own bad example, fixed on disk: its findings are gone and nothing new has come."""
    folder = write_sample(tmp_path, rule.bad)
    before = check(folder, today=TODAY)
    mendable = [f for f in before.findings if f.rule == rule.id and f.fix is not None and f.fix.edits]
    assert mendable, "the bad example shows no fix"
    done = repair(folder, unsafe=rule.fix == "unsafe", today=TODAY)
    write_changes(folder, done.changes)
    after = check(folder, today=TODAY)
    assert {f.fingerprint for f in mendable} <= {f.fingerprint for f in done.fixed}
    assert not {f.fingerprint for f in after.findings} - {f.fingerprint for f in before.findings}
    assert not {f.fingerprint for f in after.findings} & {f.fingerprint for f in mendable}
    assert not done.dropped
    assert not repair(folder, unsafe=rule.fix == "unsafe", today=TODAY).changes


@pytest.mark.parametrize(
    "rule", [rule for rule in MENDED if rule.fix == "unsafe"], ids=lambda rule: str(rule.id)
)
def test_an_unsafe_fix_waits_to_be_asked_for(tmp_path: Path, rule: Rule) -> None:
    """Without being asked an unsafe fix changes nothing, and is named."""
    done = repair(write_sample(tmp_path, rule.bad), today=TODAY)
    safe = {f.rule for f in done.fixed}
    assert rule.id not in safe
    assert rule.id in {finding.rule for finding in done.unsafe}


def test_comments_and_layout_stay_elsewhere(tmp_path: Path) -> None:
    """A fix changes its own words; every other byte of the file stays, CRLF and odd spacing included."""
    text = SAMPLE["makers.yaml"].replace("country: IE", "country:   NO   # ours").replace("\n", "\r\n")
    folder = write_sample(tmp_path, Example("makers.yaml", text))
    (change,) = repair(folder, today=TODAY).changes
    assert change.after == text.replace("NO   #", '"NO"   #').encode()


def test_a_canonical_file_stays_canonical(tmp_path: Path) -> None:
    """Whoever keeps to the layout need not format again after a fix."""
    shape = shape_at("makers.yaml")
    text = canonical("# head\n" + SAMPLE["makers.yaml"].replace("country: IE", "county: IE"), shape)
    folder = write_sample(tmp_path, Example("makers.yaml", text))
    (change,) = repair(folder, unsafe=True, today=TODAY).changes
    after = (change.after or b"").decode()
    assert "country: IE" in after
    assert canonical(after, shape) == after
    assert owned(parse(after)) == ["# head"]


def _harmful(text: str, *, safe: bool = True) -> Rule:
    """A rule whose fix does harm: it finds each source's citation and would write ``text`` in its place."""

    def find(corpus: Corpus) -> Iterator[Hit]:
        for entry, source in corpus.records("source", Source):
            if source.citation:
                yield Hit(entry, "found", ("citation",), value="x", mend=Mend("write", text, safe=safe))

    return Rule(
        id="harmful",
        family="own",
        severity=Severity.WARNING,
        summary="For a test.",
        rationale="For a test.",
        check=find,
        good=Example("sources.yaml", ""),
        bad=Example("sources.yaml", ""),
        fix="safe",
    )


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("[", "break the file"),
        ("x\n    kind: print", "break the file|more than it should"),
        ("25", "another finding|still there"),
        ('"still cited"', "still there"),
        ("x # y", "comment"),
        ("&a x", "break the file"),
    ],
)
def test_a_fix_that_does_harm_is_dropped(tmp_path: Path, text: str, why: str) -> None:
    """A fix that breaks the file, changes more, leaves its finding or brings another is dropped, and told."""
    done = repair(write_sample(tmp_path), rules=[_harmful(text)], today=TODAY)
    assert not done.changes
    assert not done.fixed
    assert done.dropped
    assert all(re.search(why, dropped.why) for dropped in done.dropped)


def test_one_bad_fix_does_not_stop_the_good_ones(tmp_path: Path) -> None:
    """Beside a fix that does not hold, the others are kept."""
    text = SAMPLE["makers.yaml"].replace("country: IE", "country: NO")
    folder = write_sample(tmp_path, Example("makers.yaml", text))
    done = repair(folder, rules=[_harmful("[")], today=TODAY)
    assert [finding.rule for finding in done.fixed] == ["written-form"]
    assert done.dropped


def test_what_can_be_read_now_is_told_apart(tmp_path: Path) -> None:
    """A fix that makes a record readable may show more findings: they are told, and the fix is kept."""
    text = SAMPLE["lines/lanternfish/backs/morvane.yaml"].replace("count: 3", "cuont: 4")
    folder = write_sample(tmp_path, Example("lines/lanternfish/backs/morvane.yaml", text))
    done = repair(folder, unsafe=True, today=TODAY)
    assert "unknown-key" in {finding.rule for finding in done.fixed}
    assert "count-mismatch" in {finding.rule for finding in done.shown}


def test_only_the_files_asked_for_change(tmp_path: Path) -> None:
    """``paths`` limits what may change."""
    makers = Example("makers.yaml", SAMPLE["makers.yaml"].replace("country: IE", "country: NO"))
    folder = write_sample(tmp_path, makers)
    assert not repair(folder, paths=["sources.yaml"], today=TODAY).changes
    assert repair(folder, paths=["makers.yaml"], today=TODAY).changes


def test_nothing_is_written_until_it_is_asked_for(tmp_path: Path) -> None:
    """Working out fixes leaves the dataset untouched, links and hidden files included."""
    text = SAMPLE["makers.yaml"].replace("country: IE", "country: NO")
    folder = write_sample(tmp_path / "data", Example("makers.yaml", text))
    (folder / ".hidden").write_text("x")
    (folder / "link.yaml").symlink_to("makers.yaml")
    before = dict(_contents(folder))
    assert repair(folder, today=TODAY).changes
    assert dict(_contents(folder)) == before


def _contents(folder: Path) -> Iterator[tuple[str, bytes]]:
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield str(path), path.read_bytes()


def test_the_bundled_dataset_needs_no_fix_that_changes_a_comment() -> None:
    """Fixing the whole bundled dataset loses no comment."""
    for change in repair(ROOT / "dataset", unsafe=True, today=TODAY).changes:
        assert change.before is not None
        assert change.after is not None
        assert sorted(owned(parse(change.before.decode()))) == sorted(owned(parse(change.after.decode())))


@pytest.mark.parametrize(
    ("start", "end", "taken"), [(1, 3, False), (1, 4, True), (5, 7, True), (8, 9, True), (9, 10, False)]
)
def test_edits_that_overlap_or_abut_are_not_made_together(start: int, end: int, taken: bool) -> None:
    """Beside an edit of columns 4 to 8, another must leave a character between: else its text may be gone."""
    edit = Edit(Place("makers.yaml", 2, start, 2, end), "x")
    assert _taken(edit, {"makers.yaml": [(2, 4, 2, 8)]}) is taken
