"""What a change touches or breaks: by record, against a directory or a git revision."""

import os
import subprocess
from collections.abc import Mapping
from pathlib import Path

import pytest

from cardref.checks.runner import check
from cardref.errors import UsageError
from cardref.storage.revision import version_of
from tests.checks.laid import SAMPLE, TODAY, cards, edited, laid, one, rules_told, told

Files = Mapping[str, str | bytes | None]
# A slip that was there before: two cards that are one.
BEFORE = cards("{id: c-020, face: f-002, back: b-001, sources: [binder]}")


def git(folder: Path, *words: str) -> None:
    """Run git in a folder, untouched by whatever the user has configured."""
    environment = {
        **os.environ,
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_NOSYSTEM": "1",
        **{
            f"GIT_{who}_{what}": "a@b.example"
            for who in ("AUTHOR", "COMMITTER")
            for what in ("NAME", "EMAIL")
        },
    }
    subprocess.run(["git", *words], cwd=folder, env=environment, check=True, capture_output=True)


@pytest.fixture
def dataset(tmp_path: Path) -> Path:
    """The sample with an old slip, committed in a repository in which it is one folder of several."""
    folder = tmp_path / "repository" / "data" / "sample"
    laid(folder, BEFORE)
    git(tmp_path / "repository", "init", "--quiet")
    git(tmp_path / "repository", "add", ".")
    git(tmp_path / "repository", "commit", "--quiet", "--message", "first")
    return folder


def lay(folder: Path, files: Files) -> None:
    """Lay files over what is there."""
    for path, text in files.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(str(text))


def test_what_was_there_before_is_not_told(dataset: Path) -> None:
    """Nothing changed since: the old slip is left alone, and the plain check still tells it."""
    assert rules_told(check(dataset, today=TODAY)) == ["duplicate-card"]
    assert rules_told(check(dataset, today=TODAY, since="HEAD")) == []


def test_a_new_slip_is_told(dataset: Path) -> None:
    """A changed record's findings are in the report."""
    lay(dataset, edited("lines/lanternfish/backs/pell-orrin.yaml", ("count: 6", "count: 7")))
    assert "count-mismatch" in rules_told(check(dataset, today=TODAY, since="HEAD"))


def test_an_old_slip_in_a_touched_record_is_told(dataset: Path) -> None:
    """Whoever changes a record sees what is wrong with it."""
    lay(dataset, cards("{id: c-020, face: f-002, back: b-001, sources: [binder], note: Seen again.}"))
    assert rules_told(check(dataset, today=TODAY, since="HEAD")) == ["duplicate-card"]


def test_an_old_slip_in_a_record_that_only_moved_is_not_told(dataset: Path) -> None:
    """Lines are nothing: a comment above the record moves it and changes nothing."""
    (path, text), *_ = BEFORE.items()
    lay(dataset, {path: "# a comment\n\n" + str(text)})
    assert rules_told(check(dataset, today=TODAY, since="HEAD")) == []


def test_a_link_that_broke_in_an_untouched_record_is_told(dataset: Path) -> None:
    """A figure was taken out: the records that name it did not change, and are told all the same."""
    text = SAMPLE["lines/lanternfish/stickers.yaml"].partition("  - id: whistle-offer")[0]
    lay(dataset, {"lines/lanternfish/stickers.yaml": text})
    report = check(dataset, today=TODAY, since="HEAD")
    assert one(report, "unknown-link").record == "lanternfish/pell-orrin/c-006"
    assert one(report, "removed-record").record == "lanternfish/sticker/whistle-offer"


def test_a_file_that_broke_is_told(dataset: Path) -> None:
    """A fault without a record belongs to the change where its file changed."""
    lay(dataset, {"glossary.yaml": "terms: [\n"})
    report = check(dataset, today=TODAY, since="HEAD")
    assert rules_told(report) == ["yaml-syntax"], told(report)


def test_a_record_that_no_longer_fits_is_told(dataset: Path) -> None:
    """It is not in the index any more, and that is no removal."""
    lay(dataset, edited("lines/lanternfish/backs/morvane.yaml", ("count: 3", "count: three")))
    report = check(dataset, today=TODAY, since="HEAD")
    assert [f.rule for f in report.findings if f.severity.rank] == ["wrong-type"], told(report)


def test_a_directory_does_as_well_as_a_revision(dataset: Path, tmp_path: Path) -> None:
    """Both hold the same earlier version, so both give the same report."""
    other = laid(tmp_path / "other", BEFORE)
    lay(dataset, edited("lines/lanternfish/backs/pell-orrin.yaml", ("count: 6", "count: 7")))
    by_revision, by_folder = (check(dataset, today=TODAY, since=name) for name in ("HEAD", other))
    assert by_revision.findings == by_folder.findings


def test_a_revision_is_laid_out_as_it_was(dataset: Path) -> None:
    """Only the dataset's own folder, with every byte, and gone afterwards."""
    lay(dataset, {"glossary.yaml": "terms: []\n"})
    with version_of(dataset, "HEAD") as folder:
        laid_out = {p.relative_to(folder).as_posix(): p.read_text() for p in folder.rglob("*.yaml")}
    assert laid_out == {**SAMPLE, **BEFORE}
    assert not folder.exists()


@pytest.mark.parametrize("name", ["no-such-branch", "", "--output=/tmp/x", "HEAD~99", "a\0b"])
def test_an_unknown_revision_is_refused_with_a_next_step(name: str, dataset: Path) -> None:
    """Whatever it is called, it is neither run as an option nor passed over."""
    with pytest.raises(UsageError, match=r"HEAD~1 or main"):
        check(dataset, since=name)


def test_a_dataset_outside_a_repository_is_told_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """There git has nothing to say, and the message says what to name instead."""
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    with pytest.raises(UsageError, match="neither a directory nor a git revision"):
        check(laid(tmp_path / "alone", {}), since="HEAD")


def test_a_machine_without_git_is_told_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A directory can still be named."""
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(UsageError, match="git cannot be run"):
        check(laid(tmp_path / "alone", {}), since="HEAD")


def test_base_and_since_are_one_or_the_other(tmp_path: Path) -> None:
    """Two earlier versions at once make no sense."""
    with pytest.raises(UsageError, match="one of them"):
        check(tmp_path, base=tmp_path, since=tmp_path)


def test_a_new_record_that_replaces_another_is_asked_about(dataset: Path) -> None:
    """One gone and one come of a kind: perhaps the id was changed by hand."""
    changed = edited(
        "glossary.yaml", ("- id: count", "- id: back-count"), ("see: [count]", "see: [back-count]")
    )
    lay(dataset, changed)
    finding = one(check(dataset, today=TODAY, since="HEAD"), "removed-record")
    assert "term/back-count" in finding.message


@pytest.mark.parametrize(
    ("version", "told_of"),
    [("2026.11", "as before"), ("2026.12", ""), ("2026.11.1", ""), ("2026.10", "older")],
)
def test_a_breaking_change_needs_a_new_version(version: str, told_of: str, dataset: Path) -> None:
    """A back got another letter: the version must count on, and never back."""
    lay(dataset, edited("lines/lanternfish/backs/morvane.yaml", ("designation: 3A", "designation: 3B")))
    lay(dataset, edited("dataset.yaml", ("2026.11", version)))
    findings = [f for f in check(dataset, today=TODAY, base="HEAD").findings if f.rule == "version-step"]
    assert [told_of in f.message for f in findings] == ([True] if told_of else [])


def test_a_correction_needs_no_new_version(dataset: Path) -> None:
    """Dates and sources may change within one."""
    lay(dataset, edited("lines/lanternfish/backs/morvane.yaml", ("released: 1982-09", "released: 1982-10")))
    assert "version-step" not in rules_told(check(dataset, today=TODAY, base="HEAD"))


def test_an_id_that_stands_for_another_thing_is_told(dataset: Path) -> None:
    """A figure with all its names changed is another figure; one with a name corrected is the same."""
    path = "lines/lanternfish/figures.yaml"
    other, same = (
        edited(path, ("{text: Salt Porter, language: en}", f"{{text: {name}, language: en}}"))
        for name in ("Moon Piper", "Salt Portr")
    )
    lay(dataset, other)
    assert one(check(dataset, today=TODAY, base="HEAD", select=["ids"]), "repurposed-id").field == "names"
    lay(dataset, same)
    assert rules_told(check(dataset, today=TODAY, base="HEAD", select=["ids"])) == []
