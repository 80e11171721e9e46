"""Retired ids: everything follows, a tombstone stands, look-ups find the successor, nothing is lost."""

import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import cardref
from cardref.checks.rule import Example
from cardref.checks.sample import SAMPLE, write_sample
from cardref.errors import AmbiguousRecord, DatasetError, UnknownRecord, UsageError
from cardref.fixing.formatting import formatted
from cardref.fixing.mentions import short_form
from cardref.fixing.place import target_of
from cardref.fixing.retiring import Retiring, merge, rename, retire, split
from cardref.index import Index, from_loaded
from cardref.model.kinds import KINDS, Scope, full_id, short_id
from cardref.storage.atomic import write_changes
from cardref.storage.loader import load_tree
from cardref.storage.references import references
from cardref.storage.tree import owned, parse

LINE, MAKER = "lanternfish", "pell-orrin"
BACK = f"{LINE}/{MAKER}/b-002"
_NAMELESS = ("dataset", "tombstone", "waiver")


def _index(folder: Path) -> Index:
    loaded = load_tree(folder)
    for file in loaded.files.values():
        assert not file.faults, file.path
    for entries in loaded.entries.values():
        for entry in entries:
            assert entry.record is not None, entry.id
    return from_loaded(loaded)


def _links(index: Index) -> Counter[tuple[str, str, str]]:
    """Every reference: who, by which field, to whom; features as they are looked up."""
    found: Counter[tuple[str, str, str]] = Counter()
    for kind, table in index.tables.items():
        for full, record in table.items():
            for way, kinds, target in references(kind, record):
                meant = target
                if kinds == ("feature",):
                    feature = index.feature(target, full.split("/")[0])
                    meant = feature.id if feature else target
                steps = [step for step in way if isinstance(step, str)]
                field = ".".join(steps[:-1] if steps and steps[-1] == target else steps)
                found[full, field, meant] += 1
    return found


def _write(folder: Path, done: Retiring) -> Index:
    write_changes(folder, done.changes)
    return _index(folder)


def _records() -> list[str]:
    with tempfile.TemporaryDirectory() as name:
        tables = _index(write_sample(Path(name))).tables
    return sorted(full for kind, table in tables.items() if kind not in _NAMELESS for full in table)


@pytest.mark.parametrize("full", _records())
def test_renaming_any_record_changes_its_name_and_nothing_else(tmp_path: Path, full: str) -> None:
    """For every record of the sample: all references are the same but for the name, and no finding is new."""
    folder = write_sample(tmp_path)
    before = _index(folder)
    old_findings = Counter(finding.rule for finding in cardref.check(folder).findings)
    done = rename(folder, full, "quite-new", reason="a test")
    after = _write(folder, done)

    def now(one: str) -> str:
        return done.retired.get(one, (one,))[0]

    expected = Counter({(now(a), field, now(b)): n for (a, field, b), n in _links(before).items()})
    assert _links(after) == expected
    for old, (new,) in done.retired.items():
        assert old not in after
        assert after.find(old) == (new,)
        assert after.retired[old].replaced_by == (new,)
        assert after.kind(new) == before.kind(old)
    assert len(after.retired) == len(before.retired) + len(done.retired)
    assert Counter(finding.rule for finding in cardref.check(folder).findings) == old_findings
    assert before.retired.keys() <= after.retired.keys()


@pytest.mark.parametrize("full", ["maker/pell-orrin", "lanternfish"])
def test_files_move_with_their_maker_or_line(tmp_path: Path, full: str) -> None:
    """Renaming there and back again gives the same files with the same texts, tombstones aside."""
    folder = write_sample(tmp_path)
    before = {path: path.read_text() for path in folder.rglob("*.yaml") if path.name != "retired.yaml"}
    _write(folder, rename(folder, full, "quite-new"))
    assert {path for path in folder.rglob("*.yaml") if path.name != "retired.yaml"} != set(before)
    with pytest.raises(DatasetError, match="never used again"):
        rename(folder, full.replace(short_id(full), "quite-new"), short_id(full))
    (folder / "retired.yaml").write_text("retired: []\n")
    _write(folder, rename(folder, full.replace(short_id(full), "quite-new"), short_id(full)))
    assert {path: path.read_text() for path in before} == before


def test_a_merged_record_gives_away_what_only_it_says(tmp_path: Path) -> None:
    """Sources, features and fields are joined; what differs, and comments, stand above the tombstone."""
    text = SAMPLE["lines/lanternfish/backs/pell-orrin.yaml"].replace(
        "  - id: b-002\n", "  # looked at twice\n  - id: b-002  # ours\n    note: Only here.\n"
    )
    folder = write_sample(tmp_path, Example("lines/lanternfish/backs/pell-orrin.yaml", text))
    done = merge(folder, f"{MAKER} b-002", f"{MAKER} b-001", reason="one printing", date="2026-11-25")
    after = _write(folder, done)
    kept = after.backs[f"{LINE}/{MAKER}/b-001"]
    assert kept.note == "Only here."
    assert kept.sources == ("source/spring-list", "source/binder")
    assert str(kept.released) == "1981-03"
    assert not kept.after
    assert after.backs[f"{LINE}/{MAKER}/b-003"].after == kept.id
    stones = owned(parse((folder / "retired.yaml").read_text()))
    assert "# looked at twice" in stones
    assert "# ours" in stones
    assert '# b-002 said released: "1981-09"' in stones
    assert any("keeps what it says" in note for note in done.notes)
    assert after.find(BACK) == (kept.id,)
    # The tombstone that pointed to the merged one points on, without a chain.
    assert after.retired[f"{LINE}/{MAKER}/b-000"].replaced_by == (kept.id,)


def test_who_followed_the_merged_one_follows_what_that_one_followed(tmp_path: Path) -> None:
    """Merging the middle of a row closes the row, and no record comes to follow itself."""
    folder = write_sample(tmp_path)
    after = _write(folder, merge(folder, f"{MAKER} b-002", f"{MAKER} b-003", reason="one printing"))
    assert after.backs[f"{LINE}/{MAKER}/b-003"].after == f"{LINE}/{MAKER}/b-001"


def test_a_list_names_the_merged_record_once(tmp_path: Path) -> None:
    """Where a list held both, it holds the one that stays, once."""
    folder = write_sample(tmp_path)
    after = _write(folder, merge(folder, "source/binder", "source/spring-list", reason="the same binder"))
    assert after.backs[f"{LINE}/{MAKER}/b-001"].sources == ("source/spring-list",)
    assert "source/binder" not in after
    assert not any("source/binder" in record.sources for record in after.cards.values())


def test_a_split_record_has_its_mentions_told_apart(tmp_path: Path) -> None:
    """Who mentions a split record must say which; lists get all; the copies say the same so far."""
    folder = write_sample(tmp_path)
    with pytest.raises(DatasetError, match=r"still mentioned by .*c-009 \(back\).*which of b-014 or b-015"):
        split(folder, f"{MAKER} b-004", ["b-014", "b-015"], reason="two")
    choose = {f"{LINE}/{MAKER}/c-009": "b-015", "*": "b-014"}
    done = split(folder, f"{MAKER} b-004", ["b-014", "b-015"], reason="two", choose=choose)
    after = _write(folder, done)
    one, two = (after.backs[f"{LINE}/{MAKER}/{new}"] for new in ("b-014", "b-015"))
    assert one.pictures == two.pictures
    assert one.features == two.features
    assert after.cards[f"{LINE}/{MAKER}/c-009"].back == two.id
    assert after.cards[f"{LINE}/{MAKER}/c-010"].back == one.id
    assert after.find(f"{LINE}/{MAKER}/b-004") == (one.id, two.id)
    folder2 = write_sample(tmp_path / "two")
    after2 = _write(
        folder2,
        split(folder2, "source/binder", ["binder-1", "binder-2"], reason="x", choose={"*": "binder-1"}),
    )
    assert after2.backs[BACK].sources == ("source/binder-1", "source/binder-2")


def test_retired_without_an_heir(tmp_path: Path) -> None:
    """Nothing may mention what nothing takes the place of; then it goes, its comments to the tombstone."""
    folder = write_sample(tmp_path)
    with pytest.raises(DatasetError, match="is still mentioned by") as refused:
        retire(folder, f"{MAKER} b-002", reason="never existed")
    assert "c-003 (back)" in str(refused.value)
    after = _write(folder, retire(folder, f"{LINE}/reproduction/glossy-four", reason="a misprint after all"))
    assert after.find(f"{LINE}/reproduction/glossy-four") == ()
    assert after.retired[f"{LINE}/reproduction/glossy-four"].reason == "a misprint after all"
    assert (folder / "lines/lanternfish/reproductions.yaml").read_text().endswith("reproductions: []\n")


def test_retired_in_favour_of_others(tmp_path: Path) -> None:
    """With a successor all mentions follow, in roles and lists alike."""
    folder = write_sample(tmp_path)
    after = _write(folder, retire(folder, "maker/thalweg", reason="a branch", replaced_by=["maker/morvane"]))
    assert after.lines[LINE].makers == ("maker/pell-orrin", "maker/morvane")
    assert after.stickers[f"{LINE}/sticker/de-strip"].by == ("maker/morvane",)


@pytest.mark.parametrize(
    ("call", "error", "said"),
    [
        (lambda f: retire(f, BACK, reason=" "), UsageError, "say why"),
        (lambda f: retire(f, "nobody", reason="x"), UnknownRecord, "no record"),
        (lambda f: retire(f, f"{MAKER} 4", reason="x"), AmbiguousRecord, "4"),
        (lambda f: retire(f, BACK, reason="x", date="25.11."), UsageError, "no date"),
        (lambda f: retire(f, BACK, reason="x", replaced_by=[BACK]), UsageError, "own place"),
        (lambda f: retire(f, BACK, reason="x", replaced_by=["source/binder"]), UsageError, "is a source"),
        (lambda f: retire(f, "maker/pell-orrin", reason="x"), DatasetError, "part of the ids"),
        (lambda f: retire(f, f"{LINE}/{MAKER}/b-000", reason="x"), DatasetError, "retired already"),
        (lambda f: rename(f, BACK, "B 3"), UsageError, "no short id"),
        (lambda f: rename(f, BACK, "b-001"), DatasetError, "in use already"),
        (lambda f: rename(f, BACK, "f-001"), DatasetError, "in use already"),
        (lambda f: rename(f, BACK, "b-000"), DatasetError, "never used again"),
        (lambda f: rename(f, "maker/morvane", "figure"), UsageError, "name of a kind"),
        (lambda f: merge(f, BACK, BACK, reason="x"), UsageError, "with itself"),
        (lambda f: merge(f, BACK, "lanternfish/morvane/b-001", reason="x"), DatasetError, "different makers"),
        (lambda f: split(f, BACK, ["b-9"], reason="x"), UsageError, "at least two"),
        (lambda f: split(f, BACK, ["b-9", "b-001"], reason="x"), DatasetError, "in use"),
        (lambda f: split(f, BACK, ["b-8", "b-9"], reason="x", choose={"*": "b-7"}), UsageError, "not among"),
    ],
)
def test_what_makes_no_sense_is_refused(
    tmp_path: Path, call: Callable[[Path], Any], error: type[Exception], said: str
) -> None:
    """Each wrong call has its own clear word, and nothing is written."""
    folder = write_sample(tmp_path)
    with pytest.raises(error, match=said):
        call(folder)


def test_a_dataset_that_cannot_be_read_is_left_alone(tmp_path: Path) -> None:
    """A broken file might mention the id: it must be put right first, and the message says where."""
    folder = write_sample(tmp_path, Example("sources.yaml", "sources:\n  - id: 'half\n"))
    with pytest.raises(DatasetError, match=r"'sources.yaml' cannot be read \(line") as refused:
        rename(folder, BACK, "b-012")
    assert refused.value.findings


def test_canonical_files_stay_canonical(tmp_path: Path) -> None:
    """After a rename that changes the order of records and the width of lists no file needs formatting."""
    folder = write_sample(tmp_path)
    write_changes(folder, formatted(folder, target_of([folder]).paths).changes)
    for old, new in (
        (BACK, "b-099"),
        ("lanternfish/figure/reef-pilot", "a-very-long-name-for-a-pilot-of-reefs"),
    ):
        write_changes(folder, rename(folder, old, new).changes)
        assert not formatted(folder, target_of([folder]).paths).changes


def test_the_first_tombstone_makes_the_file(tmp_path: Path) -> None:
    """Where there is no retired.yaml yet it is made, in the canonical layout."""
    folder = write_sample(tmp_path)
    (folder / "retired.yaml").unlink()
    after = _write(folder, rename(folder, f"{LINE}/figure/reef-pilot", "reef-guide"))
    assert list(after.retired) == [f"{LINE}/figure/reef-pilot"]
    assert not formatted(folder, ["retired.yaml"]).changes


def test_look_ups_follow_retired_ids(tmp_path: Path) -> None:
    """Full, short or with its maker: a retired id finds what took its place, over several steps."""
    folder = write_sample(tmp_path)
    _write(folder, rename(folder, BACK, "b-012"))
    (folder / "retired.yaml").write_text(
        (folder / "retired.yaml")
        .read_text()
        .replace(
            "replaced_by: [lanternfish/pell-orrin/b-012]", "replaced_by: [lanternfish/pell-orrin/b-002]", 1
        )
    )
    ref = cardref.load(folder)
    for asked in (BACK, f"{MAKER} b-002", f"{MAKER}/b-002", f"{LINE} {MAKER} b-000", "b-002"):
        assert ref.back(asked).id == f"{LINE}/{MAKER}/b-012", asked


@pytest.mark.parametrize("kind", [name for name, kind in KINDS.items() if kind.scope is not Scope.NONE])
def test_short_forms_are_read_as_the_id(kind: str) -> None:
    """The short form of an id, wherever it is written, is read as that id, and no shorter one is."""
    for line, maker in (("l", "m"), ("l", "n"), ("k", "m"), ("l", ""), ("", "")):
        full = full_id(kind, "x-1", "l", "m")
        short = short_form(kind, full, line, maker)
        if kind != "feature":
            assert full_id(kind, short, line, maker) == full
        assert full.endswith(short)
