"""The index: relations equal a look at every record, look-ups take what people write and pick nothing."""

from collections.abc import Mapping

import pytest

from cardref.errors import AmbiguousRecord, UnknownRecord
from cardref.index import Index, from_loaded
from cardref.model.bookkeeping import Tombstone
from cardref.model.kinds import KINDS, Record
from cardref.model.source import Source, SourceKind
from cardref.storage.bundle import home
from cardref.storage.loader import Entry, Loaded, LoadedFile, load_tree


@pytest.fixture(scope="module")
def index() -> Index:
    """The bundled dataset."""
    return from_loaded(load_tree(home().dataset))


def _tables(**given: Mapping[str, Record]) -> dict[str, Mapping[str, Record]]:
    return {kind: given.get(kind, {}) for kind in KINDS}


# --- tables and relations --------------------------------------------------------------------------------


def test_relations_are_what_a_look_at_every_record_gives(index: Index) -> None:
    """Each relation has an entry for each record that says so, in the order of the files, and no other."""
    for relation, pairs in (
        (index.cards_by_face, [(card.face, card.id) for card in index.cards.values()]),
        (index.cards_by_back, [(card.back, card.id) for card in index.cards.values()]),
        (index.faces_by_figure, [(face.figure, face.id) for face in index.faces.values()]),
        (index.faces_by_code, [(c, face.id) for face in index.faces.values() for c in face.printed_codes]),
    ):
        wanted: dict[str, list[str]] = {}
        for key, value in pairs:
            wanted.setdefault(key, []).append(value)
        assert relation == {key: tuple(values) for key, values in wanted.items()}


def test_groups_by_maker_are_whole(index: Index) -> None:
    """Every back, wave and scheme stands under its line and maker, backs by designation, and nowhere else."""
    backs = [full for ids in index.backs_by_group.values() for full in ids]
    assert sorted(backs) == sorted(index.backs)
    for (line, maker, count), ids in index.backs_by_group.items():
        assert all(full.startswith(f"{line}/{maker}/") for full in ids)
        assert {index.backs[full].count for full in ids} == {count}
        assert list(ids) == sorted(ids, key=lambda full: (index.backs[full].designation, full))
    for (line, maker), waves in index.waves_by_maker.items():
        assert {(wave.id.split("/")[0], wave.maker) for wave in waves} == {(line, maker)}
    assert sum(map(len, index.waves_by_maker.values())) == len(index.waves)
    for (line, maker), schemes in index.schemes_by_maker.items():
        assert all(maker in scheme.makers and scheme.id.startswith(f"{line}/") for scheme in schemes)
    assert sum(map(len, index.schemes_by_maker.values())) == sum(
        len(s.makers) for s in index.schemes.values()
    )


def test_every_table_is_the_one_of_its_kind(index: Index) -> None:
    """The named tables hold what the records of the kind are, under their ids."""
    for kind in KINDS.values():
        table = index.retired if kind.name == "tombstone" else getattr(index, kind.plural, None)
        if table is not None and kind.name not in ("dataset", "waiver"):
            assert dict(table) == dict(index.tables[kind.name]), kind.name
            assert all(record.id == full for full, record in table.items()), kind.name


def test_cards_of_a_figure_come_face_by_face(index: Index) -> None:
    """All cards whose face shows the figure, in the order of its faces; none for what is no figure."""
    figure = "tidewrack/figure/lamp-diver"
    wanted = [c for f in index.faces_by_figure[figure] for c in index.cards.values() if c.face == f]
    assert list(index.cards_of(figure)) == wanted
    assert wanted
    assert index.cards_of("tidewrack/figure/nobody") == ()


def test_a_feature_is_the_line_s_own_before_the_general_one(index: Index) -> None:
    """A record means its own line's feature; another line the general one; a made-up name none."""
    own = next(full for full in index.features if not full.startswith("feature/"))
    line, _, slug = own.split("/")
    general = next(full for full in index.features if full.startswith("feature/"))
    found = index.feature(slug, line)
    assert found is not None
    assert found.id == own
    assert index.feature(general.removeprefix("feature/"), line) is index.features[general]
    assert index.feature("nothing-such", line) is None
    tables = dict(index.tables)
    tables["feature"] = {**index.features, f"feature/{slug}": index.features[general]}
    assert Index(tables).feature(slug, line) is index.features[own]
    assert Index(tables).feature(slug, "other-line") is index.features[general]


def test_sources_are_named_once_in_the_order_of_the_records(index: Index) -> None:
    """What several records name is told once; what is not recorded, or has no sources, names none."""
    cards = [card.id for card in index.cards.values() if card.sources][:3]
    named = [source for card in cards for source in index.cards[card].sources]
    assert index.sources_of([*cards, *cards]) == tuple(dict.fromkeys(named))
    assert index.sources_of(["tidewrack/quay-marl/none", "nothing", *index.terms]) == ()


def test_what_is_derived_is_worked_out_once(index: Index) -> None:
    """A function's result is kept with the index, and gone with a copy of it."""
    calls: list[Index] = []

    def count(of: Index) -> int:
        calls.append(of)
        return len(of.cards)

    assert index.derived(count) == index.derived(count) == len(index.cards)
    assert len(calls) == 1
    assert Index(index.tables).derived(count) == len(index.cards)
    assert len(calls) == 2


def test_of_two_records_with_one_id_the_first_is_kept() -> None:
    """What does not fit the model is left out, and records without ids are numbered."""
    loaded = Loaded(home().dataset)
    file = LoadedFile("sources.yaml", None)
    first = Source(id="source/a", kind=SourceKind.PRINT, citation="one")
    second = Source(id="source/a", kind=SourceKind.PRINT, citation="two")
    loaded.entries["source"] = [
        Entry("source", "source/bad", None, file, ()),
        Entry("source", "source/a", first, file, ()),
        Entry("source", "source/a", second, file, ()),
        Entry("source", "", second, file, ()),
    ]
    assert dict(from_loaded(loaded).sources) == {"source/a": first, "source/3": second}


# --- look-ups --------------------------------------------------------------------------------------------


def test_an_id_tells_its_record_and_kind(index: Index) -> None:
    """Every full id leads to its record; what is none leads to nothing."""
    for kind, table in index.tables.items():
        if kind in ("dataset", "tombstone", "waiver"):
            continue
        for full, record in table.items():
            assert index.get(full) is record or index.get(full) == record
            assert index.kind(full) == kind
            assert full in index
    for full in (
        "tidewrack/quay-marl/b-999",
        "tidewrack/figure/nobody",
        "",
        "a/b/c/d",
        "maker/nobody",
        "nobody",
    ):
        assert index.get(full) is None
        assert index.kind(full) == ""
        assert full not in index


B17 = "tidewrack/quay-marl/b-017"


@pytest.mark.parametrize(
    ("text", "found"),
    [
        (B17, (B17,)), (B17.upper(), (B17,)), ("  quay-marl   25B ", (B17,)), ("quay-marl/b-017", (B17,)),
        ("Quay and Marl 25b", (B17,)), ("tidewrack quay-marl 25B", (B17,)), ("quay-marl 25Q", ()),
        ("tidewrack/quay-marl 25B", (B17,)), ("night-post quay-marl 25B", ()), ("quay-mral 25B", ()),
        ("quay-marl", ("maker/quay-marl",)), ("tidewrack night-post b-017", ()),
        ("quay-marl f-001", ("tidewrack/quay-marl/f-001",)), ("night-post quay-marl f-001", ()),
        ("tidewrack quay-marl f-001", ("tidewrack/quay-marl/f-001",)),
        ("Ο ΔΥΤΗΣ ΜΕ ΤΟ ΦΑΝΑΡΙ", ("tidewrack/figure/lamp-diver",)),
        ("lamp-diver", ("tidewrack/figure/lamp-diver",)),
        ("", ()), ("   ", ()), ("x" * 301, ()), ("quay-marl b-015", ("tidewrack/quay-marl/b-011",)),
        ("tidewrack/quay-marl/b-015", ("tidewrack/quay-marl/b-011",)),
        ("c-0201", ("tidewrack/quay-marl/c-0200", "tidewrack/quay-marl/c-0202")),
        ("reef-walker-driver", ()), ("visitors-1997", ("source/visitors-1998",)),
    ],
)  # fmt: skip
def test_what_people_write_finds_what_they_mean(index: Index, text: str, found: tuple[str, ...]) -> None:
    """Ids, short ids, maker and designation, names, retired ids; a wrong line or maker finds nothing."""
    assert index.find(text) == found


def test_a_bare_count_means_all_its_letters(index: Index) -> None:
    """A count alone is every maker's, with a line that line's, with a maker that maker's."""
    every = index.find("12", ("back",))
    assert set(every) == {full for full, back in index.backs.items() if back.designation.count == 12}
    of_line = index.find("tidewrack 12", ("back",))
    assert set(of_line) == {full for full in every if full.startswith("tidewrack/")}
    of_maker = index.find("quay-marl 12", ("back",))
    assert set(of_maker) == {full for full in every if "/quay-marl/" in full}
    assert len(every) > len(of_line) > len(of_maker) > 0


def test_the_kind_that_is_asked_for_decides(index: Index) -> None:
    """One name of two kinds is found as each; without a kind as all that may be meant."""
    assert index.find("tidewrack", ("series",)) == ("tidewrack/series/tidewrack",)
    assert index.find("tidewrack", ("line",)) == ("tidewrack",)
    assert index.find("tidewrack", ("figure",)) == ()
    assert index.find("lamp diver", ("maker",)) == ()


def test_one_record_or_an_error_that_helps(index: Index) -> None:
    """One match is given; none tells the nearest names of that kind; several are all told."""
    assert index.one("quay-marl 25B", "back") is index.backs[B17]
    with pytest.raises(UnknownRecord) as unknown:
        index.one("lamp divr", "figure")
    assert unknown.value.what == "figure"
    assert "lamp diver" in unknown.value.suggestions
    with pytest.raises(AmbiguousRecord) as ambiguous:
        index.one("quay-marl 25", "back")
    assert ambiguous.value.matches == index.find("quay-marl 25", ("back",))


def test_suggestions_are_of_the_kind_asked_for(index: Index) -> None:
    """A misspelt name is told as it is written right, of the kind asked for and of no other."""
    assert index.suggest("quay-mral 25B", "back")[0] == "quay-marl 25B"
    assert "quay-marl" in index.suggest("quay-mral", "maker")
    assert "tidewrack" in index.suggest("tidewrak", "series")
    assert not set(index.suggest("quay-mral 25B", "figure")) & {"quay-marl 25B"}
    assert index.suggest("lamp divr")
    assert index.suggest("zzzzzzzzzz") == ()


# --- retired ids -----------------------------------------------------------------------------------------


def _retired(**into: str) -> Index:
    """An index in which sources a, b ... are retired into others, and x and y stand."""
    standing = {
        f"source/{name}": Source(id=f"source/{name}", kind=SourceKind.PRINT, citation=name) for name in "xy"
    }
    stones = {
        f"source/{name}": Tombstone(
            id=f"source/{name}", reason="r", replaced_by=tuple(f"source/{to}" for to in others.split())
        )
        for name, others in into.items()
    }
    return Index(_tables(source=standing, tombstone=stones))


@pytest.mark.parametrize(
    ("into", "current"),
    [
        ({"a": "x"}, ("x",)), ({"a": "b", "b": "x"}, ("x",)), ({"a": "x y"}, ("x", "y")),
        ({"a": "y x"}, ("y", "x")), ({"a": "b c", "b": "y", "c": "x"}, ("y", "x")), ({"a": ""}, ()),
        ({"a": "a"}, ()), ({"a": "b", "b": "a x"}, ("x",)), ({"a": "gone"}, ()),
        ({"a": "b b", "b": "x"}, ("x",)), ({}, ()),
    ],
)  # fmt: skip
def test_a_retired_id_leads_to_what_stands_today(into: dict[str, str], current: tuple[str, ...]) -> None:
    """Step by step, in the order of the tombstones; circles and dead ends end quietly."""
    assert _retired(**into).current("source/a") == tuple(f"source/{name}" for name in current)


def test_what_was_never_retired_stands_for_itself() -> None:
    """An id that is in use is current as it is."""
    assert _retired(a="x").current("source/x") == ("source/x",)


def test_a_retired_id_is_known_by_its_last_parts() -> None:
    """Whole or without what leads to it, whatever the case; a part of a word is not enough."""
    index = _retired(a="x", ab="y")
    assert index.retired_named("source/a") == ("source/a",)
    assert index.retired_named("SOURCE A") == ("source/a",)
    assert index.retired_named("a") == ("source/a",)
    assert index.retired_named("") == ()
    assert index.retired_named("b") == ()
