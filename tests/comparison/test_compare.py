"""Comparing two versions: what changed by meaning, what follows, and what is no change at all."""

import datetime as dt
import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

import cardref
from cardref.checks.sample import write_sample
from cardref.cli import main
from cardref.comparison.compare import compare, next_version
from cardref.comparison.telling import as_json, as_markdown, as_text, schema
from cardref.comparison.wording import class_of
from cardref.facts.changes import Change, Changes, Sort
from cardref.index import Index, from_loaded
from cardref.storage.loader import load_tree

TODAY = dt.date(2026, 11, 25)
BACKS = "lines/lanternfish/backs/pell-orrin.yaml"


@pytest.fixture
def pair(tmp_path: Path) -> tuple[Path, Path]:
    """Two equal copies of the sample dataset."""
    folders = (tmp_path / "old", tmp_path / "new")
    for folder in folders:
        folder.mkdir()
        write_sample(folder)
    return folders


def _edit(folder: Path, path: str, old: str, new: str) -> None:
    text = (folder / path).read_text(encoding="utf-8")
    assert old in text, old
    (folder / path).write_text(text.replace(old, new, 1), encoding="utf-8")


def _indexes(pair: tuple[Path, Path]) -> tuple[Index, Index]:
    old, new = (from_loaded(load_tree(folder)) for folder in pair)
    return old, new


def _classes(found: Changes) -> set[str]:
    return {class_of(change) for change in found.items}


def test_two_equal_datasets_have_no_changes(pair: tuple[Path, Path]) -> None:
    """Nothing changed, nothing follows, no version is proposed."""
    found = compare(*pair, today=TODAY)
    assert not found.items
    assert not found.consequences
    assert found.next_version == ""
    assert "no change by meaning" in next(as_text(found, *_indexes(pair)))


def test_layout_order_and_files_are_no_change(pair: tuple[Path, Path]) -> None:
    """Reordering records, splitting a file in parts and comments change nothing by meaning."""
    path = pair[1] / BACKS
    text = path.read_text(encoding="utf-8")
    head, *records = re.split(r"(?m)^(?=  - id: )", text)
    assert len(records) > 1
    path.write_text("# moved about\n" + head + "".join(reversed(records[:-1])), encoding="utf-8")
    path.with_name("pell-orrin.part.yaml").write_text(head + records[-1], encoding="utf-8")
    assert compare(*pair, today=TODAY).items == ()


def test_a_corrected_fact_is_a_correction_with_both_values(pair: tuple[Path, Path]) -> None:
    """A changed count is a correction; what it breaks is told as a consequence."""
    old, _ = _indexes(pair)
    back = old.backs["lanternfish/pell-orrin/b-001"]
    _edit(pair[1], BACKS, f"count: {back.count}\n", f"count: {back.count + 1}\n")
    found = compare(*pair, today=TODAY)
    assert _classes(found) == {"correction"}
    (change,) = found.items
    assert [(f.name, f.old, f.new) for f in change.fields] == [("count", back.count, back.count + 1)]
    assert any(c.worse and "count-mismatch" in c.words for c in found.consequences)


def test_evidence_is_told_apart_from_corrections(pair: tuple[Path, Path]) -> None:
    """A raised or lowered standing is a change of evidence, said as such."""
    _edit(pair[1], BACKS, "standing: confirmed", "standing: reported")
    found = compare(*pair, today=TODAY)
    assert _classes(found) == {"evidence"}
    assert "standing lowered from confirmed to reported" in "\n".join(as_text(found, *_indexes(pair)))


def test_a_removed_record_leads_nowhere_and_is_breaking(pair: tuple[Path, Path]) -> None:
    """Taking a record out without a tombstone is breaking, and the missing tombstone is told."""
    path = pair[1] / BACKS
    head, *records = re.split(r"(?m)^(?=  - id: )", path.read_text(encoding="utf-8"))
    path.write_text(head + "".join(records[:-1]), encoding="utf-8")
    found = compare(*pair, today=TODAY)
    assert Sort.REMOVED in {change.sort for change in found.items}
    assert any("leads nowhere" in c.words for c in found.consequences)
    assert "breaking" in _classes(found)


def test_a_retired_record_is_told_with_what_took_its_place(pair: tuple[Path, Path]) -> None:
    """`retire` leaves a tombstone; compare says merged, with the successor, and no dead end."""
    old, _ = _indexes(pair)
    first, second = [full for full in old.backs if "/pell-orrin/" in full][:2]
    words = ["retire", first, "--merge-into", second, "--reason", "the same printing"]
    assert main([*words, "--dataset", str(pair[1])]) == 0
    found = compare(*pair, today=TODAY)
    merged = [change for change in found.items if change.sort is Sort.MERGED]
    assert [(change.id, change.into) for change in merged] == [(first, (second,))]
    assert not any("nowhere" in c.words for c in found.consequences)


def test_versions_follow_the_calendar() -> None:
    """A later month begins anew, the same month counts on."""
    change = Change(Sort.ADDED, "source", "source/x")
    assert next_version(Changes("2026.10", "2026.10", (change,)), TODAY) == "2026.11"
    assert next_version(Changes("2026.11", "2026.11", (change,)), TODAY) == "2026.11.1"
    assert next_version(Changes("2026.11.4", "2026.11.4", (change,)), TODAY) == "2026.11.5"
    assert next_version(Changes("2027.01", "2027.01", (change,)), TODAY) == "2027.01.1"


def test_json_fits_its_schema(pair: tuple[Path, Path]) -> None:
    """The JSON answer is what schemas/comparison.schema.json says, and that file is up to date."""
    _edit(pair[1], BACKS, "standing: confirmed", "standing: reported")
    found = compare(*pair, today=TODAY)
    Draft202012Validator(schema()).validate(json.loads(json.dumps(as_json(found, *_indexes(pair)))))
    written = Path(__file__).parents[2] / "schemas" / "comparison.schema.json"
    assert json.loads(written.read_text(encoding="utf-8")) == schema()


def test_markdown_from_data_is_inert(pair: tuple[Path, Path]) -> None:
    """Nothing that a contributor writes becomes a link, a mention, HTML or a heading in a review comment."""
    hostile = "'<img src=x onerror=alert(1)> [a](http://b) @team # **x** | `y`'"
    _edit(pair[1], BACKS, "standing: confirmed", f"note: {hostile}\n    standing: confirmed")
    text = "\n".join(as_markdown(compare(*pair, today=TODAY), *_indexes(pair)))
    assert "<img" not in text
    assert "](" not in text
    assert "@team" not in text
    assert "http://b" not in text


@pytest.fixture
def repository(tmp_path: Path) -> Iterator[Path]:
    """A git repository with a dataset in two revisions."""
    folder = tmp_path / "repository"
    (folder / "data").mkdir(parents=True)
    write_sample(folder / "data")

    def git(*words: str) -> None:
        name = ["-c", "user.name=A Curator", "-c", "user.email=curator@example.org"]
        subprocess.run(["git", "-C", str(folder), *name, *words], check=True, capture_output=True)

    git("init", "-q", "-b", "main")
    git("add", "-A")
    git("commit", "-q", "-m", "one")
    _edit(folder / "data", BACKS, "standing: confirmed", "standing: reported")
    git("commit", "-q", "-a", "-m", "two")
    yield folder
    shutil.rmtree(folder)


def test_git_revisions_are_compared(repository: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`compare HEAD~1 HEAD` looks at the dataset as it was and as it is committed."""
    assert main(["compare", "HEAD~1", "HEAD", "--dataset", str(repository / "data")]) == 0
    assert "standing lowered" in capsys.readouterr().out


@pytest.mark.parametrize("name", ["no-such-revision", "", "--help-me", "HEAD~99"])
def test_a_revision_that_is_none_gets_a_clear_error(
    repository: Path, name: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Neither a directory nor a revision: one sentence, status 2."""
    with pytest.raises(cardref.UsageError):
        compare(name, "HEAD", root=repository / "data")
    assert main(["compare", "HEAD~99", "HEAD", "--dataset", str(repository / "data")]) == 2
    assert "neither a directory nor a git revision" in capsys.readouterr().err


def test_release_notes_are_markdown_without_wording(pair: tuple[Path, Path]) -> None:
    """--notes tells what users of the data must know, under the version to come."""
    _edit(pair[1], BACKS, "standing: confirmed", "standing: reported")
    lines = list(as_markdown(compare(*pair, today=TODAY), *_indexes(pair), notes=True))
    assert lines[0].startswith("## Version 2026.11") or lines[0].startswith("## Version 20")
    assert any("Evidence" in line for line in lines)
