r"""One value as YAML text that every reader reads alike.

Bare where that is sure, else in double quotes: what begins with a digit or a sign (``25B``, ``0412``,
``1982-03``, ``~``), what YAML 1.1 or 1.2 would take for something else than text (``NO``, ``true``,
``12:30``), what holds YAML's own signs, and what cannot be seen (then as an escape, YAML 1.2.2 chapter 5.7).

>>> print(written("Lamp Diver"), written("25B"), written("NO"), written("a: b"), written(25))
Lamp Diver "25B" "NO" "a: b" 25
>>> print(written("tabs\tand\u202esuch"))
"tabs\tand\u202esuch"
>>> block("Tilt the card under one lamp.\nLook at it.", indent=4, width=110)
['|-', '    Tilt the card under one lamp.', '    Look at it.']
"""

import math
import re

from cardref.storage.yamltext import resolve
from cardref.text import escape, seen

__all__ = ["Scalar", "block", "fits_bare", "written"]

Scalar = str | int | float | bool | None
"""What stands in a file as one word or text."""

_ESCAPES = {"\\": "\\\\", '"': '\\"', "\n": "\\n", "\t": "\\t", "\r": "\\r", "\x00": "\\0"}
_FLOW_SIGNS = re.compile(r"[,\[\]{}?#]")


def _all_seen(text: str) -> bool:
    return text.isprintable() or all(map(seen, text))


def fits_bare(text: str, *, flow: bool = False) -> bool:
    """Whether ``text`` can stand without quotes, inside ``[...]`` or ``{...}`` where ``flow``."""
    if not text or not text[0].isalpha() or text[-1].isspace() or not _all_seen(text):
        return False
    if ":" in text or '"' in text or " #" in text or (flow and _FLOW_SIGNS.search(text)):
        return False
    return resolve(text) == (text, False)


def written(value: Scalar, *, flow: bool = False, quote: bool = False) -> str:
    """``value`` on one line; text in double quotes where ``quote`` or where it must be."""
    if isinstance(value, str):
        return value if not quote and fits_bare(value, flow=flow) else f'"{"".join(map(_escaped, value))}"'
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    return _float(value) if isinstance(value, float) else str(value)


def _float(value: float) -> str:
    if not math.isfinite(value):
        return ".nan" if math.isnan(value) else ".inf" if value > 0 else "-.inf"
    from decimal import Decimal  # noqa: PLC0415 - slow to import, and fractions are rare

    # Never an exponent: 1e3 is a number to some readers and a text to others.
    digits = format(Decimal(repr(value)), "f")
    return digits if "." in digits else f"{digits}.0"


def _escaped(sign: str) -> str:
    return _ESCAPES.get(sign) or (sign if seen(sign) else escape(sign))


def block(text: str, indent: int, width: int) -> list[str] | None:
    """``text`` as a block scalar: its header, then its lines indented by ``indent``; None where none is apt.

    Text of several lines is kept line by line (``|``); a text of one line is folded at its spaces (``>-``) to
    ``width``. What begins or ends with space, or holds what cannot be seen, is better off in quotes.
    """
    pad = " " * indent
    if "\n" not in text:
        if not _fits_block(text) or text[:1] in ("", " ") or "  " in text:
            return None  # runs of spaces do not survive folding
        return [">-", *(pad + line for line in _folded(text, max(20, width - indent)))]
    body = text.removesuffix("\n")
    lines = body.split("\n")
    if not all(map(_fits_block, lines)) or lines[0][:1] in ("", " ") or not lines[-1]:
        return None
    return ["|-" if text == body else "|", *(pad + line if line else "" for line in lines)]


def _fits_block(line: str) -> bool:
    return (line == "" or not line[-1].isspace()) and _all_seen(line)


def _folded(text: str, width: int) -> list[str]:
    lines: list[str] = []
    at = ""
    for word in text.split(" "):
        if at and len(at) + 1 + len(word) > width:
            lines.append(at)
            at = word
        else:
            at = f"{at} {word}" if at else word
    return [*lines, at]
