r"""A YAML text as a tree of values with their exact places and with every comment and blank line.

A comment is whatever begins with ``#`` in the gaps between keys and values. One behind something on its line
belongs to that; one on a line of its own belongs to what follows it, or, where it is indented deeper than
what follows, to the end of the record or list above it. Every comment is owned by exactly one node.

>>> root = parse("# head\nmakers:\n  - id: a  # first\n    # end of a\n  # about b\n  - id: b\n")
>>> makers = root.children[0]
>>> root.lead, makers.children[0].tail, makers.children[1].before
(['# head'], ['# end of a'], ['# about b'])
>>> makers.children[0].children[0].notes
['# first']
"""

from bisect import bisect_right
from collections.abc import Iterator
from typing import Any

from attrs import define, field, frozen

from cardref.errors import DatasetError
from cardref.location import Place, Pointer
from cardref.storage.yamltext import Spot, read_text, spots

__all__ = ["Lines", "Node", "owned", "parse"]


class Lines:
    """Lines and columns (from 1) to offsets in a text and back."""

    def __init__(self, text: str) -> None:
        self.starts = [0]
        at = text.find("\n")
        while at >= 0:
            self.starts.append(at + 1)
            at = text.find("\n", at + 1)

    def offset(self, line: int, column: int) -> int:
        """The offset of a line and column."""
        return self.starts[line - 1] + column - 1

    def column(self, offset: int) -> int:
        """The column of an offset, from 0."""
        return offset - self.starts[bisect_right(self.starts, offset) - 1]

    def span(self, place: Place) -> tuple[int, int]:
        """Start and end offset of a place."""
        line, column, end_line, end_column = place.span
        return self.offset(line, column), self.offset(end_line, end_column)


@define(eq=False)
class Node:
    """A value of the text: an entry of a mapping, an item of a list, or the whole.

    Attributes:
        pointer: the way to it from the top.
        value: what it says, as plain values.
        start, end: offsets of the value itself; a block ends where the last value in it ends.
        key_start, key_end: offsets of its key, or -1.
        column: where its key or its dash stands, from 0; -1 inside brackets.
        bracketed: it is a list or mapping in brackets.
        in_flow: it stands inside of brackets, or is bracketed.
        style: how a scalar is quoted: ``'``, ``"``, ``|``, ``>`` or "".
        children: its entries or items in the order of the text.
        before: comments and blank lines ("") above it.
        lead: comments below its key that a blank line sets off from its first child: about all of them.
        notes: comments on its own line: behind its key, its bracket or its value.
        tail: comments below its last child.
    """

    pointer: Pointer
    value: Any
    start: int
    end: int
    key_start: int
    key_end: int
    bracketed: bool
    style: str
    parent: "Node | None"
    column: int = -1
    in_flow: bool = False
    children: list["Node"] = field(factory=list)
    before: list[str] = field(factory=list)
    lead: list[str] = field(factory=list)
    notes: list[str] = field(factory=list)
    tail: list[str] = field(factory=list)

    @property
    def is_map(self) -> bool:
        """Whether it is a mapping."""
        return isinstance(self.value, dict)

    @property
    def is_collection(self) -> bool:
        """Whether it is a mapping or a list."""
        return isinstance(self.value, (dict, list))

    @property
    def begins(self) -> int:
        """The offset where it begins, its key included."""
        return self.key_start if self.key_start >= 0 else self.start

    def walk(self) -> Iterator["Node"]:
        """This node and all below it, in the order of the text."""
        yield self
        for child in self.children:
            yield from child.walk()


def parse(text: str) -> Node:
    """The tree of ``text``, comments and blank lines attached. Linear in the length of the text.

    Errors: DatasetError where it cannot be read, or has a key over several lines.
    """
    document = read_text(text)
    if document.faults:
        fault = document.faults[0]
        raise DatasetError(f"line {fault.line}: {fault.message}")
    lines = Lines(text)
    root = _node(text, lines, spots(text), (), document.value, None)
    _attach(text, lines, root)
    _settle(root)
    return root


def owned(root: Node) -> list[str]:
    """Every comment of a tree, without the space behind it: each once, since each has one owner."""
    return [
        line
        for node in root.walk()
        for lines in (node.before, node.lead, node.notes, node.tail)
        for line in lines
        if line
    ]


# --- values and places ------------------------------------------------------------------------------------


def _node(
    text: str, lines: Lines, found: dict[Pointer, Spot], pointer: Pointer, value: Any, parent: Node | None
) -> Node:
    spot = found[pointer]
    start, end = lines.offset(spot.line, spot.column), lines.offset(spot.end_line, spot.end_column)
    key_start = key_end = -1
    if pointer and isinstance(pointer[-1], str):
        key_start = lines.offset(spot.key_line, spot.key_column)
        key_end = lines.offset(spot.key_line, spot.key_end_column)
        said = text[key_start:key_end]
        if said != pointer[-1] and read_text(said + ": ").value != {pointer[-1]: None}:
            raise DatasetError(f"line {spot.key_line}: a key over several lines: write it on one")
    many = isinstance(value, (dict, list))
    bracketed = many and text[start : start + 1] in ("[", "{")
    node = Node(pointer, value, start, end, key_start, key_end, bracketed, spot.style, parent)
    node.in_flow = bracketed or (parent is not None and parent.in_flow)
    if parent is not None and not parent.in_flow:
        node.column = lines.column(key_start if parent.is_map else parent.start)
    if many:
        items = value.items() if isinstance(value, dict) else enumerate(value)
        node.children = [_node(text, lines, found, (*pointer, k), v, node) for k, v in items]
        if bracketed:
            node.end = end + 1 if text[end : end + 1] in ("]", "}") else end
        elif node.children:
            node.end = node.children[-1].end
    elif spot.style in ("|", ">") and "+" not in _header(text[start:end]).partition("#")[0]:
        node.end = start + len(text[start:end].rstrip())
    return node


def _header(block: str) -> str:
    """The first line of a block scalar: its style, how it ends, perhaps a comment."""
    return block.partition("\n")[0]


# --- comments ---------------------------------------------------------------------------------------------


@frozen
class _Atom:
    """A piece of the text that is no gap: a key, a scalar, a bracket."""

    start: int
    end: int
    node: Node
    role: str


def _atoms(root: Node) -> list[_Atom]:
    atoms = []
    for node in root.walk():
        if node.key_start >= 0:
            atoms.append(_Atom(node.key_start, node.key_end, node, "key"))
        if node.bracketed:
            atoms.append(_Atom(node.start, node.start + 1, node, "open"))
            atoms.append(_Atom(node.end - 1, node.end, node, "close"))
        elif not node.is_collection:
            atoms.append(_Atom(node.start, node.end, node, "value"))
    return sorted(atoms, key=lambda atom: (atom.start, atom.end))


def _outermost(atom: _Atom) -> Node | None:
    """The largest node that begins with this piece of text, the whole left aside."""
    node = atom.node
    if atom.role == "close" or (atom.role != "key" and node.key_start >= 0) or node.parent is None:
        return None
    above: Node | None = node.parent
    while above is not None and above.parent is not None:
        if above.children[0] is not node or above.bracketed or above.key_start >= 0:
            break
        node, above = above, above.parent
    return node


def _attach(text: str, lines: Lines, root: Node) -> None:
    before: _Atom | None = None
    for atom in _atoms(root):
        start = before.end if before else 0
        # A zero-width value (nothing behind its colon) may stand at the very end of the gap before it.
        _gap(text, lines, start, max(start, atom.start), before, atom, root)
        if atom.node.style in ("|", ">") and atom.role == "value":
            _, mark, note = _header(text[atom.start : atom.end]).partition("#")
            if mark:
                atom.node.notes.append(f"#{note}".rstrip(" \r"))
        before = atom
    _gap(text, lines, before.end if before else 0, len(text), before, None, root)


def _gap(
    text: str, lines: Lines, start: int, end: int, before: _Atom | None, after: _Atom | None, root: Node
) -> None:
    """Give every comment and blank line between two pieces of text its owner."""
    if text[start:end].strip(" ,:-") == "":
        return
    target = _outermost(after) if after else None
    in_flow = after is not None and (
        after.role == "close" or (after.node.parent is not None and after.node.parent.in_flow)
    )
    closed = _closed(before, target) if before and not in_flow else []
    fresh = before is None or text[before.end - 1 : before.end] == "\n"  # at the beginning of a line
    dashed = False
    blank = False
    at = start
    while at < end:
        line_end = text.find("\n", at)
        line_end = len(text) if line_end < 0 else line_end
        piece = text[at : min(line_end, end)]
        mark = piece.find("#")
        structure = piece if mark < 0 else piece[:mark]
        if structure.strip(" \r") and fresh:
            dashed = True
        if mark >= 0:
            comment = piece[mark:].rstrip(" \r")
            if not fresh and before is not None:
                before.node.notes.append(comment)
            else:
                column = lines.column(at + mark)
                owned = _owner(root, before, after, target, closed, -1 if dashed or in_flow else column)
                if blank and not in_flow:
                    owned.append("")
                owned.append(comment)
                blank = False
        elif fresh and not structure.strip(" \r") and line_end < end:
            blank = True
        fresh = True
        at = line_end + 1
    if blank and target is not None and not in_flow:
        target.before.append("")


def _closed(before: _Atom, target: Node | None) -> list[Node]:
    """What ended with the piece before: records and lists that do not hold what follows, innermost first."""
    open_still = set()
    above: Node | None = target
    while above is not None:
        open_still.add(id(above))
        above = above.parent
    found: list[Node] = []
    node: Node | None = before.node
    while node is not None and id(node) not in open_still:
        empty = not node.children and (node.is_collection or node.value is None)
        if node.parent is not None and node.parent.in_flow:
            found.clear()
        elif empty or (node.children and not node.bracketed):
            found.append(node)
        node = node.parent
    return found


def _inner_column(node: Node) -> int:
    return node.children[0].column if node.children else node.column + 1


def _owner(
    root: Node,
    before: _Atom | None,
    after: _Atom | None,
    target: Node | None,
    closed: list[Node],
    column: int,
) -> list[str]:
    """The list that a comment on a line of its own goes to. ``closed`` shrinks: later ones go no deeper."""
    if after is not None and after.role == "close":
        return after.node.tail
    if after is not None and target is None and after.node.parent is not None:
        return after.node.before  # between a key and its value
    limit = target.column if target is not None else -1
    if column > limit:
        while closed:
            if _inner_column(closed[0]) <= column:
                return closed[0].tail
            closed.pop(0)
    closed.clear()
    if target is not None:
        return target.before
    return root.tail if before is not None else root.lead


def _settle(root: Node) -> None:
    """Comments above the first child that are about all of them go to the whole; lone blank lines go."""
    for node in root.walk():
        if not node.children:
            continue
        first = node.children[0]
        above = first.before
        while above and above[0] == "":
            above.pop(0)
        if node is root:
            node.lead += above
            above.clear()
        elif "" in above and not node.bracketed and node.key_start >= 0:
            cut = len(above) - above[::-1].index("")
            node.lead += above[:cut]
            del above[:cut]
