r"""Edits of a YAML text that leave everything else as it is, byte for byte.

A :class:`Sheet` is read once, takes edits by pointer, all in terms of the text as it was, and gives the new
text. That is read again first: where more has changed than was asked for, or a comment is gone that was not
taken out on purpose, it is refused.

>>> sheet = Sheet("backs:\n  - id: b-001   # ours\n    count: 24\n")
>>> sheet.set(("backs", 0, "count"), 25)
>>> sheet.append(("backs",), {"id": "b-002", "designation": "25B"})
>>> print(sheet.done(), end="")
backs:
  - id: b-001   # ours
    count: 25
  - id: b-002
    designation: "25B"
"""

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from copy import deepcopy
from itertools import pairwise
from typing import Any

from attrs import evolve, frozen

from cardref.errors import DatasetError
from cardref.finding import Edit
from cardref.location import Pointer
from cardref.storage.canonical import WIDTH, block_lines, flow_text, line_end, same
from cardref.storage.scalars import written
from cardref.storage.shape import FREE, Shape, by_meaning, in_order
from cardref.storage.tree import Lines, Node, owned, parse
from cardref.storage.yamltext import read_text
from cardref.text import quoted

__all__ = ["Sheet", "apply_edits"]


@frozen
class _Cut:
    """Replace the text from ``start`` to ``end``. ``rank`` orders what is inserted at one place."""

    start: int
    end: int
    text: str
    rank: int = 0


class Sheet:
    """A YAML text and the edits to be made to it.

    ``shape`` says where new keys and records belong; without it they come last. ``name`` is the file's, for
    errors.
    Errors: DatasetError where the text cannot be read, where an edit cannot be made without touching more
    than its target, or where two edits touch each other.
    """

    def __init__(self, text: str, shape: Shape = FREE, name: str = "") -> None:
        self._text = text
        self._name = f"{quoted(name)}, " if name else ""
        self._shape = shape
        self._end = line_end(text)
        self._root = parse(text)
        self._nodes = {node.pointer: node for node in self._root.walk()}
        self._cuts: list[_Cut] = []
        self._changes: list[tuple[str, Pointer, Any]] = []
        self._gone: Counter[str] = Counter()
        self._new: Counter[str] = Counter()
        self._removed: dict[Pointer, bool] = {}
        self._added: dict[Pointer, list[tuple[int, Any, tuple[str, ...]]]] = {}

    @property
    def value(self) -> Any:
        """What the text says before any edit. Not to be changed."""
        return self._root.value

    def comments(self, pointer: Pointer) -> list[str]:
        """The comments that belong to a value: above it, behind it and inside it."""
        return owned(self._node(pointer))

    # --- edits --------------------------------------------------------------------------------------------

    def set(self, pointer: Pointer, value: Any) -> None:
        """Put ``value`` in the place of what is at ``pointer``, or add the key where it is not there yet."""
        node = self._nodes.get(pointer)
        if node is None:
            self._insert(pointer, value)
            return
        if same(node.value, value):
            return
        if node.parent is None:
            raise DatasetError("the whole text cannot be replaced")
        inner = [line for child in node.walk() if child is not node for line in owned(child)[:1]]
        if inner or node.lead or node.tail or (node.notes and node.is_collection):
            raise DatasetError(f"{self._where(node)}: there are comments inside: edit it by hand")
        self._changes.append(("set", pointer, value))
        self._cuts.append(self._replacement(node, value))

    def rename_key(self, pointer: Pointer, name: str) -> None:
        """Give the key at the end of ``pointer`` another name; its value and place stay."""
        node = self._node(pointer)
        if node.key_start < 0 or (node.parent is not None and name in node.parent.value):
            raise DatasetError(f"{self._where(node)}: the key cannot be renamed to {written(name)}")
        self._changes.append(("rename", pointer, name))
        self._cuts.append(_Cut(node.key_start, node.key_end, written(name, flow=_in_brackets(node))))

    def append(self, pointer: Pointer, value: Any, comments: Sequence[str] = ()) -> None:
        """Add ``value`` to the list at ``pointer``: where its kind's order puts it, else at the end.

        ``comments`` (each beginning with ``#``) are written above it.
        """
        node = self._node(pointer)
        if not isinstance(node.value, list) or (
            comments and (_in_brackets(node) or (node.in_flow and node.children))
        ):
            raise DatasetError(f"{self._where(node)}: it cannot be added to this list: edit it by hand")
        shape = self._shape_at(pointer)
        at = len(node.children)
        if shape.sort:
            marked = object()
            order = by_meaning(
                shape.sort, [*node.value, marked], lambda item: value if item is marked else item
            )
            at = order.index(marked)
            if [item for item in order if item is not marked] != node.value:
                at = len(node.children)  # the list is not in order itself
        self._changes.append(("append", pointer, (at, value)))
        self._new.update(comments)
        self._added.setdefault(pointer, []).append((at, value, tuple(comments)))

    def remove(self, pointer: Pointer, *, with_comments: bool = False) -> None:
        """Take a key with its value, or an item of a list, out.

        Its comments stay where they are, on lines of their own; with ``with_comments`` they go as well (see
        :meth:`comments`).
        """
        node = self._node(pointer)
        if node.parent is None:
            raise DatasetError("the whole text cannot be removed")
        if pointer in self._removed:
            return
        self._removed[pointer] = with_comments
        self._changes.append(("remove", pointer, None))
        if with_comments:
            self._gone.update(owned(node))

    # --- the result ---------------------------------------------------------------------------------------

    def done(self) -> str:
        """The new text, proven by reading it again."""
        cuts = [*self._cuts, *self._additions(), *self._removals()]
        if not cuts:
            return self._text
        made = _cut(self._text, cuts)
        wanted = self._expected()
        try:
            again = parse(made)
        except DatasetError as error:
            raise DatasetError(
                f"{self._name}the edit would break the file ({error}): edit it by hand"
            ) from error
        if not same(again.value, wanted):
            raise DatasetError(f"{self._name}the edit would change more than it should: edit it by hand")
        if Counter(owned(again)) != Counter(owned(self._root)) - self._gone + self._new:
            raise DatasetError(f"{self._name}the edit would lose a comment: edit it by hand")
        return made

    def _expected(self) -> Any:
        """What the new text must say: the edits carried out on plain values."""
        value = deepcopy(self._root.value)
        resolved = []
        for what, pointer, given in self._changes:
            holder = value
            for step in pointer if what == "append" else pointer[:-1]:
                holder = holder[step]
            resolved.append((what, holder, pointer[-1] if pointer else "", given))
        # First what keeps positions in lists as they are, then what moves them.
        for what, holder, step, given in resolved:
            if what == "set":
                holder[step] = deepcopy(given)
        grown = [(holder, *given) for what, holder, _, given in resolved if what == "append"]
        for _, (holder, at, given) in sorted(enumerate(grown), key=lambda one: (-one[1][1], -one[0])):
            holder.insert(at, _Added(given))
        _take_out([(holder, step) for what, holder, step, _ in resolved if what == "remove"])
        for what, holder, step, given in resolved:
            if what == "rename":
                holder[given] = holder.pop(step)
        return _unwrapped(value)

    # --- places -------------------------------------------------------------------------------------------

    def _node(self, pointer: Pointer) -> Node:
        node = self._nodes.get(pointer)
        if node is None:
            raise DatasetError(f"there is nothing at {'.'.join(map(str, pointer))}")
        return node

    def _where(self, node: Node) -> str:
        return f"{self._name}line {self._text.count(chr(10), 0, node.begins) + 1}"

    def _shape_at(self, pointer: Pointer) -> Shape:
        shape = self._shape
        for step in pointer:
            shape = shape.fields.get(step, FREE) if isinstance(step, str) else shape.each or FREE
        return shape

    def _line_start(self, offset: int) -> int:
        return self._text.rfind("\n", 0, offset) + 1

    def _next_line(self, offset: int) -> int:
        """Where the line after the one of ``offset`` begins; the end of the text where there is none."""
        found = self._text.find("\n", offset)
        return len(self._text) if found < 0 else found + 1

    def _below(self, node: Node) -> int:
        """Where the line after a block's value begins, the comments at its end included."""
        after = self._next_line(node.end)
        trailing = self._trailing(node)
        while trailing:
            trailing -= self._text[after : self._next_line(after)].strip().startswith("#")
            after = self._next_line(after)
        return after

    def _trailing(self, node: Node) -> int:
        """How many comments stand below a node's last line and belong to it or to what is last in it."""
        count = 0
        last: Node | None = node
        while last is not None:
            if not last.bracketed:
                count += len([line for line in last.tail if line])
            elif not last.children:
                # Some may stand inside the empty brackets.
                inside = self._text[last.start : last.end].split("\n")[1:]
                count += len([line for line in last.tail if line]) - sum("#" in line for line in inside)
            last = last.children[-1] if last.children and not last.bracketed else None
        return count

    def _above(self, node: Node) -> int:
        """Where the comments and blank lines above a node begin."""
        start = self._line_start(self._start(node))
        left = len([line for line in node.before if line])
        first = node.parent is not None and node.parent.children[0] is node
        while start > 0:
            above = self._text[self._line_start(start - 1) : start].strip()
            if above.startswith("#") and left:
                left -= 1
            elif above or (not left and first):
                break
            start = self._line_start(start - 1)
        return start

    def _start(self, node: Node) -> int:
        """Where an entry's key or an item's dash stands."""
        if node.key_start >= 0 or (node.in_flow and node.column < 0):
            return node.begins
        at = node.start
        while self._text[at : at + 1] != "-" or self._column(at) != node.column:
            at = self._text.rfind("-", 0, at)
            if at < 0:
                raise DatasetError(f"{self._where(node)}: its dash cannot be found: edit it by hand")
        return at

    def _column(self, offset: int) -> int:
        return offset - self._line_start(offset)

    # --- texts --------------------------------------------------------------------------------------------

    def _replacement(self, node: Node, value: Any) -> _Cut:
        shape = self._shape_at(node.pointer)
        if _in_brackets(node) or (node.bracketed and _flat(value)):
            line = flow_text(value, quote=shape.codes)
            pad = (
                " "
                if node.start == node.end and self._text[node.start - 1 : node.start] in (":", "-")
                else ""
            )
            return _Cut(node.start, node.end, pad + line)
        start = node.start
        if node.key_start >= 0:
            start = self._text.index(":", node.key_end) + 1
            made = block_lines({"k": value}, Shape(fields={"k": shape}), node.column)
            lead = node.column + 2
        else:
            start = self._start(node) + 1
            made = block_lines([value], Shape(each=shape), node.column)
            lead = node.column + 1
        first, rest = made[0][lead:], made[1:]
        long = rest or len(first) + self._column(start) > WIDTH
        if not long and node.start == node.end:
            return _Cut(node.start, node.end, first)
        if not long and not node.is_collection and node.style not in ("|", ">") and first:
            return _Cut(node.start, node.end, first[1:])
        note = f"  {node.notes[0]}" if node.notes and node.style in ("|", ">") else ""
        tail = self._text[node.end : self._next_line(node.end)].rstrip("\r\n")
        if rest and tail.strip():
            # What stands behind the old value goes behind the new one's first line.
            return _Cut(start, node.end + len(tail), self._end.join([first + tail.rstrip(), *rest]))
        return _Cut(start, node.end, self._end.join([first + note, *rest]))

    def _insert(self, pointer: Pointer, value: Any) -> None:
        holder = self._node(pointer[:-1])
        key = pointer[-1]
        if not isinstance(holder.value, dict) or not isinstance(key, str):
            raise DatasetError(f"there is nothing at {'.'.join(map(str, pointer))}")
        self._changes.append(("set", pointer, value))
        shape = self._shape_at(holder.pointer)
        keys = in_order([*holder.value, key], shape.order)
        before = keys[: keys.index(key)]
        previous = next((child for child in reversed(holder.children) if child.pointer[-1] in before), None)
        sub = shape.fields.get(key, FREE)
        rank = shape.order.index(key) if key in shape.order else len(shape.order)
        if not holder.children:
            text = flow_text({key: value})
            whole = holder.parent is None
            self._cuts.append(
                _Cut(holder.start, holder.end, text) if whole else self._replacement(holder, {key: value})
            )
        elif holder.in_flow:
            entry = f"{written(key, flow=True)}: {flow_text(value, quote=sub.codes)}"
            if previous is not None:
                self._cuts.append(_Cut(previous.end, previous.end, f", {entry}", rank))
            else:
                at = holder.children[0].begins
                self._cuts.append(_Cut(at, at, f"{entry}, ", rank))
        else:
            column = holder.children[0].column
            lines = block_lines({key: value}, Shape(fields={key: sub}), column)
            if previous is not None:
                self._cuts.append(evolve(self._new_lines(self._below(previous), lines), rank=rank))
            else:
                at = holder.children[0].begins
                text = self._end.join(lines).lstrip() + self._end + " " * column
                self._cuts.append(_Cut(at, at, text, rank))

    def _additions(self) -> Iterator[_Cut]:
        """The cuts that add items to lists."""
        for pointer, items in self._added.items():
            node, shape = self._nodes[pointer], self._shape_at(pointer)
            if not node.children:
                yield self._first_items(node, items, shape)
                continue
            for at, value, comments in items:
                yield self._addition(node, at, value, shape, comments)

    def _first_items(self, node: Node, items: list[tuple[int, Any, tuple[str, ...]]], shape: Shape) -> _Cut:
        """Fill an empty list."""
        values = [value for _, value, _ in items]
        if _in_brackets(node) or (_flat(values) and not any(comments for _, _, comments in items)):
            return _Cut(node.start, node.end, flow_text(values))
        if node.key_start < 0:
            raise DatasetError(f"{self._where(node)}: it cannot be added to this list: edit it by hand")
        lines: list[str] = []
        for _, value, comments in items:
            lines += [""] * bool(lines and shape.records) + self._item_lines(
                node.column + 2, value, shape, comments
            )
        start = self._text.index(":", node.key_end) + 1
        tail = self._text[node.end : self._next_line(node.end)].rstrip("\r\n").rstrip()
        return _Cut(start, self._next_line(node.end), self._end.join([tail, *lines, ""]))

    def _item_lines(self, column: int, value: Any, shape: Shape, comments: tuple[str, ...]) -> list[str]:
        pad = " " * column
        return [pad + line for line in comments] + block_lines([value], Shape(each=shape.each), column)

    def _addition(self, node: Node, at: int, value: Any, shape: Shape, comments: tuple[str, ...]) -> _Cut:
        """Put an item between those of a list that has some."""
        end = at == len(node.children)
        if node.in_flow:
            item = flow_text(value, quote=bool(shape.each and shape.each.codes))
            place = node.children[-1].end if end else node.children[at].begins
            return _Cut(place, place, f", {item}" if end else f"{item}, ")
        lines = self._item_lines(node.children[0].column, value, shape, comments)
        blank = [""] * (shape.records or any("" in child.before for child in node.children[1:]))
        if end:
            return self._new_lines(self._below(node.children[-1]), blank + lines)
        start = self._above_comments(node.children[at])
        return _Cut(start, start, self._end.join([*lines, *blank, ""]))

    def _above_comments(self, node: Node) -> int:
        """Where the comments right above a node begin, blank lines above them left aside."""
        start = self._above(node)
        while self._text[start : self._next_line(start)].strip() == "":
            start = self._next_line(start)
        return start

    def _new_lines(self, at: int, lines: Iterable[str]) -> _Cut:
        text = self._end.join([*lines, ""])
        if at == len(self._text) and not self._text.endswith("\n"):
            return _Cut(at, at, self._end + text.removesuffix(self._end))
        return _Cut(at, at, text)

    def _removals(self) -> Iterator[_Cut]:
        """The cuts that take out what is to go, neighbours together."""
        for holder in {pointer[:-1]: None for pointer in self._removed}:
            node = self._nodes[holder]
            gone = [child.pointer in self._removed for child in node.children]
            if all(gone):
                yield self._emptied(node)
                if node.in_flow:
                    continue
            at = 0
            while at < len(gone):
                upto = at
                while upto < len(gone) and gone[upto]:
                    upto += 1
                if upto > at:
                    yield from self._run(node.children, at, upto)
                at = upto + 1

    def _emptied(self, node: Node) -> _Cut:
        """What has lost all it held says so."""
        empty = "{}" if node.is_map else "[]"
        if node.in_flow and not any(owned(child) for child in node.children):
            return _Cut(node.start, node.end, empty)
        if node.in_flow or node.key_start < 0:
            raise DatasetError(f"{self._where(node)}: nothing would be left of it: edit it by hand")
        colon = self._text.index(":", node.key_end) + 1
        return _Cut(colon, colon, f" {empty}")

    def _run(self, siblings: list[Node], first: int, upto: int) -> Iterator[_Cut]:
        """The cuts that take out the siblings from ``first`` up to the one before ``upto``."""
        nodes, after = siblings[first:upto], siblings[upto : upto + 1]
        node = nodes[0]
        begins = self._start(node)
        kept = [line for one in nodes if not self._removed[one.pointer] for line in owned(one)]
        if _in_brackets(node):
            if any(owned(one) for one in (*nodes, *after)):
                raise DatasetError(f"{self._where(node)}: there are comments beside it: edit it by hand")
            if after:
                yield _Cut(begins, after[0].begins, "")
            elif first:
                yield _Cut(siblings[first - 1].end, nodes[-1].end, "")
        elif self._text[self._line_start(begins) : begins].strip():
            # It shares its line with the dash of its record: what follows takes its place.
            if not after or after[0].before or kept:
                raise DatasetError(f"{self._where(node)}: it cannot be taken out alone: edit it by hand")
            yield _Cut(begins, self._start(after[0]), "")
        else:
            for one in nodes:
                if self._removed[one.pointer]:
                    yield _Cut(self._above(one), self._below(one), "")
                else:
                    yield _Cut(self._line_start(self._start(one)), self._below(one), self._left_over(one))

    def _left_over(self, node: Node) -> str:
        """The comments behind and inside a value that goes, on lines of their own."""
        held = [
            *node.notes,
            *node.lead,
            *(line for child in node.children for line in owned(child)),
            *node.tail,
        ]
        return "".join(f"{' ' * node.column}{line}{self._end}" for line in held if line)


class _Added:
    """An item that was not in the list before, while positions are worked out."""

    def __init__(self, value: Any) -> None:
        self.value = value


def _take_out(gone: list[tuple[Any, Any]]) -> None:
    """Take keys and items (by their old positions, added ones not counted) out of what holds them."""
    for holder in {id(holder): holder for holder, _ in gone}.values():
        steps = {step for other, step in gone if other is holder}
        if isinstance(holder, dict):
            for step in steps:
                del holder[step]
        else:
            position = -1
            kept = []
            for item in holder:
                position += not isinstance(item, _Added)
                if isinstance(item, _Added) or position not in steps:
                    kept.append(item)
            holder[:] = kept


def _unwrapped(value: Any) -> Any:
    if isinstance(value, _Added):
        return value.value
    if isinstance(value, dict):
        return {key: _unwrapped(item) for key, item in value.items()}
    return [_unwrapped(item) for item in value] if isinstance(value, list) else value


def _in_brackets(node: Node) -> bool:
    return node.parent is not None and node.parent.in_flow


def _flat(value: Any) -> bool:
    return isinstance(value, list) and not any(isinstance(item, (dict, list)) for item in value)


def _cut(text: str, cuts: list[_Cut]) -> str:
    ordered = sorted(cuts, key=lambda cut: (cut.start, cut.end, cut.rank))
    for one, other in pairwise(ordered):
        if other.start < one.end:
            raise DatasetError("two edits touch the same text: make them one after the other")
    made = []
    at = 0
    for cut in ordered:
        made += [text[at : cut.start], cut.text]
        at = cut.end
    return "".join([*made, text[at:]])


# --- edits that findings propose --------------------------------------------------------------------------


def apply_edits(text: str, edits: Iterable[Edit]) -> str:
    """Carry out the edits that findings propose for one text.

    Where the text can be read, so can the result, no comment is lost, and only what the edits touch says
    something else. A text that cannot be read yet (a tab, a byte order mark) must be changed for the better:
    the result has fewer faults.

    Errors: DatasetError where that would not be so, or where two edits touch each other.
    """
    lines = Lines(text)
    cuts = [_Cut(*lines.span(edit.place), edit.text) for edit in edits]
    made = _cut(text, cuts)
    before = read_text(text)
    after = read_text(made)
    if after.faults and len(after.faults) >= len(before.faults):
        raise DatasetError(f"the fix would break the file ({after.faults[0].message}): edit it by hand")
    if before.faults or after.faults:
        return made
    root = parse(text)
    if Counter(owned(root)) != Counter(owned(parse(made))):
        raise DatasetError("the fix would change a comment: edit the file by hand")
    if not _alike(before.value, after.value, (), _touched(root, cuts)):
        raise DatasetError("the fix would change more than it should: edit the file by hand")
    return made


def _touched(root: Node, cuts: list[_Cut]) -> set[Pointer]:
    """What a cut covers whole, and the innermost values that it touches in part."""
    found: set[Pointer] = set()
    for cut in cuts:
        hit = list(_hit(root, cut))
        parents = {id(node.parent) for node in hit}
        found.update(
            node.pointer
            for node in hit
            if id(node) not in parents or (cut.start <= node.begins and node.end <= cut.end)
        )
    return found


def _hit(node: Node, cut: _Cut) -> Iterator[Node]:
    """The values that a cut overlaps, with those that hold them; what it abuts only if it inserts."""
    abuts = cut.start == cut.end or node.begins == node.end
    over = node.begins <= cut.end and cut.start <= node.end
    if not over or not (abuts or (node.begins < cut.end and cut.start < node.end)):
        return
    yield node
    # Children stand in order and apart, so that only those from the first that reaches the cut matter.
    at = bisect_left(node.children, cut.start, key=lambda child: child.end)
    while at < len(node.children) and node.children[at].begins <= cut.end:
        yield from _hit(node.children[at], cut)
        at += 1


def _alike(one: Any, other: Any, pointer: Pointer, touched: set[Pointer]) -> bool:
    """Whether two values say the same apart from what was touched."""
    if pointer in touched:
        return True
    if isinstance(one, dict) and isinstance(other, dict):
        lost, new = one.keys() - other.keys(), other.keys() - one.keys()
        if len(new) > len(lost) or any((*pointer, key) not in touched for key in lost):
            return False
        kept = [key for key in one if (*pointer, key) not in touched]
        return all(key in other and _alike(one[key], other[key], (*pointer, key), touched) for key in kept)
    if isinstance(one, list) and isinstance(other, list):
        gone = sum(p[:-1] == pointer for p in touched)
        if len(one) == len(other):
            return all(
                _alike(a, b, (*pointer, n), touched) for n, (a, b) in enumerate(zip(one, other, strict=True))
            )
        kept = [item for n, item in enumerate(one) if (*pointer, n) not in touched]
        return len(one) - gone <= len(other) < len(one) and all(any(same(k, o) for o in other) for k in kept)
    return same(one, other)
