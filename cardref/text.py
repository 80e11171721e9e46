r"""Text as people read it: nothing that a terminal or a log would act on, and never too long.

>>> print(visible("a\x1b[31mb\u202ec"))
a\x1b[31mb\u202ec
>>> print(visible("::set-env name=PATH::"))
\x3a:set-env name=PATH::
>>> closest("quay-mral", ["quay-marl", "anemoni"])
('quay-marl',)
"""

import unicodedata
from collections.abc import Iterable

__all__ = [
    "WIDTH",
    "clip",
    "closest",
    "columns",
    "count_of",
    "escape",
    "pointed",
    "quoted",
    "seen",
    "uncapitalised",
    "visible",
    "wrapped",
]

WIDTH = 80
"""Columns of a line of prose; what is longer goes on in the next one."""

# Categories that a terminal, a log or a reader would act on instead of seeing them: controls (Cc), format
# signs such as bidirectional controls (Cf), surrogates (Cs), private use (Co), unassigned (Cn), line and
# paragraph separators (Zl, Zp).
_UNSEEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
# The joiners are ordinary letters' company in Devanagari and emoji; alone they are harmless.
_HARMLESS = frozenset("\u200c\u200d")


def seen(sign: str) -> bool:
    """Whether somebody who reads ``sign`` sees it: no control, no format sign, nothing without a shape."""
    return sign.isprintable() or unicodedata.category(sign) not in _UNSEEN or sign in _HARMLESS


def escape(sign: str) -> str:
    r"""The escape of one sign, as YAML (1.2.2, chapter 5.7), Python and many others write it.

    >>> print(escape("\x1b"), escape("\u202e"), escape("\U000e0001"))
    \x1b \u202e \U000e0001
    """
    point = ord(sign)
    if point < 0x100:
        return f"\\x{point:02x}"
    return f"\\u{point:04x}" if point < 0x10000 else f"\\U{point:08x}"


def visible(text: str) -> str:
    """``text`` with every control and format sign shown as an escape; printable text is returned as it is.

    The one exception is what a CI log would take for a command: ``::`` first in a line, and ``##`` before a
    bracket (``##[``, ``##vso[``), wherever it stands. One sign of it is shown as an escape.
    """
    if not (text.isascii() and text.isprintable()):
        text = "".join(sign if seen(sign) else escape(sign) for sign in text)
    if "##" in text and "[" in text:
        text = text.replace("##", "#" + escape("#"))
    if "::" in text:
        # Logs look past the space before a command.
        command = text.lstrip()
        if command.startswith("::"):
            text = text[: len(text) - len(command)] + escape(":") + command[1:]
    return text


def clip(text: str, width: int) -> str:
    """``visible(text)``, cut to ``width`` characters with an ellipsis where it is longer."""
    # An escape is at most ten characters, so this much is enough to fill the width.
    shown = visible(text[: width + 1])
    return shown if len(shown) <= width and len(text) <= width else shown[: max(0, width - 1)] + "…"


def quoted(text: str, width: int = 60) -> str:
    """``text`` in single quotes, safe to print, cut to ``width``."""
    return f"'{clip(text, width)}'"


def pointed(text: str, span: tuple[int, int], width: int = 70) -> list[str]:
    """Two lines: ``text`` (a window of it where it is long), and carets under ``span``."""
    start, end = span
    first = max(0, min(start - width // 2, len(text) - width))
    last = min(len(text), first + width)
    head, tail = "…" if first else "", "…" if last < len(text) else ""
    # Made visible as one piece, so that no command of a CI log comes together at a seam.
    shown = visible(text[first:last])
    lead = 2 + len(head) + columns(visible(text[first:start]))
    return [
        f"  {head}{shown}{tail}",
        " " * lead + "^" * max(1, columns(visible(text[start : min(end, last)]))),
    ]


def columns(text: str) -> int:
    """How many terminal columns ``text`` takes: wide East Asian signs two, combining marks none."""
    if text.isascii():
        return len(text)
    return sum(
        0
        if unicodedata.category(sign) in ("Mn", "Me")
        else 2
        if unicodedata.east_asian_width(sign) in ("W", "F")
        else 1
        for sign in text
    )


def wrapped(text: str, later: str = "", first: str = "") -> list[str]:
    """``text`` in lines of at most 80 signs, broken between words; ``first`` and ``later`` are their indents.

    >>> wrapped("nearest: a card of which so much is told that it takes more than one line to tell it", "  ")
    ['nearest: a card of which so much is told that it takes more than one line to', '  tell it']
    """
    import textwrap  # noqa: PLC0415 - only prose for people needs it

    return textwrap.wrap(text, WIDTH, initial_indent=first, subsequent_indent=later, break_on_hyphens=False)


def uncapitalised(text: str) -> str:
    """``text`` with a small first letter, as it goes on in a sentence.

    >>> uncapitalised("Rope length")
    'rope length'
    """
    return text[:1].lower() + text[1:]


def closest(word: str, options: Iterable[str], most: int = 3) -> tuple[str, ...]:
    """The ``options`` that ``word`` was probably meant to be, best first; may be empty."""
    import difflib  # noqa: PLC0415 - only a mistake needs it, and it is slow to import

    if len(word) > 200:
        return ()
    return tuple(difflib.get_close_matches(word, list(options), n=most, cutoff=0.72))


def count_of(number: int, one: str, many: str = "") -> str:
    """A number with its noun: ``1 card``, ``2 cards``."""
    return f"{number} {one if number == 1 else many or one + 's'}"
