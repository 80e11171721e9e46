"""A user's file and its records, whether it is YAML or a table: what each can tell, and where that stands.

>>> id_of({"id": "7"}), id_of({"id": 7}), id_of(None)
('7', '', '')
"""

import stat
from abc import ABC, abstractmethod
from collections.abc import Iterator
from os import stat_result
from pathlib import Path
from typing import Any, Protocol

from cardref.errors import DatasetError
from cardref.finding import Edit, Finding, Fix, Related, Severity
from cardref.location import Place, Pointer
from cardref.text import quoted

__all__ = ["Entry", "OwnFile", "id_of", "look_at", "read_own", "unusable"]


class Entry(Protocol):
    """One record of a file."""

    @property
    def kind(self) -> str:
        """Specimen, want or sale."""

    @property
    def raw(self) -> Any:
        """What it says, as plain values."""

    @property
    def id(self) -> str:
        """Its id, or "" where it has none that can be read."""

    def start(self) -> Place:
        """Where it begins; cheap, for it is asked of every record."""

    def place(self, pointer: Pointer, *, on_key: bool = False) -> Place:
        """Where the value at ``pointer`` stands, or what is nearest to it."""

    def said(self, pointer: Pointer) -> str:
        """Where that is, in words."""

    def edits(self, pointer: Pointer, text: str, *, on_key: bool = False) -> tuple[Edit, ...]:
        """What has to be written to have ``text`` there; () where that cannot be done exactly."""

    def formulas(self) -> Iterator[tuple[Pointer, Place, str, str]]:
        """Cells that a spreadsheet would run: the field, the place, where in words, and the text."""


class OwnFile(ABC):
    """A file with a user's own records, in one form or another.

    Attributes:
        path: where it is.
        name: what places call it, with ``/``.
        faults: findings about its frame; of a table's rows as far as :meth:`entries` has come.
        readable: whether it could be read at all.
    """

    def __init__(self, path: Path, name: str = "") -> None:
        self.path = path
        self.name = name or path.name
        self.faults: list[Finding] = []
        self.readable = True

    @abstractmethod
    def entries(self) -> Iterator[Entry]:
        """Its records in order, well-formed or not."""

    def fault(
        self, rule: str, message: str, place: Place, value: str = "", *, severity: Severity = Severity.ERROR,
        fix: Fix | None = None, related: tuple[Related, ...] = (),
    ) -> None:  # fmt: skip
        """Note what is wrong with the file's frame."""
        found = Finding(
            rule=rule, severity=severity, message=message, place=place, value=value, fix=fix, related=related
        )
        self.faults.append(found)


def unusable(name: str, file: OwnFile) -> DatasetError:
    """The error for a file that could not be read: where, why, and the next step."""
    first = file.faults[0]
    return DatasetError(
        f"{quoted(name)} cannot be used, at {first.place}: {first.message}; `cardref check` says more",
        file.faults,
    )


def id_of(raw: Any) -> str:
    """The id in a record's plain values, or ""."""
    found = raw.get("id") if isinstance(raw, dict) else None
    return found if isinstance(found, str) else ""


def look_at(path: Path) -> stat_result:
    """What the system says of a file. Errors: DatasetError where it is no file that can be read."""
    try:
        found = path.stat()
    except FileNotFoundError:
        raise DatasetError(f"{quoted(str(path))} does not exist: name a YAML or CSV file of yours") from None
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or "no name of a file"
        raise DatasetError(f"{quoted(str(path))} cannot be read ({why})") from error
    # Asked before it is opened: opening a pipe would wait for somebody to write into it.
    if not stat.S_ISREG(found.st_mode):
        raise DatasetError(f"{quoted(str(path))} is no regular file: name a YAML or CSV file")
    return found


def read_own(path: Path) -> bytes:
    """The bytes of a user's file. Errors: DatasetError where it is no file that can be read."""
    look_at(path)
    try:
        return path.read_bytes()
    except OSError as error:
        raise DatasetError(f"{quoted(str(path))} cannot be read ({error.strerror})") from error
