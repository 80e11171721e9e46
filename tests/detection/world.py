"""A dataset as plain values, from which one record at a time can be exchanged and everything checked again.

Nothing is written to disk: the changed record is made from its plain value as the loader makes it, put in the
place of the old one, and the rules run over the result. A thousand slips take minutes.
"""

import copy
import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import cached_property
from pathlib import Path
from typing import Any

from attrs import define, field, frozen
from jsonschema import Draft202012Validator

from cardref.checks.corpus import Corpus
from cardref.checks.locating import field_of
from cardref.checks.rule import Hit, Rule
from cardref.checks.table import rules
from cardref.finding import Severity
from cardref.index import Index, from_loaded
from cardref.schema.generate import record_schema
from cardref.storage.converter import structure
from cardref.storage.loader import Entry, Loaded, LoadedFile, load_tree
from cardref.storage.references import expand
from cardref.storage.yamltext import read_text

__all__ = ["TODAY", "Change", "Told", "World"]

TODAY = dt.date(2026, 11, 30)
"""Fixed: slips into the future must not depend on when the experiment runs."""

Raw = dict[str, Any]


@frozen
class Change:
    """One record exchanged: its full id, and what its file says instead (ids as short as in the file).

    ``copy_of`` names a record beside which a new one is added instead.
    """

    record: str
    raw: Raw
    copy_of: bool = False


@frozen
class Told:
    """What a rule said, without its place in the file."""

    rule: str
    severity: Severity
    record: str
    field: str
    value: str
    others: tuple[str, ...]
    message: str

    @property
    def identity(self) -> tuple[str, str, str, str]:
        """What makes two of them the same."""
        return self.rule, self.record, self.field, self.value


@define(eq=False)
class _Changed(Loaded):
    """A loaded dataset in which some records were exchanged."""

    said: dict[int, Raw] = field(factory=dict)

    def raw(self, entry: Entry) -> Any:
        """What the file would say for an exchanged record."""
        return self.said[id(entry)] if id(entry) in self.said else super().raw(entry)


class World:
    """A valid dataset in the directory ``root``."""

    def __init__(self, root: Path) -> None:
        self.loaded = load_tree(root)
        self.index: Index = from_loaded(self.loaded)
        self._at: dict[str, tuple[str, int]] = {}
        self._raws: dict[str, Raw] = {}
        files = {path: self._file(path) for path, file in self.loaded.files.items() if file.readable}
        for kind, entries in self.loaded.entries.items():
            for number, entry in enumerate(entries):
                if entry.id and kind not in ("tombstone", "waiver"):
                    self._at[entry.id] = kind, number
                    self._raws[entry.id] = _walk(files[entry.file.path], entry)

    def _file(self, path: str) -> Any:
        return read_text(self.loaded.text(path)).value

    def ids(self, kind: str) -> Sequence[str]:
        """Full ids of all records of a kind."""
        return [full for full, (of, _) in self._at.items() if of == kind]

    def raw(self, full: str) -> Raw:
        """A copy of what a record's file says for it."""
        return copy.deepcopy(self._raws[full])

    def raw_of(self, full: str) -> Mapping[str, Any]:
        """The same to look at only."""
        return self._raws[full]

    def entry(self, full: str) -> Entry:
        """A record's entry."""
        kind, number = self._at[full]
        return self.loaded.entries[kind][number]

    # --- checking -----------------------------------------------------------------------------------

    @cached_property
    def false_alarms(self) -> int:
        """Warnings and errors on the dataset as it is, which is valid."""
        return sum(told.severity is not Severity.NOTE for told in _tell(self.loaded))

    @cached_property
    def before(self) -> Counter[tuple[str, str, str, str]]:
        """What is said of the dataset as it is."""
        return Counter(told.identity for told in _tell(self.loaded))

    def new(self, changes: Sequence[Change]) -> list[Told]:
        """What is said after ``changes`` and was not said before."""
        left = Counter(self.before)
        found = []
        for told in _tell(self.changed(changes)):
            if left[told.identity]:
                left[told.identity] -= 1
            else:
                found.append(told)
        return found

    def changed(self, changes: Sequence[Change]) -> Loaded:
        """The dataset with some records exchanged."""
        result = _Changed(self.loaded.root, self.loaded.model, dict(self.loaded.files))
        result.entries = {kind: list(entries) for kind, entries in self.loaded.entries.items()}
        for change in changes:
            kind, number = self._at[change.record]
            old = self.loaded.entries[kind][number]
            entry = _made(kind, old, change.raw)
            result.said[id(entry)] = change.raw
            if change.copy_of:
                result.entries[kind].insert(number + 1, entry)
            else:
                result.entries[kind][number] = entry
        return result

    def schema_finds(self, changes: Sequence[Change]) -> bool:
        """Whether the JSON Schemas alone, by a plain validator, refuse one of the changed records."""
        return any(
            next(self._validator(change).iter_errors(change.raw), None) is not None for change in changes
        )

    def _validator(self, change: Change) -> Draft202012Validator:
        kind = self._at[change.record][0]
        if kind not in self._validators:
            self._validators[kind] = Draft202012Validator(record_schema(kind))
        return self._validators[kind]

    @cached_property
    def _validators(self) -> dict[str, Draft202012Validator]:
        return {}


def _walk(value: Any, entry: Entry) -> Raw:
    for step in entry.pointer:
        value = value[step]
    if entry.pointer:
        return copy.deepcopy(value)
    assert entry.file.spec is not None
    return {key: copy.deepcopy(v) for key, v in value.items() if key not in entry.file.spec.lists}


def _made(kind: str, old: Entry, raw: Raw) -> Entry:
    spec = old.file.spec
    assert spec is not None
    line, maker = ("", "") if not old.pointer else (spec.line, spec.maker)
    said = copy.deepcopy(raw)
    expand(kind, said, line, maker)
    return Entry(kind, str(said.get("id", "")), structure(kind, said), old.file, old.pointer)


def _rules() -> Iterator[Rule]:
    for rule in rules():
        if "base" not in rule.needs and "outcome" not in rule.needs:
            yield rule


def _tell(loaded: Loaded) -> list[Told]:
    corpus = Corpus(loaded, TODAY)
    found = []
    for rule in _rules():
        lines: Mapping[str, str] = {
            line: why for kind in rule.needs for line, why in corpus.gaps.get(kind, {}).items()
        }
        for hit in rule.check(corpus):
            file = hit.where if isinstance(hit.where, LoadedFile) else hit.where.file
            if not lines or ("" not in lines and file.line and file.line not in lines):
                found.append(_told(rule, hit))
    return found


def _told(rule: Rule, hit: Hit) -> Told:
    here = hit.where.id if isinstance(hit.where, Entry) else ""
    others = tuple(also.entry.id for also in hit.also if also.entry.id != here)
    return Told(rule.id, rule.severity, here, field_of(hit.pointer), hit.value, others, hit.message)
