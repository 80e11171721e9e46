"""What changed between two versions of the sample dataset: told by meaning, and by nothing else."""

from collections.abc import Mapping
from pathlib import Path

import pytest

from cardref.facts.changes import Changes, Sort, changes
from cardref.index import Index, from_loaded
from cardref.storage.loader import load_tree
from tests.checks.laid import SAMPLE, edited, laid

BACKS = "lines/lanternfish/backs/pell-orrin.yaml"
CARDS = "lines/lanternfish/cards/pell-orrin.yaml"
TOMB = "  - {id: ID, replaced_by: [BY], reason: A test.}\n"


def version(folder: Path, files: Mapping[str, str | bytes | None]) -> Index:
    """The sample with these files laid over it."""
    return from_loaded(load_tree(laid(folder, files)))


@pytest.fixture
def old(tmp_path: Path) -> Index:
    """The sample as it is."""
    return version(tmp_path / "old", {})


def since(old: Index, tmp_path: Path, files: Mapping[str, str | bytes | None]) -> Changes:
    """What changed from the sample to the sample with these files."""
    return changes(old, version(tmp_path / "new", files))


def summed(found: Changes) -> list[tuple[str, str, tuple[str, ...]]]:
    """Sort, id and fields of each change."""
    return [(c.sort.value, c.id, tuple(f.name for f in c.fields)) for c in found.items]


def tomb(full: str, *by: str) -> dict[str, str | bytes | None]:
    """retired.yaml with one more tombstone."""
    return {"retired.yaml": SAMPLE["retired.yaml"] + TOMB.replace("ID", full).replace("BY", ", ".join(by))}


def renamed(path: str, before: str, after: str) -> dict[str, str | bytes | None]:
    """A file in which a short id is another one everywhere."""
    return {path: SAMPLE[path].replace(before, after)}


def test_nothing_changed(old: Index, tmp_path: Path) -> None:
    """A version compared with itself has no changes, and is false."""
    assert not since(old, tmp_path, {})
    assert not changes(old, old)


def test_layout_is_no_change(old: Index, tmp_path: Path) -> None:
    """A record in another file, keys in another order and quotes change nothing that is said."""
    text = SAMPLE["lines/lanternfish/cards/morvane.yaml"]
    head, rest = text.split("cards:\n")
    first, more = rest[: rest.index("  - id: c-002")], rest[rest.index("  - id: c-002") :]
    found = since(
        old,
        tmp_path,
        {
            "lines/lanternfish/cards/morvane.yaml": head + "cards:\n" + more,
            "lines/lanternfish/cards/morvane.part.yaml": head + "cards:\n" + first,
            **edited(BACKS, ("sources: [spring-list, binder]", "sources: [binder, spring-list]")),
        },
    )
    assert not found


@pytest.mark.parametrize(
    ("path", "before", "after", "sort", "full", "fields"),
    [
        (BACKS, "designation: 4B", "designation: 4C", "re-lettered", "b-002", "designation"),
        (BACKS, "designation: 6A", "designation: 9A", "corrected", "b-003", "designation"),
        (BACKS, "count: 6", "count: 7", "corrected", "b-003", "count"),
        (BACKS, "released: 1981-09", "released: 1981-10", "corrected", "b-002", "released"),
        (BACKS, "sources: [binder, fair-photo]", "sources: [binder]", "evidence", "b-003", "sources"),
        (CARDS, "seen: 2021-05", "seen: 2021-06", "evidence", "c-006", "sightings"),
        (BACKS, "    after: b-001", "    after: b-001\n    note: Seen twice.", "wording", "b-002", "note"),
    ],
)
def test_a_change_is_of_one_sort_and_names_its_field(
    path: str, before: str, after: str, sort: str, full: str, fields: str, old: Index, tmp_path: Path
) -> None:
    """One edit, one change, at its record and field."""
    found = since(old, tmp_path, edited(path, (before, after)))
    assert summed(found) == [(sort, f"lanternfish/pell-orrin/{full}", (fields,))]
    assert found.touched == {f"lanternfish/pell-orrin/{full}"}
    assert bool(found.breaking) == (sort == "re-lettered")


def test_one_record_can_change_in_several_ways(old: Index, tmp_path: Path) -> None:
    """A back that is re-lettered and re-dated on new evidence is three changes, the gravest first."""
    text = SAMPLE[BACKS].replace("designation: 4B", "designation: 4C")
    text = text.replace("released: 1981-09", "released: 1981-10")
    edit = {
        BACKS: text.replace("    after: b-001\n", "    after: b-001\n    sides: [{claim: a}, {claim: b}]\n")
    }
    found = since(old, tmp_path, edit)
    assert [sort for sort, *_ in summed(found)] == ["re-lettered", "corrected", "evidence"]


def test_values_before_and_after_are_told(old: Index, tmp_path: Path) -> None:
    """A field's change has both its values, as a file would write them."""
    (change,) = since(old, tmp_path, edited(BACKS, ("count: 6", "count: 7"))).items
    assert [(f.name, f.old, f.new) for f in change.fields] == [("count", 6, 7)]


def test_a_record_without_a_tombstone_is_removed(old: Index, tmp_path: Path) -> None:
    """Gone, and nothing says where to."""
    found = since(old, tmp_path, {"glossary.yaml": SAMPLE["glossary.yaml"].partition("  - id: count")[0]})
    assert summed(found) == [("removed", "term/count", ())]
    assert found.items[0].gone


def test_a_record_with_a_tombstone_is_retired(old: Index, tmp_path: Path) -> None:
    """Nothing took its place."""
    short = {"glossary.yaml": SAMPLE["glossary.yaml"].partition("  - id: count")[0]}
    retired = {"retired.yaml": SAMPLE["retired.yaml"] + "  - {id: term/count, reason: A test.}\n"}
    found = since(old, tmp_path, {**short, **retired})
    assert summed(found) == [("retired", "term/count", ())]
    assert found.retired == ("term/count",)


def test_a_new_record_is_added(old: Index, tmp_path: Path) -> None:
    """It was not there, and took nothing's place."""
    more = {"glossary.yaml": SAMPLE["glossary.yaml"] + "  - {id: face, word: face, what: The front.}\n"}
    assert summed(since(old, tmp_path, more)) == [("added", "term/face", ())]


def test_a_renamed_record_is_one_change_and_not_one_for_each_link_to_it(old: Index, tmp_path: Path) -> None:
    """b-002 becomes b-010: the cards and backs that name it are the same as before."""
    files = {
        **renamed(BACKS, "b-002", "b-010"),
        **renamed(CARDS, "b-002", "b-010"),
        **tomb("lanternfish/pell-orrin/b-002", "lanternfish/pell-orrin/b-010"),
    }
    found = since(old, tmp_path, files)
    assert summed(found) == [("renamed", "lanternfish/pell-orrin/b-002", ())]
    assert found.items[0].into == ("lanternfish/pell-orrin/b-010",)


def test_a_renamed_record_that_changed_as_well_is_both(old: Index, tmp_path: Path) -> None:
    """The correction stands under the new id."""
    files = {
        **renamed(BACKS, "b-002", "b-010"),
        **renamed(CARDS, "b-002", "b-010"),
        **tomb("lanternfish/pell-orrin/b-002", "lanternfish/pell-orrin/b-010"),
    }
    files[BACKS] = str(files[BACKS]).replace("released: 1981-09", "released: 1981-10")
    assert summed(since(old, tmp_path, files)) == [
        ("renamed", "lanternfish/pell-orrin/b-002", ()),
        ("corrected", "lanternfish/pell-orrin/b-010", ("released",)),
    ]


def test_a_record_that_went_into_another_is_merged(old: Index, tmp_path: Path) -> None:
    """The other one was there before."""
    text = SAMPLE[BACKS]
    start, end = text.index("  - id: b-002"), text.index("  - id: b-003")
    files = {BACKS: (text[:start] + text[end:]).replace("b-002", "b-001"), **renamed(CARDS, "b-002", "b-001")}
    files |= tomb("lanternfish/pell-orrin/b-002", "lanternfish/pell-orrin/b-001")
    found = since(old, tmp_path, files)
    assert summed(found) == [("merged", "lanternfish/pell-orrin/b-002", ())]


def test_a_record_that_became_several_is_split(old: Index, tmp_path: Path) -> None:
    """What took its place is told, and what of it is new is added."""
    text = SAMPLE["glossary.yaml"].replace("id: count", "id: back-count")
    text += "  - {id: claimed-total, word: claimed total, what: How many there are said to be.}\n"
    files = {"glossary.yaml": text, **tomb("term/count", "term/back-count", "term/claimed-total")}
    found = since(old, tmp_path, files)
    assert [change.into for change in found.of(Sort.SPLIT)] == [("term/back-count", "term/claimed-total")]
    assert {change.id for change in found.of(Sort.ADDED)} == {"term/back-count", "term/claimed-total"}


def test_a_tombstone_that_is_gone_is_told(old: Index, tmp_path: Path) -> None:
    """An id could be used again."""
    assert since(old, tmp_path, {"retired.yaml": "retired: []\n"}).revived == (
        "lanternfish/pell-orrin/b-000",
    )


def test_versions_are_told(old: Index, tmp_path: Path) -> None:
    """A new version alone is a change, though no record changed."""
    found = since(old, tmp_path, edited("dataset.yaml", ("2026.11", "2026.12")))
    assert (found.old_version, found.new_version, found.items) == ("2026.11", "2026.12", ())
    assert found


def test_changes_back_and_forth_mirror_each_other(old: Index, tmp_path: Path) -> None:
    """What is added in the one direction is removed in the other; corrections swap their values."""
    files = {
        "glossary.yaml": SAMPLE["glossary.yaml"] + "  - {id: face, word: face, what: The front.}\n",
        **edited(BACKS, ("count: 6", "count: 7")),
    }
    new = version(tmp_path / "new", files)
    forth, back = changes(old, new), changes(new, old)
    assert {c.id for c in forth.of(Sort.ADDED)} == {c.id for c in back.of(Sort.REMOVED)} == {"term/face"}
    swapped = [(f.name, f.new, f.old) for c in back.of(Sort.CORRECTED) for f in c.fields]
    assert swapped == [(f.name, f.old, f.new) for c in forth.of(Sort.CORRECTED) for f in c.fields]
