"""Texts as cells of a spreadsheet: what such a program would run or change is guarded.

Spreadsheet programs take ``031`` for 31, ``1982-03`` for a day in March and ``=1+1`` for a formula. A text
that one of them could change is written with an apostrophe in front, and one apostrophe in front is taken off
when it is read. Where a file is split at another sign than its own, what stands behind a semicolon becomes a
cell too: a formula there gets its apostrophe as well.

>>> guarded("031"), guarded("25B"), unguarded("'031"), is_formula("=1+1")
("'031", '25B', '031', True)
>>> guarded("see b-017; =1+1"), unguarded("see b-017; '=1+1")
("see b-017; '=1+1", 'see b-017; =1+1')
"""

import re

__all__ = ["guarded", "guarded_within", "harmless", "is_formula", "unguarded"]

# What may begin a formula, also in full width, which some editions of such programs take for the same (common
# practice, no source).
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
# A formula behind what another way of reading CSV takes for the end of a cell; quotes in between may vanish.
_WITHIN = re.compile(r"""([;|\t\r\n][\s'"]*)(?=[=+\-@\uff1d\uff0b\uff0d\uff20])""")
_GUARDED_WITHIN = re.compile(_WITHIN.pattern.replace("(?=", "'(?="))
# What spreadsheet programs are known to turn into a number or a date (common practice, no source).
_CHANGED = re.compile(
    r"""(?: 0[0-9]+ | [0-9]{12,} | [0-9.]+[eE][0-9]+
        | [0-9]{1,4}[-/.][0-9]{1,2}(?:[-/.][0-9]{1,4})?
        | (?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*[-. ]?[0-9]{1,4}
        | [0-9]{1,2}[-. ]?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*
        | [0-9]+:[0-9]+(?::[0-9]+)? | true | false | [0-9]+[.,][0-9]*
    )""",
    re.VERBOSE | re.IGNORECASE,
)


def is_formula(cell: str) -> bool:
    """Whether a spreadsheet program would run the cell instead of showing it."""
    return len(cell) > 1 and cell.startswith(_FORMULA)


def guarded(text: str) -> str:
    """A text as a cell that no spreadsheet program changes or runs."""
    if text.startswith(("'", *_FORMULA)) or text != text.strip() or _CHANGED.fullmatch(text):
        return f"'{guarded_within(text)}"
    return guarded_within(text)


def harmless(text: str) -> str:
    """A text as a cell that no spreadsheet program runs; dates and numbers may be shown its own way.

    >>> harmless("=1+1"), harmless("1982-03")
    ("'=1+1", '1982-03')
    """
    guard = "'" if text.startswith("'") or is_formula(text) else ""
    return f"{guard}{guarded_within(text)}"


def unguarded(cell: str) -> str:
    """The text of a cell."""
    return _GUARDED_WITHIN.sub(r"\1", cell.removeprefix("'"))


def guarded_within(text: str) -> str:
    """A text in which no part behind a semicolon, tab, stroke or line end would be run, were it a cell.

    >>> guarded_within("a;=1+1"), guarded_within("a; 1+1"), guarded_within("back; front")
    ("a;'=1+1", 'a; 1+1', 'back; front')
    """
    return _WITHIN.sub(r"\1'", text)
