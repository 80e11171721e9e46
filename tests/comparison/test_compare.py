"""Comparing two versions: what changed by meaning, what follows, and what is no change at all."""

import datetime as dt
import json
import re
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

import cardref
from cardref.checks.sample import write_sample
from cardref.cli import main
from cardref.comparison.compare import compare, next_version
from cardref.comparison.telling import as_json, as_markdown, as_text, schema
from cardref.comparison.wording import class_of, field_words
from cardref.facts.changes import Change, Changes, Sort
from cardref.index import Index, from_loaded
from cardref.storage.loader import load_tree

TODAY = dt.date(2026, 11, 25)
BACK_ID = "lanternfish/pell-orrin/b-001"
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
    """The JSON answer is what schemas/comparison.schema.json says."""
    _edit(pair[1], BACKS, "standing: confirmed", "standing: reported")
    found = compare(*pair, today=TODAY)
    Draft202012Validator(schema()).validate(json.loads(json.dumps(as_json(found, *_indexes(pair)))))


def test_markdown_from_data_is_inert(pair: tuple[Path, Path]) -> None:
    """Nothing that a contributor writes becomes a link, a mention, HTML or a heading in a review comment."""
    hostile = "'<img src=x onerror=alert(1)> [a](http://b) @team #12 **x** | `y` www.b.example a@b.example'"
    _edit(pair[1], BACKS, "standing: confirmed", f"note: {hostile}\n    standing: confirmed")
    text = "\n".join(as_markdown(compare(*pair, today=TODAY), *_indexes(pair)))
    assert "<img" not in text
    assert not re.search(r"(?<!\\)[]\[]", text)
    assert "@team" not in text
    for live in ("http://b", "#12", "**x**", " `y`", "www.b", "a@b"):
        assert live not in text


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


def test_release_notes_have_no_json(pair: tuple[Path, Path]) -> None:
    """Two formats at once are refused instead of one of them being passed over."""
    assert main(["compare", *map(str, pair), "--notes", "--format", "json"]) == 2


def test_the_dataset_as_it_is_can_be_left_out(repository: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`compare HEAD --dataset data` compares with what has not been committed."""
    _edit(repository / "data", BACKS, "designation: 4B", "designation: 4C")
    assert main(["compare", "HEAD", "--dataset", str(repository / "data")]) == 0
    assert "re-lettered: designation changed from 4B to 4C" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("codes", ["A1"], ["A2"], "code changed from A1 to A2"),
        ("codes", None, ["a/b/c"], "code added: a/b/c"),
        ("codes", ["a/b"], ["c/d"], "code changed from a/b to c/d"),
        ("codes", ["A1", "A2"], ["A2"], "code taken out: A1"),
        ("codes", "none", ["A1"], "codes changed from none to A1"),
        ("codes", ["A1"], "unread", "codes changed from A1 to unread"),
        ("languages", ["en", "fr"], ["fr", "en"], "languages in another order"),
        ("features", {"a": ["x"]}, None, "feature taken out: a x"),
        ("pictures", {"based_on": "l/m/b-1"}, {}, "pictures taken out: based_on b-1"),
        ("starts_over", False, True, "starts over changed from false to true"),
        ("standing", "reported", "refuted", "standing lowered from reported to refuted"),
        ("sources", ["source/a"], ["source/b"], "source added: b; source taken out: a"),
        ("released", "1982/1984", "1981/1985", "released widened from 1982/1984 to 1981/1985"),
        ("released", "1982", "1983", "released changed from 1982 to 1983"),
        ("count", 4, 5, "count changed from 4 to 5"),
        ("note", None, "Seen twice", "note recorded: Seen twice"),
        ("note", "Seen twice", None, "note taken out: Seen twice"),
        (
            "features",
            {"a": ["x"]},
            {"a": ["y"], "b": ["z"]},
            "feature a changed from x to y; feature recorded: b z",
        ),
        (
            "sightings",
            [{"source": "source/a", "count": 1}],
            [{"source": "source/a", "count": 2}],
            "sighting (source a): count changed from 1 to 2",
        ),
        ("sightings", [], [{"source": "source/a"}], "sighting added: source a"),
    ],
)
def test_a_field_is_told_as_people_would(name: str, old: Any, new: Any, said: str) -> None:
    """Ids are shown short, codes as they are printed, and what is a version of the same thing as a change."""
    assert field_words(name, old, new) == said


def _without(folder: Path, *features: str) -> None:
    path = folder / BACKS
    text = path.read_text(encoding="utf-8")
    for feature in features:
        text = re.sub(rf"{feature}: [^,}}]+(, )?", "", text)
    path.write_text(text.replace(", }", "}"), encoding="utf-8")


def test_what_can_be_told_apart_is_a_consequence(pair: tuple[Path, Path]) -> None:
    """A feature recorded for both of two backs tells them apart; taken out, it no longer does."""
    features = ("maker-line", "lantern-height", "waves-drawn")
    _without(pair[0], *features)
    _without(pair[1], *features[1:])
    told = [c.words for c in compare(*pair, today=TODAY).consequences if "told apart" in c.words]
    assert told == [
        "back pell-orrin 4A (b-001) and back pell-orrin 4B (b-002) can now be told apart by maker-line"
    ]
    told = [c.words for c in compare(*reversed(pair), today=TODAY).consequences if "told apart" in c.words]
    assert len(told) == 1
    assert "can no longer be told apart: maker-line told them apart before" in told[0]


def test_records_that_a_change_contradicts_are_counted(pair: tuple[Path, Path]) -> None:
    """A count that no longer agrees contradicts one back; put right, it is no longer contradicted."""
    _edit(pair[1], BACKS, "count: 4\n", "count: 5\n")
    found = compare(*pair, today=TODAY)
    assert any(c.worse and c.words.startswith("1 back is now contradicted (") for c in found.consequences)
    back = compare(*reversed(pair), today=TODAY)
    assert any(c.words.startswith("1 back is no longer contradicted (") for c in back.consequences)
    assert not any(c.worse for c in back.consequences)


def test_a_finding_that_is_waived_is_not_called_gone(pair: tuple[Path, Path]) -> None:
    """Accepting a finding mends nothing."""
    for folder in pair:
        _edit(folder, BACKS, "standing: confirmed", "standing: disputed")
    waiver = (
        "waivers:\n  - {rule: one-sided-dispute, record: lanternfish/pell-orrin/b-001, reason: the other "
        'side has promised a scan, expires: "2027"}\n'
    )
    (pair[1] / "waivers.yaml").write_text(waiver, encoding="utf-8")
    assert not [c for c in compare(*pair, today=TODAY).consequences if "one-sided" in c.words]


def test_layers_are_compared_as_they_are_seen(pair: tuple[Path, Path], tmp_path: Path) -> None:
    """What a layer changes; and taking a record out of it brings back the one below."""
    base, mine = pair[0], tmp_path / "mine"
    (mine / BACKS).parent.mkdir(parents=True)
    shutil.copy(base / "dataset.yaml", mine)
    head, first, *_ = re.split(r"(?m)^(?=  - id: )", (base / BACKS).read_text(encoding="utf-8"))
    (mine / BACKS).write_text(head + first.replace("1981-03", "1981-04"), encoding="utf-8")
    for over in (base, from_loaded(load_tree(base)), cardref.load(base)):
        (change,) = compare(base, mine, over=over, today=TODAY).items
        assert (change.id, [f.name for f in change.fields]) == (f"{BACK_ID}", ["released"])
    empty = tmp_path / "empty"
    empty.mkdir()
    shutil.copy(base / "dataset.yaml", empty)
    (change,) = compare(mine, empty, over=base, today=TODAY).items
    assert [(f.name, f.old, f.new) for f in change.fields] == [("released", "1981-04", "1981-03")]
    assert compare(empty, empty, over=base, today=TODAY).items == ()


def test_a_version_that_was_raised_already_is_proposed() -> None:
    """Whoever has raised the version is not told to do it again, nor to step back."""
    change = Change(Sort.ADDED, "source", "source/x")
    assert next_version(Changes("2026.10", "2026.11.2", (change,)), TODAY) == "2026.11.2"
    assert next_version(Changes("", "", (change,)), TODAY) == "2026.11"


@pytest.mark.parametrize(
    ("codes", "now", "before"),
    [
        (("2041-2",), "1 code is now recorded", "1 code is no longer recorded"),
        (("2041-2", "2042-0"), "2 codes are now recorded", "2 codes are no longer recorded"),
    ],
)
def test_codes_that_come_and_go_are_counted(
    pair: tuple[Path, Path], codes: tuple[str, ...], now: str, before: str
) -> None:
    """A code that no front bore before is news; taken out, it is a loss."""
    for code in codes:
        _edit(pair[0], "lines/lanternfish/faces/morvane.yaml", f"codes: [{code}]", "codes: unread")
    told = [(c.words, c.worse) for c in compare(*pair, today=TODAY).consequences if "code" in c.words]
    assert (now, False) in told
    told = [
        (c.words, c.worse) for c in compare(*reversed(pair), today=TODAY).consequences if "code" in c.words
    ]
    assert (before, True) in told


def test_where_git_gives_a_reason_it_is_told(
    pair: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    """A dataset outside of any repository: git's own word stands in the message."""
    monkeypatch.setenv("LC_ALL", "C")
    with pytest.raises(cardref.UsageError, match=r"\(git says: .*not a git repository"):
        compare("HEAD~1", "HEAD", root=pair[0], today=TODAY)
