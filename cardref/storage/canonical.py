r"""The one canonical layout of a dataset's files. Comments and blank lines stay with what they stood by.

Keys and records stand in the order of :mod:`cardref.storage.shape`; two spaces a level, lists indented below
their key; a list of words in brackets where it fits into :data:`WIDTH`; text in double quotes where it must
be (:mod:`cardref.storage.scalars`), folded where it is longer than a line; a blank line before every record.

The result is read again before it is given: it says the same and holds the same comments, or it is refused.

>>> print(canonical("makers:\n- name: 'Quay & Marl'   # as printed\n  id: quay-marl\n", FREE), end="")
makers:
  - name: Quay & Marl  # as printed
    id: quay-marl
"""

from collections import Counter
from typing import Any

from cardref.errors import DatasetError
from cardref.storage.scalars import block, written
from cardref.storage.shape import FREE, Shape, by_meaning, in_order
from cardref.storage.tree import Node, owned, parse
from cardref.storage.yamltext import decode

__all__ = ["WIDTH", "block_lines", "canonical", "flow_text", "line_end", "ordered", "same"]

WIDTH = 110
"""The longest line that is made; a long word or comment may be longer."""

_INDENT = 2


def canonical(text: str, shape: Shape) -> str:
    """``text`` in the canonical layout. Idempotent; line ends stay what they are.

    Errors: DatasetError where the text cannot be read, or where the result would not say the same.
    """
    plain = text.replace("\r\n", "\n")
    root = parse(plain)
    if not root.is_collection:
        return text
    held = owned(root)
    made = "\n".join(_Writer().whole(root, shape)) + "\n"
    _prove(made, held, ordered(root.value, shape))
    return made.replace("\n", "\r\n") if line_end(text) == "\r\n" else made


def line_end(text: str) -> str:
    """How most lines of ``text`` end."""
    return "\r\n" if text.count("\r\n") * 2 > text.count("\n") else "\n"


def _prove(made: str, held: list[str], value: Any) -> None:
    why = ""
    try:
        again = parse(made)
    except DatasetError as error:
        why = str(error)
    else:
        if not same(value, again.value):
            why = "it would say something else"
        elif Counter(held) != Counter(owned(again)):
            why = "a comment would be lost"
    _, faults = decode(made.encode("utf-8", "surrogatepass"))
    if why or faults:
        raise DatasetError(f"it cannot be laid out ({why or faults[0].message}): it is left as it is")


def ordered(value: Any, shape: Shape) -> Any:
    """Plain values with records in their canonical order; the order of keys does not matter to values."""
    if isinstance(value, dict):
        return {key: ordered(item, shape.fields.get(key, FREE)) for key, item in value.items()}
    if isinstance(value, list):
        items = by_meaning(shape.sort, value, lambda item: item)
        return [ordered(item, shape.each or FREE) for item in items]
    return value


def same(one: Any, other: Any) -> bool:
    """Whether two plain values say the same, to the type: 1 is not 1.0 and not true."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(same, one, other))
    return bool(one == other or (one != one and other != other))  # noqa: PLR0124 - not a number equals nothing


class _Writer:
    """Trees to lines."""

    def whole(self, root: Node, shape: Shape) -> list[str]:
        lines = _tidy(root.lead + root.notes)
        if not root.children:
            return [*lines, "{}" if root.is_map else "[]", *_trimmed(_tidy(root.tail))]
        lines += self.children(root, shape, 0)
        return _trimmed(lines + _tidy(root.tail))

    def children(self, node: Node, shape: Shape, indent: int) -> list[str]:
        """The lines of a block's children, each with what belongs to it."""
        lines: list[str] = []
        nodes = self._arranged(node, shape)
        for number, child in enumerate(nodes):
            sub = shape.fields.get(str(child.pointer[-1]), FREE) if node.is_map else shape.each or FREE
            made = self._entry(child, sub, indent) if node.is_map else self._item(child, sub, indent)
            above, own = made
            if number == 0:
                while above and above[0] == "":
                    above.pop(0)
            elif (shape.records or (node.parent is None and sub.records)) and "" not in above:
                above.insert(0, "")
            lines += [_padded(line, indent) for line in _tidy(above)] + own
        return lines

    def _arranged(self, node: Node, shape: Shape) -> list[Node]:
        if node.is_map:
            by_key = {str(child.pointer[-1]): child for child in node.children}
            nodes = [by_key[key] for key in in_order(by_key, shape.order)]
        else:
            nodes = by_meaning(shape.sort, node.children, lambda child: child.value)
        if nodes and nodes[0] is not node.children[0] and nodes[0].before[:1] == [""]:
            # A blank line sets one off from the one above: the first needs none, and who was first now does.
            node.children[0].before.insert(0, "")
        return nodes

    def _entry(self, node: Node, shape: Shape, indent: int) -> tuple[list[str], list[str]]:
        """What stands above an entry of a mapping, not yet indented, and its own lines."""
        head = f"{' ' * indent}{written(str(node.pointer[-1]))}:"
        above, note = node.before + node.notes[:-1], node.notes[-1:]
        value = self._inline(node, shape, len(head) + 1)
        if value is None and not node.is_collection:
            header, *rest = block(node.value, indent + _INDENT, WIDTH) or [written(node.value)]
            return above, [_noted(f"{head} {header}", note), *rest]
        if value is not None:
            tail = [_padded(line, indent + _INDENT) for line in _tidy(node.tail)]
            return above, [_noted(f"{head} {value}".rstrip(), note), *tail]
        inner = indent + _INDENT
        lead = [_padded(line, inner) for line in _tidy(node.lead)]
        tail = [_padded(line, inner) for line in _tidy(node.tail)]
        return above, [_noted(head, note), *lead, *self.children(node, shape, inner), *tail]

    def _item(self, node: Node, shape: Shape, indent: int) -> tuple[list[str], list[str]]:
        """The same for an item of a list."""
        head = f"{' ' * indent}-"
        inner = indent + _INDENT
        self._lift(node, shape)
        value = self._inline(node, shape, len(head) + 1)
        tail = [_padded(line, inner) for line in _tidy(node.tail)]
        if value is None and node.is_collection:
            lines = self.children(node, shape, inner)
            first = next(n for n, line in enumerate(lines) if line.strip() and line.lstrip()[0] != "#")
            above = [*node.before, *node.notes, *(line.strip() for line in lines[:first])]
            return above, [f"{head} {lines[first][inner:]}", *lines[first + 1 :], *tail]
        above, note = node.before + node.notes[:-1], node.notes[-1:]
        if value is not None:
            return above, [_noted(f"{head} {value or 'null'}", note), *tail]
        header, *rest = block(node.value, inner, WIDTH) or [written(node.value)]
        return above, [_noted(f"{head} {header}", note), *rest]

    def _lift(self, item: Node, shape: Shape) -> None:
        """What stands above the first thing in an item stands above its dash."""
        inner, sub = item, shape
        while inner.children:
            item.before += inner.lead
            inner.lead = []
            is_map = inner.is_map
            inner = self._arranged(inner, sub)[0]
            item.before += inner.before
            inner.before = []
            if is_map:
                return
            sub = sub.each or FREE

    def _inline(self, node: Node, shape: Shape, used: int) -> str | None:
        """The value on its key's line, or None where it takes lines of its own; "" for nothing."""
        if node.value is None:
            return ""
        if node.is_map:
            return None if node.children else "{}"
        if not node.is_collection:
            line = written(node.value, quote=shape.codes and _printed(node.value))
            long = isinstance(node.value, str) and ("\n" in node.value or used + len(line) > WIDTH)
            return None if long and block(node.value, used, WIDTH) else line
        if not node.children:
            return "[]"
        each = shape.each or FREE
        if node.lead or node.tail or any(_owns(child) or child.is_collection for child in node.children):
            return None
        words = [
            "null" if child.value is None else written(child.value, flow=True, quote=each.codes)
            for child in node.children
        ]
        line = f"[{', '.join(words)}]"
        return line if used + len(line) <= WIDTH else None


def _printed(value: Any) -> bool:
    # The words that stand for "none is printed" and "could not be read" are no signs as printed.
    return isinstance(value, str) and value not in ("none", "unread")


def _owns(node: Node) -> bool:
    return bool(node.before or node.notes or node.lead or node.tail)


def _padded(line: str, indent: int) -> str:
    return f"{' ' * indent}{line}" if line else ""


def _noted(line: str, note: list[str]) -> str:
    return f"{line}  {note[0]}" if note else line


def _tidy(lines: list[str]) -> list[str]:
    """Without a blank line next to another."""
    return [line for number, line in enumerate(lines) if line or not number or lines[number - 1]]


def _trimmed(lines: list[str]) -> list[str]:
    while lines and not lines[-1]:
        lines.pop()
    while lines and not lines[0]:
        lines.pop(0)
    return lines


def block_lines(value: Any, shape: Shape, indent: int) -> list[str]:
    """Plain values as the lines of a block, for what is written anew. Empty for an empty value."""
    return _Writer().children(_grown((), value, None), shape, indent)


def flow_text(value: Any, *, quote: bool = False) -> str:
    """Plain values on one line, in brackets where they are many.

    >>> print(flow_text({"reference": "other", "designation": "25C"}))
    {reference: other, designation: "25C"}
    """
    if isinstance(value, dict):
        return f"{{{', '.join(f'{written(k, flow=True)}: {flow_text(v)}' for k, v in value.items())}}}"
    if isinstance(value, list):
        return f"[{', '.join(flow_text(item, quote=quote) for item in value)}]"
    return written(value, flow=True, quote=quote and isinstance(value, str))


def _grown(pointer: tuple[str | int, ...], value: Any, parent: Node | None) -> Node:
    key = 0 if pointer and isinstance(pointer[-1], str) else -1
    node = Node(pointer, value, -1, -1, key, key, False, "", parent)
    if isinstance(value, dict):
        node.children = [_grown((*pointer, k), v, node) for k, v in value.items()]
    elif isinstance(value, list):
        node.children = [_grown((*pointer, k), v, node) for k, v in enumerate(value)]
    return node
