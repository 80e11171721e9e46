"""What a table of an export is: its columns, what tells its rows apart, and where the rows come from.

>>> Relation("count", (Column("n", "integer"),), ("n",), lambda index: iter([(1,), (2,)])).key
('n',)
"""

from collections.abc import Callable, Iterator

import attrs

from cardref.index import Index

__all__ = ["Cell", "Column", "Relation", "Row"]

Cell = str | int | float | None
Row = tuple[Cell, ...]


@attrs.frozen
class Column:
    """One column: name, type (``text``, ``integer``, ``number``, ``boolean``, ``date``), the relation
    that it refers to by id (or ""), and what it holds.
    """

    name: str
    type: str
    refers: str = ""
    about: str = ""
    required: bool = False


@attrs.frozen
class Relation:
    """One table. ``key`` are the columns that tell its rows apart; ``rows`` gives them in a fixed order."""

    name: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    rows: Callable[[Index], Iterator[Row]] = attrs.field(eq=False, repr=False)
