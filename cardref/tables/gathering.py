"""A list of cards as people keep it, one row a card, into a dataset: figures, backs, faces and cards.

Nobody's own list has ids. A row names a figure and a back as people do (``Lamp Diver``, ``25B``); what is
there already is found, what is not is added with the next free id. Nothing that is recorded is changed: a row
that says otherwise than a record is told, and corrected in the tables.

The columns that there may be, in any order (only ``figure`` and ``back`` are needed):

>>> list(COLUMNS)[:7]
['line', 'maker', 'series', 'figure', 'back', 'codes', 'number']
"""

import re
from collections import Counter
from collections.abc import Hashable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from attrs import define, field

from cardref.errors import NotationError, UsageError
from cardref.index import Index, fold, from_loaded
from cardref.model.kinds import KINDS, short_id
from cardref.notation.designation import Designation
from cardref.notation.nearest import Neighbours, distance
from cardref.schema.explain import problems
from cardref.starting.start import slug
from cardref.storage.layout import path_for
from cardref.storage.plain import plain
from cardref.tables.cells import (
    LIST,
    NUMBER,
    TEXT,
    CellError,
    as_month,
    dropped_zero,
    looks_eaten,
    unguarded,
    value_of,
)
from cardref.tables.sheetfile import Row, SheetError, load_rows
from cardref.tables.work import Import, Work
from cardref.text import clip, closest, quoted, visible

__all__ = ["COLUMNS", "read_list"]

COLUMNS: Mapping[str, tuple[str, str]] = {
    "line": (TEXT, "the line, where the dataset has several"),
    "maker": (TEXT, "the maker; the line's home maker where left out"),
    "series": (TEXT, "the series, where the line has several"),
    "figure": (TEXT, "the figure's name"),
    "back": (TEXT, "back count and letter, such as 25B"),
    "codes": (LIST, "package codes as printed"),
    "number": (TEXT, "product number as printed"),
    "barcode": (TEXT, "barcode as printed"),
    "name": (TEXT, "the figure's name as printed, where it differs"),
    "languages": (LIST, "languages of the card, such as en; fr"),
    "made": (TEXT, "production, proof or announced"),
    "released": (TEXT, "when it reached the shops, such as 1982-03"),
    "seen": (NUMBER, "how many specimens were seen"),
    "standing": (TEXT, "confirmed, reported, disputed, refuted or unverified"),
    "sources": (LIST, "short names of sources; separated by ;"),
    "note": (TEXT, "what else is worth telling"),
}
"""Header -> what its cells hold, and what it is about."""

_ALSO = {
    "code": "codes",
    "source": "sources",
    "language": "languages",
    "designation": "back",
    "notes": "note",
}
"""Headers that mean another: one code is a code."""
_SHORTEST, _LONGEST = 4, 100
"""Between these lengths two names one slip apart are thought to be one."""
_FACE = ("codes", "number", "barcode", "name", "languages")
_CODED = frozenset({"codes", "number", "barcode", "back"})


class _RefusedError(Exception):
    """A row that cannot be taken, with the cell (from 1) that is at fault."""

    def __init__(self, rule: str, header: str, message: str, value: str = "") -> None:
        super().__init__(message)
        self.rule, self.header, self.value = rule, header, value


@define
class _Shelf:
    """The records of one kind of a line (or a maker in it), as they are and will be."""

    kind: str
    file: str
    lead: str
    next_id: tuple[str, int, int]
    digits: dict[str, list[str]] = field(factory=dict)
    _found: dict[Hashable, list[dict[str, Any]]] = field(factory=dict)

    @classmethod
    def of(cls, kind: str, file: str, lead: str, records: Iterable[dict[str, Any]]) -> "_Shelf":
        """With all records that there are."""
        shelf = cls(kind, file, lead, (f"{kind[0]}-", 3, 0))
        for record in records:
            shelf.put(record)
        return shelf

    def put(self, record: dict[str, Any]) -> None:
        """One more record."""
        for key in self._keys(record):
            self._found.setdefault(key, []).append(record)
        match = re.fullmatch(r"([a-z]+-)([0-9]+)", record["id"])
        if match and int(match[2]) > self.next_id[2]:
            self.next_id = match[1], len(match[2]), int(match[2])
        for header in ("number", "barcode"):
            if header in record:
                self.digits.setdefault(header, []).append(record[header])

    def get(self, *key: Hashable) -> list[dict[str, Any]]:
        """The records that are called this: see :meth:`_keys`."""
        return self._found.get(key, [])

    def _keys(self, record: dict[str, Any]) -> set[Hashable]:
        match self.kind:
            case "figure":
                names = [text for name in record["names"] for text in (name["text"], name.get("latin", ""))]
                return {(record["id"],), *((fold(text),) for text in names if text)}
            case "back":
                return {(record["designation"],), (record["count"],)}
            case "face":
                return {(record["figure"], record["series"])}
            case _:
                return {(record["face"], record["back"])}


_New = tuple[dict[str, Any], _Shelf]
"""A record to be added, and where."""


@define
class _List:
    """A list under way."""

    work: Work
    index: Index
    table: str
    where: dict[str, int]
    often: Counter[str]
    shown: dict[str, str]
    head: int
    shelves: dict[str, _Shelf] = field(factory=dict)
    names: tuple[str, ...] = field(init=False)
    near: Neighbours = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.names = tuple(name for name in self.shown if len(name) <= _LONGEST)
        self.near = Neighbours(self.names)

    # --- rows

    def take(self, row: Row) -> None:
        """Take one row; what is wrong with it is told, and nothing of it is kept."""
        try:
            cells = self._cells(row)
            line = self._line(cells)
            maker = self._maker(cells, line)
            added = list(self._records(cells, line, maker))
        except _RefusedError as refused:
            if refused.rule == "missing-cell" and refused.header not in self.where:
                self._lacks_column(refused)
                return
            cell = self.where.get(refused.header, 0) + 1
            self.work.tell(
                refused.rule, self.table, row.number, cell, str(refused), value=clip(refused.value, 100)
            )
            return
        if not added:
            self.work.known += 1
        for record, shelf in added:
            problem = self.work.add(KINDS[shelf.kind], shelf.file, record)
            if problem:
                self.work.tell("missing-file", self.table, row.number, 1, problem)
                return
            shelf.put(record)

    def _lacks_column(self, refused: _RefusedError) -> None:
        """A column that is not there at all is told once, not row by row."""
        self.work.alike += 1
        message = f"the column {refused.header} is missing: {refused}"
        if message not in (finding.message for finding in self.work.findings):
            self.work.tell("missing-column", self.table, self.head, 1, message, value=refused.header)

    def _cells(self, row: Row) -> dict[str, Any]:
        found = {}
        for header, at in self.where.items():
            cell = row.cells[at] if at < len(row.cells) else ""
            if header in _CODED and looks_eaten(cell):
                said = (
                    "a spreadsheet program has changed it. Write what is printed, with an apostrophe in front"
                )
                raise _RefusedError("eaten-cell", header, f"{header} is {quoted(cell)}: {said}", cell)
            try:
                value = value_of(cell, COLUMNS[header][0])
            except CellError as error:
                raise _RefusedError(
                    "ill-formed-cell", header, f"{header} is {quoted(cell)}: {error}", cell
                ) from error
            if value is not None:
                found[header] = value.strip() if isinstance(value, str) else value
        for header in ("made", "standing"):
            if header in found:
                found[header] = found[header].lower()
        for header in ("figure", "back"):
            if header not in found:
                raise _RefusedError(
                    "missing-cell", header, f"the {header} is missing: nothing can be said without it"
                )
        return found

    def _line(self, cells: dict[str, Any]) -> str:
        if "line" in cells:
            return self._one(cells["line"], "line", "line")
        if len(self.index.lines) == 1:
            return next(iter(self.index.lines))
        if not self.index.lines:
            raise _RefusedError(
                "missing-cell", "line", "the dataset has no line: describe it in line.yaml first"
            )
        said = f"say which line, {' or '.join(self.index.lines)}"
        raise _RefusedError("missing-cell", "line", said)

    def _maker(self, cells: dict[str, Any], line: str) -> str:
        if "maker" in cells:
            return short_id(self._one(cells["maker"], "maker", "maker"))
        return short_id(self.index.lines[line].home)

    def _one(self, text: str, kind: str, header: str, lead: str = "") -> str:
        """The full id of the record that ``text`` names."""
        found = [full for full in self.index.find(text, (kind,)) if full.startswith(lead)]
        if len(found) == 1:
            return found[0]
        if found:
            names = " or ".join(map(short_id, found))
            raise _RefusedError(
                "unknown-name", header, f"{header} {quoted(text)} may be {names}: write which", text
            )
        near = self.index.suggest(text, kind)
        file = "line.yaml" if kind == "series" else f"{KINDS[kind].plural}.yaml"
        hint = (
            f"did you mean {short_id(near[0])}?"
            if near
            else f"write one that is recorded, or add it to {file}"
        )
        raise _RefusedError("unknown-name", header, f"no {kind} is called {quoted(text)}; {hint}", text)

    # --- what a row says, as records

    def _records(self, cells: dict[str, Any], line: str, maker: str) -> Iterator[_New]:
        series = self._series(cells, line)
        sources = [short_id(self._one(text, "source", "sources")) for text in cells.get("sources", ())]
        support = {"standing": cells.get("standing"), "sources": sources}
        figures = self._shelf("figure", line)
        figure = self._figure(figures, cells["figure"])
        if figure is None:
            self._refuse_slip(figures, cells["figure"])
            made = self._new_figure(cells["figure"])
            figure = _said(id=made, names=self._names(cells, maker), sources=sources)
            yield self._fit(figure, figures)
        backs = self._shelf("back", line, maker)
        designation = self._designation(cells["back"])
        back = self._back(backs, designation)
        if back is None:
            back = _said(
                id=self._next(backs), designation=str(designation), series=series, count=designation.count,
                languages=cells.get("languages"), **support,
            )  # fmt: skip
            yield self._fit(back, backs)
        faces = self._shelf("face", line, maker)
        printed = {header: cells.get(header) for header in _FACE}
        face = self._face(faces, figure["id"], series, printed)
        if face is None:
            self._refuse_dropped(faces, printed)
            face = _said(id=self._next(faces), figure=figure["id"], series=series, **printed, **support)
            yield self._fit(face, faces)
        yield from self._card(self._shelf("card", line, maker), cells, face["id"], back["id"], support)

    def _card(
        self, cards: _Shelf, cells: dict[str, Any], face: str, back: str, support: dict[str, Any]
    ) -> Iterator[_New]:
        own = {header: cells.get(header) for header in ("made", "released", "note")}
        for same in cards.get(face, back):
            self._agrees(same, {**own, "standing": cells.get("standing")})
            return
        seen = cells.get("seen")
        if seen and not support["sources"]:
            said = "specimens were seen, but no source says by whom: name one that sources.yaml has"
            raise _RefusedError("missing-cell", "seen" if "sources" in self.where else "sources", said)
        sightings = [_said(source=support["sources"][0], count=None if seen == 1 else seen)] if seen else []
        record = _said(id=self._next(cards), face=face, back=back, sightings=sightings, **own, **support)
        yield self._fit(record, cards)

    def _series(self, cells: dict[str, Any], line: str) -> str:
        lead = f"{line}/series/"
        if "series" in cells:
            return short_id(self._one(cells["series"], "series", "series", lead))
        found = [full for full in self.index.series if full.startswith(lead)]
        if len(found) == 1:
            return short_id(found[0])
        if not found:
            said = f"{line} has no series: describe it in line.yaml first"
            raise _RefusedError("missing-cell", "series", said)
        said = f"say which series, {' or '.join(map(short_id, found))}"
        raise _RefusedError("missing-cell", "series", said)

    def _designation(self, text: str) -> Designation:
        try:
            return Designation.parse(text.upper())
        except NotationError as error:
            said = (
                f"the back {quoted(text)} is no designation: {str(error).splitlines()[0]}; write it like 25B"
            )
            raise _RefusedError("ill-formed-cell", "back", said, text) from error

    @staticmethod
    def _figure(shelf: _Shelf, text: str) -> dict[str, Any] | None:
        found = shelf.get(fold(text)) or shelf.get(slug(text))
        if len(found) > 1:
            ids = " or ".join(one["id"] for one in found)
            raise _RefusedError("unknown-name", "figure", f"{quoted(text)} may be {ids}: write which", text)
        return found[0] if found else None

    @staticmethod
    def _back(shelf: _Shelf, designation: Designation) -> dict[str, Any] | None:
        """The back that is meant; of a bare count the only one with it."""
        found = shelf.get(str(designation))
        if not found and not designation.letter:
            found = shelf.get(designation.count)
            if len(found) > 1:
                names = " or ".join(one["designation"] for one in found)
                said = f"{designation} may be {names}: write the letter"
                raise _RefusedError("unknown-name", "back", said, str(designation))
        return found[0] if found else None

    def _refuse_slip(self, shelf: _Shelf, text: str) -> None:
        """An id is for ever, so a name that is one slip away from another is not taken for a new one."""
        asked = fold(text)
        if not _SHORTEST < len(asked) <= _LONGEST:
            return
        letters = [sign for sign in asked if not sign.isdigit()]
        for name in sorted(self.names[at] for at in self.near.near(asked)):
            known = shelf.get(name) or self.often[name] > self.often[asked]
            if not known or distance(asked, name, restricted=True) != 1:
                continue
            if letters != [sign for sign in name if not sign.isdigit()]:  # a number tells two figures apart
                said = (
                    f"{quoted(text)} is one slip away from {quoted(self.shown[name])}: correct it, or, if it "
                    "is another figure, add that to figures.csv (`cardref tables export`) first"
                )
                raise _RefusedError("unknown-name", "figure", said, text)

    def _new_figure(self, text: str) -> str:
        made = slug(text)
        if not made:
            said = f"{quoted(text)} gives no short id: add the figure to figures.yaml with one of your own"
            raise _RefusedError("unknown-name", "figure", said, text)
        return made

    def _names(self, cells: dict[str, Any], maker: str) -> list[dict[str, str]]:
        record = self.index.makers.get(f"maker/{maker}")
        languages = cells.get("languages") or (record.languages if record else ()) or ("en",)
        return [{"text": cells["figure"], "language": languages[0]}]

    @staticmethod
    def _face(shelf: _Shelf, figure: str, series: str, printed: dict[str, Any]) -> dict[str, Any] | None:
        """The face of a figure that says nothing else than the row, the one that agrees most."""

        def agreement(one: dict[str, Any]) -> int:
            pairs = [(one[key], value) for key, value in printed.items() if value is not None and key in one]
            return len(pairs) if all(was == value for was, value in pairs) else -1

        best = max(shelf.get(figure, series), key=agreement, default=None)
        return best if best is not None and agreement(best) >= 0 else None

    @staticmethod
    def _refuse_dropped(shelf: _Shelf, printed: dict[str, Any]) -> None:
        for header, texts in shelf.digits.items():
            text = printed.get(header) or ""
            meant = dropped_zero(text, texts)
            if meant:
                raise _RefusedError("eaten-cell", header, f"{header} is {quoted(text)}: {meant}", text)

    def _agrees(self, record: dict[str, Any], said: dict[str, Any]) -> None:
        for header, value in said.items():
            was = record.get(header)
            if header in self.where and value is not None and was != value:
                was_said = f"says {quoted(str(was))}" if was is not None else "does not say"
                raise _RefusedError(
                    "recorded-otherwise",
                    header,
                    f"{header} is {quoted(str(value))}, but card {record['id']} {was_said}: a list changes "
                    "no record, so correct it in cards.csv (`cardref tables export`)",
                    str(value),
                )

    # --- shelves

    def _shelf(self, kind: str, line: str, maker: str = "") -> _Shelf:
        path = path_for(kind, line, maker)
        if path not in self.shelves:
            lead = f"{line}/{maker}/" if maker else f"{line}/{kind}/"
            table = self.index.tables[kind]
            records = (_short(plain(one)) for full, one in table.items() if full.startswith(lead))
            self.shelves[path] = _Shelf.of(kind, self._file(kind, path), lead, records)
        return self.shelves[path]

    def _file(self, kind: str, path: str) -> str:
        """The maker's file, or the last of its parts where it is kept in parts only."""
        stem = path.removesuffix(".yaml")
        parts = [home for home in self.work.homes(KINDS[kind]) if home.startswith(f"{stem}.")]
        return path if path in parts or not parts else parts[-1]

    def _next(self, shelf: _Shelf) -> str:
        """The id after the highest one, written as the others are: ``b-017`` after ``b-016``."""
        lead, width, number = shelf.next_id
        while True:
            number += 1
            made = f"{lead}{number:0{width}d}"
            full = f"{shelf.lead}{made}"
            if full not in self.index.retired and full not in self.index:
                return made

    @staticmethod
    def _fit(record: dict[str, Any], shelf: _Shelf) -> _New:
        for fault in problems(shelf.kind, record):
            field_name = str(fault.pointer[0]) if fault.pointer else ""
            header = _HEADERS.get(field_name, field_name)
            month = as_month(fault.value)
            hint = f"; a spreadsheet program has changed it, write '{month}" if month else ""
            raise _RefusedError(fault.rule, header, f"{fault.message}{hint}", fault.value)
        return record, shelf


_HEADERS = {"names": "figure", "id": "figure", "designation": "back", "count": "back", "sightings": "seen"}
"""Fields that are called otherwise in a list."""


def _said(**fields: Any) -> dict[str, Any]:
    """The fields that say something."""
    return {key: value for key, value in fields.items() if value not in (None, "", [], ())}


def _short(record: dict[str, Any]) -> dict[str, Any]:
    """A record with short ids where a list needs them."""
    keys = ("id", "figure", "series", "face", "back")
    return {
        key: short_id(value) if key in keys and isinstance(value, str) else value
        for key, value in record.items()
    }


def read_list(path: Path, root: Path) -> Import:
    """What adding the cards of the list at ``path`` to the dataset at ``root`` would do. Nothing is written.

    Errors: UsageError where the file is none; DatasetError where the dataset cannot be read.
    """
    if not path.is_file():
        raise UsageError(f"{quoted(str(path))} is no file: name your list, a CSV file with one row a card")
    work = Work.on(root)
    table = path.name
    try:
        head, *rows = load_rows(path, [*COLUMNS, *_ALSO])
    except SheetError as error:
        work.tell(error.rule, table, error.row, 1, str(error))
        return work.result()
    where = _header(work, table, head)
    if where is not None:
        index = from_loaded(work.draft.loaded)
        at = where["figure"]
        names = [unguarded(row.cells[at]).strip() for row in rows if at < len(row.cells)]
        shown = {fold(name): name for name in reversed(names)}
        shown |= {fold(name.text): name.text for figure in index.figures.values() for name in figure.names}
        under_way = _List(work, index, table, where, Counter(map(fold, names)), shown, head.number)
        if not rows:
            message = "it holds no card: write one row a card under the header"
            work.tell("unreadable-table", table, head.number, 1, message)
        for row in rows:
            under_way.take(row)
    return work.result()


def _header(work: Work, table: str, head: Row) -> dict[str, int] | None:
    """Header -> cell number (from 0); None where figure or back is missing, or a column is there twice."""
    where: dict[str, int] = {}
    strangers: list[tuple[int, str]] = []
    for number, cell in enumerate(head.cells):
        name = visible(cell.strip())
        known = _ALSO.get(name.lower(), name.lower())
        if known in where:
            message = f"the column {quoted(known)} stands here and in {where[known] + 1}: keep one of them"
            work.tell("repeated-column", table, head.number, number + 1, message, value=name)
            return None
        if known in COLUMNS:
            where[known] = number
        elif name:
            strangers.append((number, name))
    for number, name in strangers:
        near = closest(name.lower(), set(COLUMNS) - where.keys(), 1)
        hint = f"did you mean {near[0]}?" if near else f"the columns are {', '.join(COLUMNS)}"
        message = f"a list has no column {quoted(name)}; {hint}. Rename it, or take it out"
        work.tell("unknown-column", table, head.number, number + 1, message, value=name)
    for name in ("figure", "back"):
        if name not in where:
            message = f"the column {name} is missing: a row says which figure on which back"
            work.tell("missing-column", table, head.number, 1, message, value=name)
    return where if not strangers and {"figure", "back"} <= where.keys() else None
