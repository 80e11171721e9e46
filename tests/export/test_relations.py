"""Records as rows: nothing is lost, ids lead on, dates have their days."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

import cardref
from cardref.export.as_package import _cell
from cardref.export.relation import Relation
from cardref.export.relations import relations
from cardref.index import Index
from cardref.model.card import Card
from cardref.model.face import NO_CODE, Face
from cardref.model.kinds import KINDS, Record, Scope, short_id
from cardref.model.series import Series
from cardref.model.wave import Wave
from cardref.notation.edtf import Date
from cardref.storage.plain import plain

BY_NAME = {relation.name: relation for relation in relations()}


@pytest.fixture(scope="module")
def index() -> Index:
    """The bundled demo reference."""
    return cardref.load().index


def _index(**tables: Mapping[str, Record]) -> Index:
    return Index({kind: tables.get(kind, {}) for kind in KINDS})


def _rows(name: str, index: Index) -> list[dict[str, Any]]:
    columns = [column.name for column in BY_NAME[name].columns]
    return [dict(zip(columns, row, strict=True)) for row in BY_NAME[name].rows(index)]


def _of_kind(kind: str) -> list[Relation]:
    """The relations that hold the records of a kind themselves: not what follows from them."""
    return [
        relation
        for relation in relations()
        if relation.name == kind or (relation.columns[0].name == f"{kind}_id" and "_" in relation.name)
    ]


def _leaves(value: Any) -> Iterator[str]:
    if isinstance(value, (dict, list)):
        for item in value.values() if isinstance(value, dict) else value:
            yield from _leaves(item)
    else:
        yield str(int(value)) if isinstance(value, bool) else str(value)


@pytest.mark.parametrize("kind", [kind for kind in KINDS if KINDS[kind].scope is not Scope.NONE])
def test_every_value_of_every_record_is_in_a_row(index: Index, kind: str) -> None:
    """Whatever a record says stands in a cell of its own rows, as often as it is said."""
    cells: dict[str, Counter[str]] = {}
    for relation in _of_kind(kind):
        for row in relation.rows(index):
            own = (str(cell) for cell in row[1:] if cell is not None)
            cells.setdefault(str(row[0]), Counter()).update(own)
            cells[str(row[0])].update([str(row[0])] * (relation.name == kind))
    for full, record in index.tables[kind].items():
        lost = Counter(_leaves(plain(record))) - cells[full]
        assert not lost, full


def test_rows_stand_in_the_order_of_the_records_and_are_told_apart(index: Index) -> None:
    """The key of every relation tells its rows apart, and a position counts from 1."""
    for relation in relations():
        names = [column.name for column in relation.columns]
        assert len(set(names)) == len(names), relation.name
        places = [names.index(name) for name in relation.key]
        keys = [tuple(row[place] for place in places) for row in relation.rows(index)]
        assert len(set(keys)) == len(keys), relation.name
        for row in _rows(relation.name, index):
            assert row.get("position", 1) != 0
            assert all(row[column.name] is not None for column in relation.columns if column.required)
    assert [row["id"] for row in _rows("back", index)] == list(index.backs)


def test_ids_lead_to_records(index: Index) -> None:
    """What a column refers to is there, but for features: these may be a line's own or general."""
    for relation in relations():
        for column in relation.columns:
            if column.refers in KINDS:
                table = index.tables[column.refers]
                for row in _rows(relation.name, index):
                    cell = row[column.name]
                    assert cell is None or cell in table, (relation.name, column.name, cell)


def test_a_record_tells_its_line_and_maker(index: Index) -> None:
    """By its id, where its kind is kept in a line or in a maker's part of one."""
    for row in _rows("back", index):
        line, maker, _ = row["id"].split("/")
        assert (row["line"], row["maker"]) == (line, f"maker/{maker}")
    assert {row["line"] for row in _rows("figure", index)} == set(index.lines)
    assert "line" not in _rows("source", index)[0]


@pytest.mark.parametrize(
    ("date", "cells"),
    [
        (None, (None, None, None)),
        ("1982~", ("1982~", "1982-01-01", "1982-12-31")),
        ("1982-02", ("1982-02", "1982-02-01", "1982-02-28")),
        ("1982/..", ("1982/..", "1982-01-01", None)),
        ("/1985", ("/1985", None, "1985-12-31")),
        ("Y10000", ("Y10000", None, None)),
        ("9999", ("9999", "9999-01-01", "9999-12-31")),
        ("-0001", ("-0001", None, None)),
        ("0000", ("0000", "0000-01-01", "0000-12-31")),
    ],
)
def test_a_date_keeps_its_text_and_gets_its_days(date: str | None, cells: tuple[str | None, ...]) -> None:
    """The first and last day that it can be, where a column of dates can hold them."""
    years = Date.parse(date) if date else None
    row = _rows("series", _index(series={"l/series/s": Series(id="l/series/s", title="S", years=years)}))[0]
    assert (row["years"], row["years_earliest"], row["years_latest"]) == cells


def test_a_word_in_the_place_of_a_list_has_a_column() -> None:
    """No code printed, or none read, is told beside the table of codes; nobody looked is neither."""
    faces = {
        f"l/m/f-{number}": Face(id=f"l/m/f-{number}", figure="l/figure/a", series="l/series/s", codes=codes)
        for number, codes in enumerate((NO_CODE, ("A1", "A2"), None))
    }
    index = _index(face=faces)
    assert [row["codes_state"] for row in _rows("face", index)] == ["none", None, None]
    assert [(r["face_id"], r["position"], r["value"]) for r in _rows("face_code", index)] == [
        ("l/m/f-1", 1, "A1"),
        ("l/m/f-1", 2, "A2"),
    ]


def test_features_of_a_record_are_told_by_full_id(index: Index) -> None:
    """The line's own feature or the general one, an unknown one by its slug; a state is a row."""
    own = next(full for full in index.features if not full.startswith("feature/"))
    general = next(full for full in index.features if full.startswith("feature/"))
    line = own.split("/")[0]
    states = {short_id(own): ("a", "b"), short_id(general): ("c",), "nothing-such": ("d",)}
    card = Card(id=f"{line}/m/c-1", face="f", back="b", features=states)
    rows = _rows("card_feature", _index(card={card.id: card}, feature=dict(index.features)))
    assert [(row["key"], row["position"], row["value"]) for row in rows] == [
        (own, 1, "a"), (own, 2, "b"), (general, 1, "c"), ("nothing-such", 1, "d"),
    ]  # fmt: skip


def test_flags_are_numbers_in_rows_and_words_in_csv() -> None:
    """A database has no other way to say yes; a table for people has."""
    wave = Wave(id="l/wave/w", maker="maker/m", series="l/series/s", starts_over=True)
    assert _rows("wave", _index(wave={wave.id: wave}))[0]["starts_over"] == 1
    assert [_cell(cell, "boolean") for cell in (1, 0, None)] == ["true", "false", ""]
    assert [_cell(cell, "text") for cell in ("x", None)] == ["x", ""]
