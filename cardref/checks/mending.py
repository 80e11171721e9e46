r"""From "write this instead" to the exact characters to replace.

A rule says what would mend a hit without knowing where its file has line breaks and brackets; here that
becomes edits of spans. Where no edit is certain to leave everything else alone (a comment would go, a whole
list would be emptied), there is none, and the mend is told in words only.

>>> from cardref.storage.yamltext import spots
>>> text = "sources:\n  - id: a\n    kind: catalog\n"
>>> found = spots(text)
>>> edit, = edits("sources.yaml", text, found, ("sources", 0, "kind"), Mend("write catalogue", "catalogue"))
>>> str(edit.place), edit.text
('sources.yaml:3:11', 'catalogue')
"""

from collections.abc import Mapping

from attrs import define, evolve

from cardref.checks.rule import Mend
from cardref.finding import Edit
from cardref.lazy import cached_property
from cardref.location import Place, Pointer
from cardref.storage.scalars import written
from cardref.storage.yamltext import Spot

__all__ = ["Page", "edits"]

Spots = Mapping[Pointer, Spot]


@define(slots=False, eq=False)
class Page:
    """A file's text and spots, with what every mend in it needs. Made once a file: it may have many slips."""

    path: str
    text: str
    spots: Spots

    @cached_property
    def lines(self) -> list[str]:
        """The lines of the text."""
        return self.text.split("\n")

    @cached_property
    def children(self) -> dict[Pointer, list[Pointer]]:
        """The entries or items of every value that has any."""
        found: dict[Pointer, list[Pointer]] = {}
        for pointer in self.spots:
            if pointer:
                found.setdefault(pointer[:-1], []).append(pointer)
        return found

    @cached_property
    def positions(self) -> dict[Pointer, int]:
        """Which of its siblings a value is, from 0."""
        return {way: at for siblings in self.children.values() for at, way in enumerate(siblings)}

    def edits(self, pointer: Pointer, mend: Mend, *, on_key: bool = False) -> tuple[Edit, ...]:
        """The edits that carry out ``mend`` at ``pointer``; none where it cannot be done exactly."""
        spot = self.spots.get(pointer)
        if spot is None:
            return ()
        if mend.remove:
            return _removal(self, pointer)
        if mend.quote:
            mend = evolve(mend, text=_in_quotes(self.lines, spot, on_key=on_key))
            if not mend.text:
                return ()
        if on_key:
            place = Place(self.path, spot.key_line, spot.key_column, spot.key_line, spot.key_end_column)
            if not pointer or not isinstance(pointer[-1], str):
                return ()
            return (Edit(place, mend.text),)
        if pointer in self.children or spot.style in ("|", ">"):
            return ()
        return (Edit(Place(self.path, spot.line, spot.column, spot.end_line, spot.end_column), mend.text),)


def edits(
    path: str, text: str, spots: Spots, pointer: Pointer, mend: Mend, *, on_key: bool = False
) -> tuple[Edit, ...]:
    """The edits of ``text`` that carry out one ``mend`` at ``pointer``: :meth:`Page.edits`."""
    return Page(path, text, spots).edits(pointer, mend, on_key=on_key)


def _in_quotes(lines: list[str], spot: Spot, *, on_key: bool) -> str:
    if on_key:
        return _quoted(lines[spot.key_line - 1][spot.key_column - 1 : spot.key_end_column - 1])
    if spot.line != spot.end_line:
        return ""
    return _quoted(lines[spot.line - 1][spot.column - 1 : spot.end_column - 1])


def _quoted(plain: str) -> str:
    return written(plain, quote=True) if plain else ""


def _end(page: Page, pointer: Pointer) -> tuple[int, int]:
    """Where a value's own text ends; a block's end mark stands at whatever follows it."""
    lines, spot = page.lines, page.spots[pointer]
    children = page.children.get(pointer, [])
    flow = lines[spot.line - 1][spot.column - 1 : spot.column] in ("[", "{")
    if flow or not children:
        end = (spot.end_line, spot.end_column)
        if spot.style in ("|", ">") and end[1] == 1:  # its end is the start of the line after it
            return end[0] - 1, len(lines[end[0] - 2]) + 1
        return end
    return max(_end(page, child) for child in children)


def _between(lines: list[str], start: tuple[int, int], end: tuple[int, int]) -> str:
    if start[0] == end[0]:
        return lines[start[0] - 1][start[1] - 1 : end[1] - 1]
    inner = lines[start[0] : end[0] - 1]
    return "\n".join([lines[start[0] - 1][start[1] - 1 :], *inner, lines[end[0] - 1][: end[1] - 1]])


def _removal(page: Page, pointer: Pointer) -> tuple[Edit, ...]:
    """Take a key with its value, or an item of a list, out."""
    if not pointer:
        return ()
    lines, spots, spot = page.lines, page.spots, page.spots[pointer]
    is_key = isinstance(pointer[-1], str)
    siblings = page.children[pointer[:-1]]
    at = page.positions[pointer]
    if len(siblings) == 1:
        return ()  # an emptied list or record would be another mistake
    start = (spot.key_line, spot.key_column) if is_key else (spot.line, spot.column)
    end = _end(page, pointer)
    if "#" in _between(lines, start, end):
        return ()  # perhaps a comment, and none is lost
    lead = lines[start[0] - 1][: start[1] - 1]
    tail = lines[end[0] - 1][end[1] - 1 :]
    alone = lead.strip() == "" if is_key else lead.strip() == "-"
    if alone and tail.strip() == "":
        return _lines(page.path, lines, start[0], end[0])
    nexts = siblings[at + 1 :]
    if nexts:
        after = spots[nexts[0]]
        upto = (after.key_line, after.key_column) if is_key else (after.line, after.column)
        gap = _between(lines, end, upto)
        if set(gap) <= {" ", ",", "\n", "\r"} and (is_key or "\n" not in gap):
            return (Edit(Place(page.path, *start, *upto), ""),)
        return ()
    before = _end(page, siblings[at - 1])
    if set(_between(lines, before, start)) <= {" ", ",", "\n", "\r"} and lead.strip() not in ("", "-"):
        return (Edit(Place(page.path, *before, *end), ""),)
    return ()


def _lines(path: str, lines: list[str], first: int, last: int) -> tuple[Edit, ...]:
    """Whole lines, with one line end."""
    if last < len(lines):
        return (Edit(Place(path, first, 1, last + 1, 1), ""),)
    if first == 1:
        return ()
    return (Edit(Place(path, first - 1, len(lines[first - 2]) + 1, last, len(lines[last - 1]) + 1), ""),)
