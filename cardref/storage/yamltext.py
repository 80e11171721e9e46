r"""YAML text to plain values, once through, and to positions when a finding needs them.

We read a subset of YAML 1.2.2 that every parser reads alike: no tabs, tags, anchors, aliases, merge keys,
directives or control characters; one document; string keys without duplicates. What is outside of it is a
:class:`Fault` with line and column, never an exception. Plain scalars follow the 1.2 core schema; one that
YAML 1.1 tools would read otherwise (``NO``, ``12:30``, ``0412``) is kept and reported as *odd*.

>>> document = read_text("makers:\n  - id: quay-marl\n    country: IE\n")
>>> document.value
{'makers': [{'id': 'quay-marl', 'country': 'IE'}]}
>>> fault, = read_text("a: 1\na: 2\n").faults
>>> fault.rule, fault.message, fault.line, fault.column
('duplicate-key', "the key 'a' stands here and in line 1: keep one of the two", 2, 1)
>>> spots("a:\n  - b: x\n")[("a", 0, "b")].line
2
"""

import contextlib
import math
import re
import sys
import unicodedata
from typing import Any

import yaml
from attrs import define, frozen

from cardref.location import Pointer
from cardref.text import clip, quoted, visible

_FastParser: Any = None
with contextlib.suppress(ImportError):  # PyYAML may have been built without libyaml
    from yaml import cyaml

    _FastParser = vars(cyaml)["CParser"]

__all__ = [
    "MAX_BYTES",
    "MAX_DEPTH",
    "MAX_SCALAR",
    "Document",
    "Fault",
    "Spot",
    "decode",
    "is_tidy",
    "read_text",
    "spots",
    "unwritable",
]

MAX_BYTES = 1 << 20
"""The largest file we read: the pure parser needs about a second a megabyte."""
MAX_DEPTH = 64
MAX_SCALAR = 10_000


@frozen
class Fault:
    """Something that keeps a text from being read, or read alike by everybody. Line and column from 1.

    ``value`` is the sign, word or key at fault: with it a fault is known again when lines move.
    """

    rule: str
    message: str
    line: int = 0
    column: int = 0
    end_column: int = 0
    related_line: int = 0
    value: str = ""


@frozen(slots=True)
class Spot:
    """Where a value stands: its own span, and its key's. Lines and columns from 1, ends exclusive."""

    line: int
    column: int
    end_line: int
    end_column: int
    key_line: int
    key_column: int
    key_end_column: int
    style: str


@define
class Document:
    """What a text holds. ``value`` is None where ``faults`` kept it from being read.

    ``odd`` leads to values, ``odd_keys`` to keys, that are written plain and that others read as something
    else. ``tidy`` tells whether no text needs a second look, as :func:`is_tidy` has it.
    """

    value: Any
    faults: tuple[Fault, ...] = ()
    odd: tuple[Pointer, ...] = ()
    odd_keys: tuple[Pointer, ...] = ()
    tidy: bool = True


# What no text file of ours needs and what parsers or terminals treat each in their own way.
_REFUSED = re.compile(
    "[\x00-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]|\r(?!\n)|^%",
    re.MULTILINE,
)
_ORDINARY = bytes((0x0A, *range(0x20, 0x7F)))
_DIRECTIVE = re.compile(rb"^%", re.MULTILINE)
# The same signs, where an escape inside double quotes makes them.
_ESCAPED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]")
# libyaml takes it for a comment, the standard (8.1.1) wants a blank before it.
_GLUED_COMMENT = re.compile(r"[|>][-+0-9]*#")
_CONFLICT = re.compile(r"^(<{7} .*|={7}|>{7} .*|\|{7} .*)\r?$", re.MULTILINE)


def unwritable(text: str) -> str:
    r"""Why no file can hold this text, a clause with what to do; "" where one can.

    >>> unwritable("a\tb"), unwritable("two\nlines")
    ('it holds a control character (\\x09): remove it', '')
    """
    if len(text) > MAX_SCALAR:
        return f"it has {len(text)} characters, and the most is {MAX_SCALAR}: shorten it"
    found = _ESCAPED.search(text)
    if found is None:
        return ""
    name = unicodedata.name(found[0], "a control character").lower()
    return f"it holds {name} ({visible(found[0])}): remove it"


def decode(data: bytes) -> tuple[str, tuple[Fault, ...]]:
    """Bytes to text, with the faults that keep it from being read. Line ends stay as they are."""
    if len(data) > MAX_BYTES:
        return "", (
            Fault("file-size", f"the file has {len(data)} bytes; the most is {MAX_BYTES}: split it in parts"),
        )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8")
        line, column = _at(before, len(before))
        message = f"byte {data[error.start]:#04x} is not UTF-8: save the file as UTF-8"
        return "", (Fault("encoding", message, line, column, column + 1),)
    # Quick for what nearly every file is: printable ASCII in lines, without a directive.
    if text.isascii() and not data.translate(None, _ORDINARY) and not _DIRECTIVE.search(data):
        return text, ()
    faults: list[Fault] = []
    for match in _REFUSED.finditer(text):
        if len(faults) == 20:
            break
        faults.append(_refusal(text, match))
    return text, tuple(faults)


def _at(text: str, index: int) -> tuple[int, int]:
    line = text.count("\n", 0, index) + 1
    return line, index - (text.rfind("\n", 0, index) + 1) + 1


def _refusal(text: str, match: re.Match[str]) -> Fault:
    sign = match.group()
    line, column = _at(text, match.start())
    if sign == "\t":
        rule, message = "tab", "a tab: use spaces"
    elif sign == "%":
        rule, message = "yaml-feature", "a line that begins with % is a directive: quote it or remove it"
    elif sign == "\ufeff":
        rule = "byte-order-mark"
        message = "a byte order mark: save the file as UTF-8 without one"
    elif sign == "\r":
        rule, message = (
            "line-end",
            "a carriage return without a line feed: save the file with ordinary line ends",
        )
    else:
        name = unicodedata.name(sign, "a control character")
        rule, message = "control-character", f"{name.lower()} ({visible(sign)}): remove it"
    return Fault(rule, message, line, column, column + 1, value=sign)


# --- scalars ---------------------------------------------------------------------------------------------

_INT = re.compile(r"[-+]?[0-9]+\Z")
_BASED = re.compile(r"0o[0-7]+\Z|0x[0-9a-fA-F]+\Z")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?\Z")
_CANONICAL_INT = re.compile(r"(?:0|-?[1-9][0-9]{0,17})\Z")
_CANONICAL_FLOAT = re.compile(r"-?(?:0|[1-9][0-9]{0,17})\.[0-9]{1,18}\Z")
# The types of YAML 1.1 (yaml.org/type): bool, float, int, merge, null, timestamp, value.
_ELEVEN = re.compile(
    r"""(?: y|Y|n|N|yes|Yes|YES|no|No|NO|on|On|ON|off|Off|OFF
        | [-+]?0b[01_]+ | [-+]?0x[0-9a-fA-F_]+ | [-+]?0[0-7_]+ | [-+]?[0-9][0-9_]*
        | [-+]?[1-9][0-9_]*(?::[0-5]?[0-9])+(?:\.[0-9_]*)?
        | [-+]?[0-9][0-9_]*\.[0-9._]*(?:[eE][-+][0-9]+)? | [-+]?\.[0-9_]+(?:[eE][-+][0-9]+)?
        | [0-9]{4}-[0-9]{1,2}-[0-9]{1,2}(?:[Tt ].*)?
        | = | <<
    )\Z""",
    re.VERBOSE,
)
_WORDS: dict[str, Any] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
    ".nan": math.nan, ".NaN": math.nan, ".NAN": math.nan,
    ".inf": math.inf, ".Inf": math.inf, ".INF": math.inf, "+.inf": math.inf, "+.Inf": math.inf,
    "+.INF": math.inf, "-.inf": -math.inf, "-.Inf": -math.inf, "-.INF": -math.inf,
}  # fmt: skip
_PLAIN_WORDS = frozenset({"true", "false"})
# Anything else begins like none of the above; most text is let through by its first sign.
_SUSPECT = frozenset("0123456789+-.~=<yYnNoOtTfF")


def resolve(plain: str) -> tuple[Any, bool]:
    """The value of a plain scalar by the YAML 1.2 core schema, and whether others read it differently.

    >>> resolve("25"), resolve("0412"), resolve("NO"), resolve("true")
    ((25, False), ('0412', True), ('NO', True), (True, False))
    """
    if plain in _WORDS:
        return _WORDS[plain], plain not in _PLAIN_WORDS
    if _CANONICAL_INT.match(plain):
        return int(plain), False
    if _CANONICAL_FLOAT.match(plain):
        return float(plain), False
    if _INT.match(plain) or _BASED.match(plain) or _FLOAT.match(plain):
        # A number to some, but its zeros, sign or size would be lost: kept as it is written.
        return plain, True
    return plain, _ELEVEN.match(plain) is not None


# Signs that can be right and deserve a second look: spaces other than the ordinary one, signs that nobody
# sees, typographic quotes, and words in which Latin letters stand beside Greek, Cyrillic or Armenian ones.
_SECOND_LOOK = re.compile(
    "[\u00a0\u00ad\u034f\u061c\u115f\u1160\u1680\u17b4\u17b5\u180e\u2000-\u200f\u2018-\u201f\u2028-\u202f\u205f-\u206f"
    "\u3000\u3164\ufeff-\ufffb\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e00ff\U000e01f0-\U000e0fff]"
    "|[A-Za-z\u00c0-\u024f][\u0300-\u036f]*[\u0370-\u058f]"
    "|[\u0370-\u058f][\u0300-\u036f]*[A-Za-z\u00c0-\u024f]"
)


def is_tidy(text: str) -> bool:
    r"""Whether nothing about the signs and spaces of ``text`` needs a second look. Quick: all text is asked.

    >>> is_tidy("Ανεμώνη Παιχνίδια"), is_tidy("Lamp  Diver"), is_tidy("L\u0430mp Diver")
    (True, False, False)
    """
    if "  " in text or text[:1] == " " or text[-1:] == " " or " \n" in text:
        return False
    return text.isascii() or (unicodedata.is_normalized("NFC", text) and _SECOND_LOOK.search(text) is None)


# --- events ----------------------------------------------------------------------------------------------


def read_text(text: str, *, pure: bool = False) -> Document:
    """``text`` as plain values. Linear in the length of the text; ``pure`` reads without libyaml."""
    document = _read(text, None, pure=pure)
    if any(fault.rule == "duplicate-key" for fault in document.faults):
        return _read(text, {}, pure=pure)  # with positions, so that the fault can name the first line
    return document


def spots(text: str, *, pure: bool = False) -> dict[Pointer, Spot]:
    """Where every value of ``text`` stands, by its pointer; what cannot be read is left out."""
    found: dict[Pointer, Spot] = {}
    _read(text, found, pure=pure)
    return found


def _conflicts(text: str) -> tuple[Fault, ...]:
    marks = list(_CONFLICT.finditer(text))
    if len({mark.group()[0] for mark in marks} & {"<", "=", ">"}) < 2:
        return ()
    lines = ", ".join(str(_at(text, mark.start())[0]) for mark in marks[:6])
    message = f"merge conflict markers in lines {lines}: decide for one side and remove the markers"
    return (Fault("merge-conflict", message, _at(text, marks[0].start())[0], 1, len(marks[0].group()) + 1),)


def _read(text: str, found: dict[Pointer, Spot] | None, *, pure: bool) -> Document:
    if "<<<<<<<" in text or ">>>>>>>" in text:
        conflicts = _conflicts(text)
        if conflicts:
            return Document(None, conflicts)
    parser: Any = None
    try:
        parser = _PureParser(text) if pure or _FastParser is None else _FastParser(text)
        builder = _Builder(found, text)
        document = builder.build(parser)
    except yaml.YAMLError as error:
        if not pure and _FastParser is not None:
            # libyaml's messages are terse; the pure parser says more, and its verdict is the one we keep.
            return _read(text, found, pure=True)
        return Document(None, (_syntax(error),))
    except (ValueError, OverflowError):
        # The pure parser makes a sign of every escape it sees, also of one beyond the last sign there is.
        return Document(None, (_no_such_sign(parser),))
    except RecursionError:
        return Document(
            None, (Fault("nesting", f"nested too deeply: the most is {MAX_DEPTH}; write it flatter"),)
        )
    else:
        # The two look ahead differently far: where there is a fault, the pure parser's verdict is kept, and
        # its place of a value or key that is not written.
        again = (bool(document.faults) or builder.adrift) and not pure and _FastParser is not None
        return _read(text, found, pure=True) if again else document
    finally:
        if parser is not None:
            parser.dispose()


class _PureParser(yaml.reader.Reader, yaml.scanner.Scanner, yaml.parser.Parser):
    def __init__(self, text: str) -> None:
        yaml.reader.Reader.__init__(self, text)
        yaml.scanner.Scanner.__init__(self)
        yaml.parser.Parser.__init__(self)


def _syntax(error: yaml.YAMLError) -> Fault:
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    problem = (
        getattr(error, "problem", None) or getattr(error, "reason", None) or "it does not follow YAML's rules"
    )
    context = getattr(error, "context", None)
    words = f"{context}: {problem}" if context else str(problem)
    line, column = (mark.line + 1, mark.column + 1) if mark else (0, 0)
    message = f"not YAML from here on ({clip(words, 120)}): check indentation, colons and quotes"
    if words.endswith("but got '?'"):
        message = "in brackets a ? may begin a key, and parsers differ: put the whole text in quotes"
    return Fault("yaml-syntax", message, line, column, column + 1 if mark else 0)


def _no_such_sign(parser: Any) -> Fault:
    mark = parser.get_mark()
    message = "an escape stands for no sign: the last there is is \\U0010ffff; correct it"
    # The mark stands at the digits, behind the backslash and its letter.
    return Fault("yaml-syntax", message, mark.line + 1, mark.column - 1, mark.column)


class _Stop(Exception):  # noqa: N818 - a way out of the loop, not an error
    """The rest of the text is not worth reading."""


_SEQUENCE_END = yaml.SequenceEndEvent
_MAPPING_END = yaml.MappingEndEvent


_Frame = tuple[Any, bool, str | None, Any, Any]
"""What waits while something inside it is read: container, is it a map, key, its event, the start event."""


def _way(stack: list[_Frame]) -> Pointer:
    """The way to the container that is being filled; the outermost frame is no part of it."""
    return tuple((frame[2] or "") if frame[1] else len(frame[0]) - 1 for frame in stack[1:])


class _Builder:
    """Values from events, with an explicit stack: no recursion, so no depth can hurt."""

    def __init__(self, found: dict[Pointer, Spot] | None, text: str) -> None:
        self.found = found
        self.text = text
        self.last_line = text.count("\n")
        self.faults: list[Fault] = []
        self.odd: list[Pointer] = []
        self.odd_keys: list[Pointer] = []
        self.tidy = True
        self.plain: dict[str, tuple[Any, bool]] = {}
        self.keys: dict[str, tuple[str, bool]] = {}
        self.quoted: set[str] = set()
        self.adrift = False  # something that is not written was placed where the next thing stands

    def build(self, parser: Any) -> Document:
        try:
            value = self._events(parser.get_event)
            return Document(value, tuple(self.faults), tuple(self.odd), tuple(self.odd_keys), self.tidy)
        except _Stop:
            return Document(None, tuple(self.faults))

    def fault(self, rule: str, message: str, event: Any, *, related_line: int = 0, value: str = "") -> None:
        line, column = self._position(event.start_mark)
        end_line, end = self._position(event.end_mark)
        end_column = end if end_line == line else column + 1
        self.faults.append(Fault(rule, message, line, column, end_column, related_line, value))
        if len(self.faults) >= 100:
            raise _Stop

    def _events(self, get: Any) -> Any:  # noqa: PLR0912, PLR0915 - the one hot loop, kept in one piece
        found = self.found
        scalar_event, mapping_start, sequence_start = (
            yaml.ScalarEvent, yaml.MappingStartEvent, yaml.SequenceStartEvent,
        )  # fmt: skip
        plain_values, plain_keys, quoted = self.plain, self.keys, self.quoted
        # Nothing can have an anchor or a tag where their signs do not occur.
        careful = "&" in self.text or "!" in self.text
        get()  # stream start
        event = get()
        if type(event) is yaml.StreamEndEvent:
            self.faults.append(
                Fault("empty-file", "the file is empty: add its records, or delete it", 1, 1, 1)
            )
            raise _Stop
        top: list[Any] = []
        container: Any = top  # the list or dict being filled
        is_map = False
        key: str | None = None  # the key that waits for its value
        key_event: Any = None
        start_event: Any = None
        stack: list[_Frame] = []
        key_lines: dict[tuple[int, str], int] = {}
        while True:
            event = get()
            kind = type(event)
            if kind is scalar_event:
                if careful and (event.anchor is not None or event.tag is not None):
                    self._feature(event)
                value: Any = event.value
                if is_map and key is None:
                    known = plain_keys.get(value) if event.implicit[0] else None
                    value, odd = known or self._key(event, start_event)
                    if value in container:
                        first_line = key_lines.get((id(container), value)) if found is not None else None
                        self._duplicate(value, event, first_line)
                    if found is not None:
                        key_lines[id(container), value] = event.start_mark.line + 1
                    key, key_event = value, event
                    if odd:
                        self.odd_keys.append((*_way(stack), value))
                    continue
                if event.implicit[0]:
                    cached = plain_values.get(value)
                    value, odd = self._plain(event, start_event) if cached is None else cached
                else:
                    odd = False
                    if value not in quoted:
                        value = self._styled(event)
            elif kind is mapping_start or kind is sequence_start:
                if careful and (event.anchor is not None or event.tag is not None):
                    self._feature(event)
                if len(stack) >= MAX_DEPTH:
                    self.fault("nesting", f"nested deeper than {MAX_DEPTH}: write it flatter", event)
                    raise _Stop
                if is_map and key is None:
                    self.fault("yaml-feature", "a key that is a list or a mapping: use a plain word", event)
                    raise _Stop
                value = {} if kind is mapping_start else []
                if is_map:
                    container[key] = value
                else:
                    container.append(value)
                stack.append((container, is_map, key, key_event, start_event))
                container, is_map, key, start_event = value, kind is mapping_start, None, event
                continue
            elif kind is _SEQUENCE_END or kind is _MAPPING_END:
                opened = start_event
                if found is not None:
                    way = _way(stack)
                container, is_map, key, key_event, start_event = stack.pop()
                if found is not None:
                    self._spot(way, opened, event, key_event if is_map else None)
                key = None
                continue
            elif kind is yaml.AliasEvent:
                self._refuse("aliases (*)", event)
                value, odd = "", False
                if is_map and key is None:
                    raise _Stop
            elif kind is yaml.DocumentEndEvent:
                if event.explicit:  # parsers differ on what may follow it
                    self._refuse("end marks (...)", event)
                break
            else:  # pragma: no cover - the parser gives nothing else inside a document
                raise _Stop
            if is_map:
                container[key] = value
                if found is not None:
                    self._spot((*_way(stack), key or ""), event, event, key_event)
                if odd:
                    self.odd.append((*_way(stack), key or ""))
                key = None
            else:
                container.append(value)
                if found is not None or odd:
                    place = (*_way(stack), len(container) - 1) if stack else ()
                    if found is not None:
                        self._spot(place, event, event, None)
                    if odd:
                        self.odd.append(place)
        event = get()
        if type(event) is not yaml.StreamEndEvent:
            self.fault(
                "several-documents",
                "a second document begins here, and one file holds one: move it to a file of its own",
                event,
            )
        return top[0]

    def _key(self, event: Any, inside: Any) -> tuple[str, bool]:
        """A key that was not met before, and whether others read it as something else than this text."""
        if not event.implicit[0]:
            return unicodedata.normalize("NFC", self._styled(event)), False
        value, odd = self._plain(event, inside)
        written = event.value if len(event.value) <= MAX_SCALAR else ""  # of a longer one it is told already
        if written == "<<":
            self._refuse("merge keys", event)
        # A key is always text, so a number is as odd there as anything else.
        found = sys.intern(unicodedata.normalize("NFC", written)), odd or type(value) is not str
        if written == event.value != "<<" and "?" not in written:
            self.keys[written] = found
        return found

    def _plain(self, event: Any, inside: Any) -> tuple[Any, bool]:
        """The value of a plain scalar that was not met before, and whether others read it otherwise."""
        text = self._short(event)
        questioning = "?" in text
        if questioning and inside is not None and inside.flow_style:
            raise yaml.YAMLError  # in brackets it may begin a key: the pure parser refuses it, and says where
        first = text[:1]
        found = resolve(text) if first in _SUSPECT or not first else (text, False)
        if not is_tidy(text):
            self.tidy = False
        if text == event.value and not questioning:
            self.plain[text] = found
        return found

    def _short(self, event: Any) -> str:
        text: str = event.value
        if len(text) <= MAX_SCALAR:
            return text
        message = f"a text of {len(text)} characters: the most is {MAX_SCALAR}; shorten it"
        self.fault("scalar-length", message, event)
        return ""

    def _styled(self, event: Any) -> str:
        """The text of a scalar in quotes or in a block, with what only these can have wrong."""
        text = self._short(event)
        if self.tidy and not is_tidy(text):
            self.tidy = False
        if event.style in ("|", ">"):
            if _GLUED_COMMENT.match(self.text, event.start_mark.index):
                raise yaml.YAMLError  # the pure parser refuses it, and says where
        elif text.isprintable() and text == event.value:
            self.quoted.add(text)
        elif event.style == '"':
            match = _ESCAPED.search(text)
            if match:
                sign = match.group()
                name = unicodedata.name(sign, "a control character").lower()
                message = f"an escape stands for {name} ({visible(sign)}): remove it"
                self.fault("control-character", message, event, value=sign)
        return text

    def _feature(self, event: Any) -> None:
        self._refuse("tags (!)" if event.tag is not None else "anchors (&)", event)

    def _refuse(self, what: str, event: Any) -> None:
        self.fault(
            "yaml-feature", f"{what} are not used in datasets: write the value out, or quote it", event
        )

    def _duplicate(self, key: str, event: Any, first: int | None) -> None:
        where = f"in line {first}" if first else "above"
        self.fault(
            "duplicate-key",
            f"the key {quoted(key)} stands here and {where}: keep one of the two",
            event,
            related_line=first or 0,
            value=key,
        )

    def _position(self, mark: Any) -> tuple[int, int]:
        """Line and column of a mark, from 1; what libyaml puts behind the last line is at that line's end."""
        if mark.line > self.last_line:
            return self.last_line + 1, len(self.text) - self.text.rfind("\n")
        return mark.line + 1, mark.column + 1

    def _spot(self, pointer: Pointer, start: Any, end: Any, key: Any) -> None:
        at = self._position(start.start_mark)
        upto = self._position(end.end_mark if end is start else end.start_mark)
        key_at, key_end = at, at[1]
        if key is not None:
            key_at, key_end = self._position(key.start_mark), key.end_mark.column + 1
        style = getattr(start, "style", None) or ""
        self.adrift = self.adrift or self._drifts(start) or (key is not None and self._drifts(key))
        self.found[pointer] = Spot(*at, *upto, *key_at, key_end, style)  # type: ignore[index] # positions are kept

    def _drifts(self, event: Any) -> bool:
        """Whether an empty value or key in brackets stands behind the blanks that follow its sign."""
        at = event.start_mark.index
        return at == event.end_mark.index and self.text[at - 1 : at] not in (":", "?", "-")
