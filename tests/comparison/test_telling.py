"""A comparison in words: what stands where, for a terminal, for a review and as release notes."""

from typing import Any

import pytest

from cardref.comparison.telling import _MOST, _MOST_IN_REVIEW, as_json, as_markdown, as_text
from cardref.comparison.wording import _earlier, class_of, subject, words
from cardref.facts.changes import Change, Changes, Consequence, FieldChange, Sort, changes
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.bookkeeping import Tombstone
from cardref.model.evidence import Standing
from cardref.model.kinds import KINDS, Record
from cardref.model.source import Source, SourceKind
from cardref.notation.designation import Designation

EMPTY = Index({kind: {} for kind in KINDS})


def _source(name: str, citation: str = "c", **more: Any) -> tuple[str, Record]:
    return "source", Source(id=f"source/{name}", kind=SourceKind.PRINT, citation=citation, **more)


def _back(number: int, designation: str = "25B", **more: Any) -> tuple[str, Record]:
    meant = Designation.parse(designation)
    made = Back(
        id=f"l/m/b-{number}", designation=meant, series="l/series/s", count=more.pop("count", 25), **more
    )
    return "back", made


def _stone(name: str, *into: str) -> tuple[str, Record]:
    return "tombstone", Tombstone(id=name, reason="r", replaced_by=into)


def _index(*records: tuple[str, Record]) -> Index:
    tables: dict[str, dict[str, Record]] = {kind: {} for kind in KINDS}
    for kind, record in records:
        tables[kind][record.id] = record  # type: ignore[union-attr] # only kinds with ids are given
    return Index(tables)


def _told(*items: Change, **more: Any) -> Changes:
    return Changes("2026.10", more.pop("now", "2026.11"), items, **more)


ADDED = Change(Sort.ADDED, "source", "source/a")
REMOVED = Change(Sort.REMOVED, "source", "source/b")
NOTE = Change(Sort.WORDING, "source", "source/c", (FieldChange("note", "x", "y"),))


# --- sorts of change -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ([_source("a")], [_source("a")], []),
        ([], [_source("a")], [("added", "source/a", ())]),
        ([_source("a")], [], [("removed", "source/a", ())]),
        ([_source("a")], [_stone("source/a")], [("retired", "source/a", ())]),
        ([_source("a")], [_source("b"), _stone("source/a", "source/b")],
         [("renamed", "source/a", ("source/b",))]),
        ([_source("a"), _source("b")], [_source("b"), _stone("source/a", "source/b")],
         [("merged", "source/a", ("source/b",))]),
        ([_source("a"), _source("b")],
         [_source("c"), _stone("source/a", "source/c"), _stone("source/b", "source/c")],
         [("merged", "source/a", ("source/c",)), ("merged", "source/b", ("source/c",)),
          ("added", "source/c", ())]),
        ([_source("a")], [_source("b"), _source("c"), _stone("source/a", "source/b", "source/c")],
         [("split", "source/a", ("source/b", "source/c")), ("added", "source/b", ()),
          ("added", "source/c", ())]),
        ([_source("a")], [_source("a", "other")], [("evidence", "source/a", ())]),
        ([_back(1)], [_back(1, "25C")], [("re-lettered", "l/m/b-1", ())]),
        ([_back(1)], [_back(1, "26B")], [("corrected", "l/m/b-1", ())]),
        ([_back(1)], [_back(1, count=26)], [("corrected", "l/m/b-1", ())]),
        ([_back(1)], [_back(1, note="n")], [("wording", "l/m/b-1", ())]),
        ([_back(1)], [_back(1, standing=Standing.REPORTED)], [("evidence", "l/m/b-1", ())]),
        ([_back(1)], [_back(1, "25C", note="n", sources=("s",), count=26)],
         [("re-lettered", "l/m/b-1", ()), ("corrected", "l/m/b-1", ()), ("evidence", "l/m/b-1", ()),
          ("wording", "l/m/b-1", ())]),
        ([_back(1, languages=("en", "fr"))], [_back(1, languages=("fr", "en"))], []),
    ],
)  # fmt: skip
def test_each_sort_of_change_is_told_apart(
    old: list[tuple[str, Record]], new: list[tuple[str, Record]], told: list[tuple[str, str, tuple[str, ...]]]
) -> None:
    """What came, went, moved or was said otherwise; the sorts of one record by themselves, gravest first."""
    found = changes(_index(*old), _index(*new))
    assert [(change.sort.value, change.id, change.into) for change in found.items] == told
    assert bool(found) == bool(told or found.retired)


def test_a_renamed_record_that_changed_is_told_as_both() -> None:
    """The new id stands for the old one, and what else is different is told under it."""
    old, new = _index(_back(1)), _index(_back(2, count=26), _stone("l/m/b-1", "l/m/b-2"))
    renamed, corrected = changes(old, new).items
    assert (renamed.sort, renamed.id, renamed.into, renamed.gone, renamed.breaking) == (
        Sort.RENAMED, "l/m/b-1", ("l/m/b-2",), True, True,
    )  # fmt: skip
    assert (corrected.sort, corrected.id, corrected.fields) == (
        Sort.CORRECTED, "l/m/b-2", (FieldChange("count", 25, 26),),
    )  # fmt: skip
    assert changes(old, new).touched == {"l/m/b-1", "l/m/b-2"}
    assert changes(old, new).retired == ("l/m/b-1",)
    assert changes(new, old).revived == ("l/m/b-1",)


def test_an_id_that_was_renamed_elsewhere_is_no_change_where_it_is_written() -> None:
    """A card of a back whose id has changed says the same as before."""
    old = _index(_back(1), _back(3, after="l/m/b-1"))
    new = _index(_back(2), _back(3, after="l/m/b-2"), _stone("l/m/b-1", "l/m/b-2"))
    assert [change.sort for change in changes(old, new).items] == [Sort.RENAMED]


def test_changes_by_sort_and_by_what_breaks() -> None:
    """Only what somebody noted down must be looked at again; a new version alone is a change, too."""
    found = _told(ADDED, REMOVED, NOTE)
    assert found.of(Sort.ADDED, Sort.WORDING) == (ADDED, NOTE)
    assert found.breaking == (REMOVED,)
    assert bool(_told())
    assert not _told(now="2026.10")
    assert not ADDED.gone


# --- text, Markdown, JSON --------------------------------------------------------------------------------

WORSE = Consequence("1 id leads nowhere", ("source/b",), worse=True)
BETTER = Consequence("two backs can now be told apart")


def test_text_for_a_terminal() -> None:
    """Versions and counts first, then what follows, then the changes by class, then the next version."""
    found = _told(NOTE, ADDED, REMOVED, consequences=(WORSE, BETTER), next_version="2026.11.1")
    assert list(as_text(found, EMPTY, EMPTY)) == [
        "2026.10 -> 2026.11: 1 breaking change, 1 addition, 1 change of wording",
        "  against it: 1 id leads nowhere",
        "  two backs can now be told apart",
        "breaking: what was noted down before must be looked at again",
        "  source b: removed without a tombstone",
        "addition: what was not there before",
        "  source a: added",
        "wording: notes and explanations",
        "  source c: note changed from x to y",
        "next version: 2026.11.1",
    ]
    assert next(as_text(_told(), EMPTY, EMPTY)) == "2026.10 -> 2026.11: bookkeeping only"
    assert next(as_text(Changes("", "2026.11", (ADDED,)), EMPTY, EMPTY)).startswith("no version -> 2026.11")
    assert next(as_text(_told(ADDED, ADDED, now="2026.10"), EMPTY, EMPTY)) == "2026.10: 2 additions"


@pytest.mark.parametrize(("most", "tell"), [(_MOST, as_text), (_MOST_IN_REVIEW, as_markdown)])
def test_of_many_changes_the_first_are_told(most: int, tell: Any) -> None:
    """A class is cut where nobody reads on and where code hosts refuse; how many are left is told."""
    whole = "\n".join(tell(_told(*[ADDED] * most), EMPTY, EMPTY))
    assert whole.count(": added") == most
    assert "more" not in whole
    cut = "\n".join(tell(_told(*[ADDED] * (most + 3)), EMPTY, EMPTY))
    assert cut.count(": added") == most
    assert "and 3 more; " in cut


def test_markdown_for_a_review() -> None:
    """A heading with the counts, what follows, each class, the next version."""
    found = _told(NOTE, ADDED, consequences=(WORSE, BETTER), next_version="2026.11.1")
    assert list(as_markdown(found, EMPTY, EMPTY)) == [
        "## What this changes: 1 addition, 1 change of wording",
        "",
        "- **against it:** 1 id leads nowhere",
        "- two backs can now be told apart",
        "",
        "### Addition: what was not there before",
        "",
        "- source a: added",
        "",
        "### Wording: notes and explanations",
        "",
        "- source c: note changed from x to y",
        "",
        "Next version: 2026.11.1",
    ]
    assert list(as_markdown(_told(now="2026.10"), EMPTY, EMPTY))[2:] == ["No change by meaning."]


def test_release_notes() -> None:
    """Under the version to come, else the new one; without wording, and without what is against it."""
    found = _told(NOTE, ADDED, consequences=(WORSE, BETTER), next_version="2026.11.1")
    assert list(as_markdown(found, EMPTY, EMPTY, notes=True)) == [
        "## Version 2026.11.1",
        "",
        "- two backs can now be told apart",
        "",
        "### Addition: what was not there before",
        "",
        "- source a: added",
        "",
    ]
    assert next(as_markdown(_told(ADDED), EMPTY, EMPTY, notes=True)) == "## Version 2026.11"
    assert list(as_markdown(_told(ADDED, consequences=(WORSE,)), EMPTY, EMPTY, notes=True))[2] != ""


def test_plain_values_for_programs() -> None:
    """Everything, with a count for each class."""
    told = as_json(_told(NOTE, ADDED, REMOVED, consequences=(WORSE,), retired=("x",)), EMPTY, EMPTY)
    assert [(one["class"], one["sort"], one["id"], one["words"]) for one in told["changes"]] == [
        ("wording", "wording", "source/c", "note changed from x to y"),
        ("addition", "added", "source/a", "added"),
        ("breaking", "removed", "source/b", "removed without a tombstone"),
    ]
    assert told["summary"] == {"breaking": 1, "addition": 1, "correction": 0, "evidence": 0, "wording": 1}
    assert told["consequences"] == [{"words": "1 id leads nowhere", "records": ["source/b"], "worse": True}]
    assert (told["retired"], told["old_version"], told["new_version"]) == (["x"], "2026.10", "2026.11")
    assert told["changes"][0]["fields"] == [{"name": "note", "old": "x", "new": "y"}]


# --- words -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "kind"),
    [
        (None, 5, "addition"), ({"a": 1}, {"a": 1, "b": 2}, "addition"), (["x"], ["x", "y"], "addition"),
        ({"a": 1}, {"a": 2, "b": 2}, "correction"), ({"a": 1}, {"b": 2}, "correction"),
        (["x"], ["y", "z"], "correction"), (["x", "y"], ["x"], "correction"), (["x"], ["y"], "correction"),
        ("x", "y", "correction"), (5, None, "correction"), (["x", "y"], ["y", "x"], "correction"),
    ],
)  # fmt: skip
def test_what_only_adds_to_a_record_is_an_addition(old: Any, new: Any, kind: str) -> None:
    """Nothing that was said is gone or different: who knew it before need not look again."""
    assert class_of(Change(Sort.CORRECTED, "back", "b", (FieldChange("x", old, new),))) == kind


@pytest.mark.parametrize(
    ("sort", "into", "said"),
    [
        (Sort.ADDED, (), "added"), (Sort.RENAMED, ("l/m/b-2",), "renamed to b-2"),
        (Sort.MERGED, ("l/m/b-2",), "merged into b-2"),
        (Sort.SPLIT, ("l/m/a", "l/m/b"), "split into a and b"),
        (Sort.RETIRED, (), "retired, nothing took its place"),
        (Sort.REMOVED, (), "removed without a tombstone"),
    ],
)  # fmt: skip
def test_what_happened_to_a_record(sort: Sort, into: tuple[str, ...], said: str) -> None:
    """In a clause, with the short ids of what took its place."""
    assert words(Change(sort, "back", "l/m/b-1", into=into)) == said


def test_a_change_is_about_what_people_call_it() -> None:
    """A record that is there by its name, one that is gone by the one that it had."""
    old, new = _index(_back(1)), _index(_back(2))
    assert subject(Change(Sort.REMOVED, "back", "l/m/b-1"), old, new) == "back m 25B (b-1)"
    assert subject(Change(Sort.ADDED, "back", "l/m/b-2"), old, new) == "back m 25B (b-2)"
    assert subject(Change(Sort.ADDED, "back", "l/m/b-9"), old, new) == "back b-9"
    changed = Change(Sort.RELETTERED, "back", "l/m/b-1", (FieldChange("designation", "25B", "25C"),))
    assert words(changed) == "re-lettered: designation changed from 25B to 25C"


def test_a_nested_record_is_held_against_the_one_it_is_a_version_of() -> None:
    """Half of it must be the same, and of several the most alike is taken."""
    item = {"a": 1, "b": 2, "c": 3, "d": 4}
    half, most, less = {**item, "c": 0, "d": 0}, {**item, "d": 0}, {**item, "b": 0, "c": 0, "d": 0}
    assert _earlier(item, [half, "text", most]) == most
    assert _earlier(item, [less, half]) == half
    assert _earlier(item, [less]) is None
