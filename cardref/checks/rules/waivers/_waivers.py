"""A waiver as findings about waivers name it, and as their examples write it."""

from textwrap import indent

from cardref.checks.rule import Example, Hit
from cardref.location import Pointer
from cardref.model.bookkeeping import Waiver
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["about", "waived"]


def about(entry: Entry, waiver: Waiver, says: str, pointer: Pointer = (), *, value: str = "") -> Hit:
    """A hit about a waiver: ``says`` goes on from its name; ``value`` adds to what it is known by."""
    return Hit(
        entry,
        f"the waiver of {quoted(waiver.rule)} for {quoted(waiver.record)} {says}",
        pointer,
        value=f"{waiver.rule} {waiver.record}{value}",
    )


def waived(more: str, field: str = "", *, rule: str = "version-step", record: str = "sample") -> Example:
    """One waiver with these fields more, in the place of none."""
    text = f"waivers:\n  - rule: {rule}\n    record: {record}\n"
    return Example("waivers.yaml", text + (indent(more, "    ") + "\n" if more else ""), field=field)
