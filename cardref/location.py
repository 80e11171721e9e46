"""Where something stands in a file.

>>> str(Place("lines/tidewrack/line.yaml", 12, 5))
'lines/tidewrack/line.yaml:12:5'
"""

from attrs import frozen

__all__ = ["Place", "Pointer"]

Pointer = tuple[str | int, ...]
"""The way from a file's top to a value in it: keys and list positions, such as ``("backs", 3, "count")``."""


@frozen(order=True)
class Place:
    """A span of a file, or with line 0 the file as a whole.

    ``path`` is relative to the dataset, with ``/``; lines and columns count from 1, columns in characters;
    the end is the first character no longer meant.
    """

    path: str
    line: int = 0
    column: int = 0
    end_line: int = 0
    end_column: int = 0

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}" if self.line else self.path

    @property
    def span(self) -> tuple[int, int, int, int]:
        """Line, column, end line, end column: each from 1, and the end never before the start.

        A file as a whole is told as the empty span at its start, and a missing end as an empty span.
        """
        if not self.line:
            return 1, 1, 1, 1
        start = (self.line, max(1, self.column))
        return *start, *max(start, (self.end_line, max(1, self.end_column)))
