"""A reference as an SQLite database: foreign keys, indexes, and views for what follows from the records.

>>> schema_text().count("CREATE VIEW")
6
"""

import sqlite3
import tempfile
from collections.abc import Iterator
from pathlib import Path

from cardref.errors import CardrefError
from cardref.export.about import about
from cardref.export.relation import Column, Relation
from cardref.export.relations import relations
from cardref.index import Index
from cardref.storage.atomic import Change, write_changes

__all__ = ["schema_text", "write_sqlite"]

_AFFINITY = {"text": "TEXT", "integer": "INTEGER", "number": "REAL", "boolean": "INTEGER", "date": "TEXT"}

# What follows from the records, worked out by the database. Tests hold each view equal to cardref.facts.
_VIEWS = """
CREATE VIEW pictured AS
WITH RECURSIVE step(back_id, at, depth) AS (
  SELECT back_id, back_id, 0 FROM back_pictures
  UNION ALL
  SELECT step.back_id, p.based_on, depth + 1
  FROM step JOIN back_pictures p ON p.back_id = step.at
  WHERE p.based_on IS NOT NULL AND depth < 200
), change(back_id, figure_id, depth, added) AS (
  SELECT step.back_id, plus.value, depth, 1 FROM step JOIN back_pictures_plus plus ON plus.back_id = step.at
  UNION ALL
  SELECT step.back_id, minus.value, depth, 0
  FROM step JOIN back_pictures_minus minus ON minus.back_id = step.at
), latest AS (
  SELECT back_id, figure_id, min(depth) AS depth FROM change GROUP BY back_id, figure_id
)
SELECT latest.back_id, latest.figure_id,
  EXISTS (SELECT 1 FROM back_pictures_silhouette s
          WHERE s.back_id = latest.back_id AND s.value = latest.figure_id) AS silhouette
FROM latest JOIN change USING (back_id, figure_id, depth)
GROUP BY latest.back_id, latest.figure_id HAVING max(added) = 1;

CREATE VIEW debut AS
SELECT d.value AS figure_id, w.maker AS maker_id, d.wave_id, w.date
FROM wave_debut d JOIN wave w ON w.id = d.wave_id;

CREATE VIEW card_overview AS
SELECT card.id AS card_id, figure.id AS figure_id, face.series AS face_series_id, back.id AS back_id,
  back.designation, back.count, back.series AS back_series_id, card.standing,
  (SELECT coalesce(sum(s.count), 0) FROM card_sighting s WHERE s.card_id = card.id) AS seen
FROM card JOIN face ON face.id = card.face JOIN figure ON figure.id = face.figure
JOIN back ON back.id = card.back;

CREATE VIEW figure_run AS
SELECT pictured.figure_id, back.maker AS maker_id, o.place, pictured.back_id, pictured.silhouette
FROM pictured JOIN back ON back.id = pictured.back_id JOIN derived_order o ON o.back_id = back.id;

CREATE VIEW sibling AS
SELECT a.id AS back_id, b.id AS sibling_id
FROM back a JOIN back b ON a.line = b.line AND a.maker = b.maker AND a.count = b.count AND a.id <> b.id;

CREATE VIEW face_on_code AS
SELECT code.value AS code, face.id AS face_id, face.figure AS figure_id
FROM face_code code JOIN face ON face.id = code.face_id;
"""


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'


def _column(column: Column, relation: Relation, names: set[str]) -> str:
    words = [_quoted(column.name), _AFFINITY[column.type]]
    if column.required or column.name in relation.key:
        words.append("NOT NULL")
    if column.refers in names:
        words.append(f"REFERENCES {_quoted(column.refers)} (id) DEFERRABLE INITIALLY DEFERRED")
    return " ".join(words)


def schema_text() -> str:
    """The SQL that makes the empty database."""
    return "\n".join(_schema())


def _schema() -> Iterator[str]:
    names = {relation.name for relation in relations()}
    yield "CREATE TABLE about (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;"
    for relation in relations():
        columns = [_column(column, relation, names) for column in relation.columns]
        columns.append(f"PRIMARY KEY ({', '.join(map(_quoted, relation.key))})")
        yield f"CREATE TABLE {_quoted(relation.name)} ({', '.join(columns)}) WITHOUT ROWID;"
        for column in relation.columns:
            if column.refers in names and relation.key[:1] != (column.name,):
                name = f"{relation.name}_by_{column.name}"
                yield f"CREATE INDEX {_quoted(name)} ON {_quoted(relation.name)} ({_quoted(column.name)});"
    yield _VIEWS.strip()


def write_sqlite(index: Index, path: Path) -> None:
    """Write the reference to ``path``, which must not exist. The same records give the same bytes.

    Errors: CardrefError where a record refers to nothing, or the file cannot be written.
    """
    if path.exists():
        raise CardrefError(f"{path} exists: name a file that does not, nothing is overwritten")
    # Made elsewhere, so that no half of a database ever lies where it is to be.
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "made.sqlite"
        try:
            _fill(index, made)
        except sqlite3.IntegrityError as error:
            raise CardrefError(
                f"{path} was not written: {error}; `cardref check` names broken references"
            ) from error
        except sqlite3.Error as error:
            raise CardrefError(
                f"{path} was not written: {error}; see whether there is room in {tempfile.gettempdir()}"
            ) from error
        write_changes(path.parent, [Change(path.name, None, made.read_bytes())])


def _fill(index: Index, path: Path) -> None:
    base = sqlite3.connect(path, isolation_level=None)
    try:
        base.execute("PRAGMA journal_mode = OFF")
        base.execute("PRAGMA foreign_keys = ON")
        base.execute("BEGIN")
        for statement in schema_text().split(";\n"):
            if statement.strip():
                base.execute(statement)
        base.executemany("INSERT INTO about VALUES (?, ?)", [(k, str(v)) for k, v in about(index).items()])
        for relation in relations():
            marks = ", ".join("?" * len(relation.columns))
            base.executemany(f"INSERT INTO {_quoted(relation.name)} VALUES ({marks})", relation.rows(index))  # noqa: S608 - names are the model's own
        base.execute("COMMIT")
        base.execute("VACUUM")
    finally:
        base.close()
