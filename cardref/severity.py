"""How bad a finding is.

>>> Severity.ERROR.rank > Severity.WARNING.rank > Severity.NOTE.rank
True
"""

import enum

__all__ = ["Severity"]


class Severity(enum.StrEnum):
    """How bad: *error* cannot be true or cannot be read, *warning* very likely a slip, *note* incomplete."""

    NOTE = "note"
    WARNING = "warning"
    ERROR = "error"

    @property
    def rank(self) -> int:
        """0 for a note, 1 for a warning, 2 for an error."""
        return ("note", "warning", "error").index(self.value)
