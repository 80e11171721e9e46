"""What every notation value has in common: it is frozen, and a copy of it is itself.

The values are written by hand and not with attrs, because a first use of a notation should cost next to
nothing: a command that decodes one code must not import more than it needs.

>>> from cardref.notation.designation import Designation
>>> Designation(25, "B").count = 26
Traceback (most recent call last):
    ...
AttributeError: Designation is frozen: make a new one instead of setting 'count'
"""

from typing import NoReturn, Self

__all__ = ["Value", "must_be_text"]


class Value:
    """A frozen value with slots. A subclass sets its slots through their descriptors, once, on creation."""

    __slots__ = ()

    def __setattr__(self, name: str, value: object) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen: make a new one instead of setting {name!r}")

    def __delattr__(self, name: str) -> NoReturn:
        raise AttributeError(f"{type(self).__name__} is frozen: {name!r} cannot be deleted")

    def __copy__(self) -> Self:
        return self

    def __deepcopy__(self, memo: object) -> Self:
        return self


def must_be_text(text: object, what: str) -> str:
    """``text`` itself when it is a string; else a TypeError that names ``what`` is read from text."""
    if isinstance(text, str):
        return text
    raise TypeError(f"{what} is read from a str, not from {type(text).__name__}")
