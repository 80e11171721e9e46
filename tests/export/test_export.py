"""Exports: whole, deterministic, honest about themselves, and equal to what the facts say."""

import csv
import io
import json
import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from frictionless import Package
from jsonschema import Draft202012Validator

import cardref
from cardref.cli import main
from cardref.export.as_json import as_json, schema
from cardref.export.as_package import as_package
from cardref.export.as_sqlite import write_sqlite
from cardref.export.relations import relations
from cardref.facts.bounds import released
from cardref.facts.pictures import pictured
from cardref.facts.printings import first_back, run
from cardref.facts.separation import siblings
from cardref.facts.timing import debut
from cardref.model.kinds import KINDS


@pytest.fixture(scope="module")
def ref() -> cardref.Reference:
    """The bundled demo reference."""
    return cardref.load()


@pytest.fixture(scope="module")
def base(ref: cardref.Reference, tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """The reference as a database."""
    path = tmp_path_factory.mktemp("sqlite") / "cardref.sqlite"
    write_sqlite(ref.index, path)
    connection = sqlite3.connect(path)
    yield connection
    connection.close()


def test_the_database_is_sound(base: sqlite3.Connection) -> None:
    """SQLite's own checks find nothing: pages, indexes and every foreign key."""
    assert base.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    assert base.execute("PRAGMA foreign_key_check").fetchall() == []


def test_the_database_has_every_record(base: sqlite3.Connection, ref: cardref.Reference) -> None:
    """One row a record, in a table named after its kind."""
    for kind in KINDS:
        (count,) = base.execute(f'SELECT count(*) FROM "{kind}"').fetchone()  # noqa: S608 - our own names
        assert count == len(ref.index.tables[kind]), kind


def test_the_view_of_pictured_figures_agrees_with_the_facts(
    base: sqlite3.Connection, ref: cardref.Reference
) -> None:
    """The recursive view gives, for every back, just the figures that the facts derive."""
    for back in ref.backs.values():
        seen = pictured(ref.backs, back)
        rows = base.execute(
            "SELECT figure_id, silhouette FROM pictured WHERE back_id = ?", (back.id,)
        ).fetchall()
        assert {figure for figure, _ in rows} == set(seen.figures if seen else ()), back.id
        if seen:
            assert {figure for figure, dark in rows if dark} == set(seen.silhouettes) & set(seen.figures)


def test_the_view_of_debuts_agrees_with_the_facts(base: sqlite3.Connection, ref: cardref.Reference) -> None:
    """Every debut in the view is one that the facts know."""
    rows = base.execute("SELECT figure_id, maker_id, wave_id FROM debut").fetchall()
    assert rows
    for figure, maker, wave in rows:
        known = debut(ref.index, figure, maker)
        assert known is not None
        assert wave in (known.wave, *known.again)


def test_what_follows_is_what_the_facts_say(base: sqlite3.Connection, ref: cardref.Reference) -> None:
    """Releases, order of printing, first backs and runs, and what tells siblings apart, record by record."""
    index = ref.index
    for full, earliest, _, latest, _ in base.execute("SELECT * FROM derived_release"):
        bounds = released(index, full)
        assert earliest == (str(bounds.earliest.day) if bounds.earliest else None), full
        assert latest == (str(bounds.latest.day) if bounds.latest else None), full
    runs: dict[tuple[str, str], list[str]] = {}
    for figure, maker, back in base.execute(
        "SELECT figure_id, maker_id, back_id FROM figure_run ORDER BY figure_id, maker_id, place"
    ):
        runs.setdefault((figure, maker), []).append(back)
    assert runs
    for (figure, maker), backs in runs.items():
        ours = [back for back in run(index, figure, maker) if back.startswith(figure.partition("/")[0])]
        assert backs == ours
    firsts = base.execute("SELECT figure_id, maker_id, back_id, sure FROM derived_first_back").fetchall()
    assert {(figure, maker): back for figure, maker, back, _ in firsts} == {
        pair: backs[0] for pair, backs in runs.items()
    }
    for figure, maker, _, sure in firsts:
        assert sure == (first_back(index, figure, maker).verdict == "yes")
    alike = {
        frozenset(pair)
        for pair in base.execute("SELECT back_id, other_id FROM derived_separation WHERE told_apart = 'no'")
    }
    assert alike == {frozenset((p.one, p.other)) for group in siblings(index) for p in group.alike}
    count = base.execute("SELECT count(*) FROM derived_separation").fetchone()[0]
    assert count == sum(len(g.backs) * (len(g.backs) - 1) // 2 for g in siblings(index))


def test_siblings_share_maker_and_count(base: sqlite3.Connection, ref: cardref.Reference) -> None:
    """The view pairs backs of one maker's line with one count, and nothing else."""
    pairs = set(base.execute("SELECT back_id, sibling_id FROM sibling").fetchall())
    groups = ref.index.backs_by_group.values()
    assert pairs == {(a, b) for ids in groups for a in ids for b in ids if a != b}


def test_the_overview_counts_sightings(base: sqlite3.Connection, ref: cardref.Reference) -> None:
    """One row a card, with its sightings added up."""
    rows = base.execute("SELECT card_id, seen FROM card_overview").fetchall()
    assert dict(rows) == {card.id: card.seen for card in ref.cards.values()}


def test_the_database_is_the_same_bytes_again(ref: cardref.Reference, tmp_path: Path) -> None:
    """The same records give the same file."""
    write_sqlite(ref.index, tmp_path / "a.sqlite")
    write_sqlite(ref.index, tmp_path / "b.sqlite")
    assert (tmp_path / "a.sqlite").read_bytes() == (tmp_path / "b.sqlite").read_bytes()


def test_what_refers_is_indexed_unless_its_key_begins_with_it(base: sqlite3.Connection) -> None:
    """Every look from a record to those that refer to it goes by an index, and none is kept twice."""
    names = {relation.name for relation in relations()}
    wanted = {
        f"{relation.name}_by_{column.name}"
        for relation in relations()
        for column in relation.columns
        if column.refers in names and relation.key[0] != column.name
    }
    rows = base.execute("SELECT name FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL").fetchall()
    assert {name for (name,) in rows} == wanted
    assert "card_by_back" in wanted
    assert "back_pictures_plus_by_back_id" not in wanted


def test_nothing_is_overwritten(ref: cardref.Reference, tmp_path: Path) -> None:
    """An export into a directory that has the file is refused and leaves it alone."""
    target = tmp_path / "cardref.sqlite"
    target.write_text("mine")
    with pytest.raises(cardref.CardrefError, match="nothing is overwritten"):
        write_sqlite(ref.index, target)
    assert target.read_text() == "mine"
    (tmp_path / "cardref.json").write_text("mine")
    assert main(["export", "json", str(tmp_path)]) == 2
    assert (tmp_path / "cardref.json").read_text() == "mine"
    assert not (tmp_path / "cardref.schema.json").exists()


def test_the_package_is_valid_frictionless(tmp_path: Path) -> None:
    """Package frictionless finds no error in any table, foreign keys included."""
    assert main(["export", "datapackage", str(tmp_path / "package")]) == 0
    report = Package(str(tmp_path / "package" / "datapackage.json")).validate()
    assert report.valid, report.flatten(["type", "message"])


def _unguarded(cell: str) -> str:
    front = cell[1:] if re.match(r"'+[=+\-@\t\r].", cell, re.DOTALL) else cell
    return re.sub(r"""([;|\t\r\n][\s'"]*)'([=+\-@])""", r"\1\2", front)


def test_the_package_loses_nothing(ref: cardref.Reference) -> None:
    """Read back as RFC 4180 says, every cell is what the relation holds, but for guards against formulas."""
    files = as_package(ref.index)
    for relation in relations():
        rows = list(csv.reader(io.StringIO(files[f"data/{relation.name}.csv"].decode(), newline="")))
        assert rows[0] == [column.name for column in relation.columns]
        kinds = [column.type for column in relation.columns]
        for read, held in zip(rows[1:], relation.rows(ref.index), strict=True):
            for cell, value, kind in zip(read, held, kinds, strict=True):
                if kind == "boolean":
                    assert cell == ("true" if value else "false")
                else:
                    assert _unguarded(cell) == ("" if value is None else str(value))


def test_the_json_file_fits_its_schema_and_tells_what_it_is(ref: cardref.Reference) -> None:
    """Version, licence, fingerprint and the word that it is invented stand inside."""
    value = json.loads(as_json(ref.index))
    Draft202012Validator(schema()).validate(value)
    assert value["about"]["fingerprint"] == ref.fingerprint
    assert value["about"]["version"] == ref.version
    assert "Invented demo data" in value["about"]["notice"]
    assert "inspected in hand" in value["about"]["caution"]
    assert len(value["cards"]) == len(ref.cards)


def test_the_package_says_that_it_is_invented(ref: cardref.Reference, base: sqlite3.Connection) -> None:
    """Whoever opens an export without the program is told as well."""
    assert b"Invented demo data" in as_package(ref.index)["datapackage.json"]
    assert "Invented demo data" in dict(base.execute("SELECT name, value FROM about").fetchall())["notice"]


def _layered(tmp_path: Path, ref: cardref.Reference) -> cardref.Reference:
    """A layer of one's own over the bundled reference: one back said otherwise, with a hostile note."""
    mine = tmp_path / "mine"
    folder = mine / "lines" / "tidewrack" / "backs"
    folder.mkdir(parents=True)
    (mine / "dataset.yaml").write_text(
        'id: mine\ntitle: Mine\nversion: "2026.11"\nlicence: MIT OR CC-BY-4.0\nmodel: 1\n'
    )
    (folder / "quay-marl.yaml").write_text(
        "line: tidewrack\nmaker: quay-marl\nbacks:\n  - id: b-017\n    designation: 25Z\n"
        "    series: tidewrack\n    count: 25\n    note: '=1+1'\n"
    )
    return cardref.load(mine, over=ref)


def test_layers_are_named_in_every_export(ref: cardref.Reference, tmp_path: Path) -> None:
    """Of several datasets each record tells the one that it is from, and every licence is named."""
    layered = _layered(tmp_path, ref)
    ids = {full for full in layered.index.origin if layered.layer_of(full) != ref.name}
    assert ids == {"tidewrack/quay-marl/b-017"}
    value = json.loads(as_json(layered.index))
    Draft202012Validator(schema()).validate(value)
    files = as_package(layered.index)
    rows = list(csv.reader(io.StringIO(files["data/layer.csv"].decode(), newline="")))[1:]
    write_sqlite(layered.index, tmp_path / "layered.sqlite")
    with sqlite3.connect(tmp_path / "layered.sqlite") as base:
        told = base.execute("SELECT id, layer FROM layer").fetchall()
        licence = base.execute("SELECT value FROM about WHERE name = 'licence'").fetchone()[0]
    base.close()
    for found in (value["layers"], dict(rows), dict(told)):
        assert {full for full, name in found.items() if name == layered.name} == ids
        assert set(found.values()) == set(layered.layers)
    assert licence == value["about"]["licence"] == "(MIT OR CC-BY-4.0) AND CC0-1.0"
    names = [one["name"] for one in json.loads(files["datapackage.json"])["licenses"]]
    assert names == ["MIT OR CC-BY-4.0", "CC0-1.0"]
    assert "Invented demo data is among it" in value["about"]["notice"]


def test_no_cell_of_the_package_is_run(ref: cardref.Reference, tmp_path: Path) -> None:
    """A note that begins like a formula gets an apostrophe; a database and JSON hold it as it is."""
    layered = _layered(tmp_path, ref)
    text = as_package(layered.index)["data/back.csv"].decode()
    assert "'=1+1" in text
    assert ",=1+1" not in text
    notes = {back["id"]: back.get("note") for back in json.loads(as_json(layered.index))["backs"]}
    assert notes["tidewrack/quay-marl/b-017"] == "=1+1"
