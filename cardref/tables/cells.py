"""One value as one cell, and back; what a spreadsheet would change on the way is guarded.

Spreadsheet programs take ``031`` for 31, ``1982-03`` for a day in March and ``=1+1`` for a formula. A text
that one of them could change is written with an apostrophe in front, and one apostrophe in front is taken off
when it is read. Lists of words stand in one cell, separated by ``; ``; whatever has parts of its own stands
as YAML on one line, as in the dataset's files.

>>> guarded("031"), guarded("25B"), unguarded("'031")
("'031", '25B', '031')
>>> cell_of(["lamp-diver", "fog-piper"], LIST), cell_of({"nb": "Vrakvann"}, YAML)
('lamp-diver; fog-piper', '{nb: Vrakvann}')
>>> value_of("lamp-diver; fog-piper", LIST)
['lamp-diver', 'fog-piper']
>>> is_eaten("031", "31"), is_eaten("1982-03", "Mar-82"), is_eaten("031", "32")
(True, True, False)
"""

import re
from collections.abc import Iterable
from typing import Any

from cardref.storage.canonical import flow_text
from cardref.storage.cells import guarded, unguarded
from cardref.storage.yamltext import read_text, unwritable

__all__ = [
    "FLAG",
    "LIST",
    "NUMBER",
    "TEXT",
    "YAML",
    "CellError",
    "as_month",
    "cell_of",
    "dropped_zero",
    "guarded",
    "is_eaten",
    "looks_eaten",
    "unguarded",
    "value_of",
]

TEXT, NUMBER, FLAG, LIST, YAML = "text", "number", "flag", "list", "yaml"
"""What a cell holds: a text, a number, true or false, words separated by ``; ``, or YAML on one line."""

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


class CellError(ValueError):
    """A cell that does not hold what its column holds; the message says what it must be."""


def cell_of(value: Any, holds: str) -> str:
    """A plain value as a cell; "" for None."""
    if value is None:
        return ""
    if holds == NUMBER and isinstance(value, (int, float)) and not isinstance(value, bool):
        return str(value)
    if holds == FLAG and isinstance(value, bool):
        return "true" if value else "false"
    if holds == TEXT and isinstance(value, str) and value:
        return guarded(value)
    if holds == LIST and isinstance(value, list) and value and all(_is_word(item) for item in value):
        return guarded("; ".join(value))
    return guarded(flow_text(value))


def _is_word(item: Any) -> bool:
    return (
        isinstance(item, str)
        and item == item.strip()
        and bool(item)
        and ";" not in item
        and item[0] not in "[{'\""
    )


def value_of(cell: str, holds: str) -> Any:
    """The plain value of a cell; None where it is empty. Errors: CellError, in words."""
    text = unguarded(cell).replace("\r\n", "\n")
    if not text.strip():
        return None
    refused = unwritable(text)
    if refused:
        raise CellError(refused)
    if holds == TEXT:
        return _yaml(text, text) if text[0] in "[{" and text[-1] in "]}" else text
    if holds == NUMBER:
        return _number(text.strip())
    if holds == FLAG:
        word = text.strip().lower()
        if word not in _FLAGS:
            raise CellError("it must be true or false")
        return _FLAGS[word]
    if holds == LIST and not text.lstrip().startswith(("[", "{")):
        return [part.strip() for part in text.split(";") if part.strip()]
    return _yaml(text, None)


_FLAGS = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}


def _number(text: str) -> int | float | str:
    if re.fullmatch(r"-?[0-9]{1,15}", text):
        return int(text)
    if re.fullmatch(r"-?[0-9]{1,15}[.,][0-9]{1,9}", text):
        number = float(text.replace(",", "."))
        return int(number) if number.is_integer() else number
    if re.fullmatch(r"[a-z]+", text):
        return text  # a word that may stand in a number's place, such as `same`
    raise CellError("it must be a number")


def _yaml(text: str, otherwise: Any) -> Any:
    document = read_text(text)
    if document.faults:
        if otherwise is not None:
            return otherwise
        raise CellError(f"it must be a list or YAML on one line: {document.faults[0].message}")
    return document.value


def is_eaten(was: str, cell: str) -> bool:
    """Whether ``cell`` is what a spreadsheet program makes of the text ``was``."""
    text = unguarded(cell).strip()
    if text == was or not text:
        return False
    if was.isascii() and was.isdigit():
        if text == was.lstrip("0") or (text.endswith(".0") and text[:-2] == was.lstrip("0")):
            return True
        return "E+" in text.upper() and len(was) >= 12
    match = re.fullmatch(r"([0-9]{4})-([0-9]{2})(?:-([0-9]{2}))?", was)
    return match is not None and 1 <= int(match[2]) <= 12 and _is_date(text.lower(), match[1], int(match[2]))


def _is_date(text: str, year: str, month: int) -> bool:
    """Whether ``text`` is a date in that month, as programs write it in their many ways."""
    name = _MONTHS[month - 1]
    if text.startswith(name) or f"-{name}" in text or f" {name}" in text:
        return text.endswith((year, year[2:]))
    parts = re.split(r"[-/. ]", text)
    return (
        len(parts) == 3
        and all(part.isdigit() for part in parts)
        and month in map(int, parts)
        and (year in parts or year[2:] in parts)
    )


_MONTH = re.compile(
    rf"(?:[0-9]{{1,2}}[-./ ])?(?P<name>{'|'.join(_MONTHS)})[a-z]*[-. ](?P<year>[0-9]{{2,4}})", re.IGNORECASE
)


def as_month(cell: str) -> str:
    """The month that a spreadsheet program has written as ``Mar-82``, in EDTF; "" where it is no such thing.

    >>> as_month("Mar-82"), as_month("March 1982"), as_month("1982-03")
    ('1982-03', '1982-03', '')
    """
    match = _MONTH.fullmatch(cell.strip())
    if match is None or len(match["year"]) == 3:
        return ""
    # Two digits are of the century in which the cards were made and that programs guess: no source.
    year = match["year"] if len(match["year"]) == 4 else f"19{match['year']}"
    return f"{year}-{_MONTHS.index(match['name'].lower()) + 1:02d}"


def looks_eaten(cell: str) -> bool:
    """Whether a spreadsheet program has made a number or a date of what was printed.

    >>> looks_eaten("4.00638E+12"), looks_eaten("Mar-12"), looks_eaten("7K 2046/031"), looks_eaten("25E")
    (True, True, False, False)
    """
    text = cell.strip()  # with an apostrophe in front it is what somebody meant
    power = re.fullmatch(r"[0-9](?:[.,][0-9]+)?E\+[0-9]{1,3}", text, re.IGNORECASE)
    names = "|".join(_MONTHS)
    return power is not None or bool(
        re.fullmatch(rf"(?:[0-9]{{1,2}}-(?:{names})|(?:{names})-[0-9]{{2}})", text, re.IGNORECASE)
    )


def dropped_zero(text: str, others: Iterable[str]) -> str:
    """Why a number has probably lost a zero in front, with what to write; "" where nothing says so.

    It has where ``others`` (numbers of its kind) are all longer, all of one length, and some have such zeros.

    >>> "Write '0451 if it is printed, and '451 if it is not" in dropped_zero("451", ["0409", "1421"])
    True
    >>> dropped_zero("451", ["409", "1421"])
    ''
    """
    known = list(others)
    width = max(map(len, known), default=0)
    if not (text.isascii() and text.isdigit()) or len(text) >= width:
        return ""
    if not all(one.isdigit() and len(one) == width for one in known) or all(one[0] != "0" for one in known):
        return ""
    return (
        f"all others have {width} digits, so a spreadsheet program has probably dropped a zero. Write "
        f"'{text.zfill(width)} if it is printed, and '{text} if it is not"
    )
