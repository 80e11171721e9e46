"""What rules look at: entries with their places, the index of what could be read, and today's date.

>>> import pathlib, tempfile
>>> from cardref.checks.sample import write_sample
>>> from cardref.storage.loader import load_tree
>>> corpus = Corpus(load_tree(write_sample(pathlib.Path(tempfile.mkdtemp()))), dt.date(2026, 11, 25))
>>> corpus.named(corpus.by_id["lanternfish/pell-orrin/b-003"])
'back pell-orrin 6A (b-003)'
"""

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from itertools import groupby
from typing import TYPE_CHECKING, Any, TypeVar, cast

from attrs import define, field, frozen

from cardref.checks.linking import AllTargets, Broken, Ids, all_targets, broken
from cardref.facts.called import called
from cardref.index import Index, from_loaded
from cardref.lazy import cached_property
from cardref.location import Pointer
from cardref.model.kinds import BY_PLURAL, KINDS, Record, Scope, short_id
from cardref.storage.layout import path_for, spec_of
from cardref.storage.loader import Entry, Loaded, LoadedFile
from cardref.text import clip, count_of, quoted

if TYPE_CHECKING:
    from cardref.facts.changes import Changes
    from cardref.schema.explain import Problem

__all__ = ["Corpus", "Outcome"]

R = TypeVar("R")

MAX_EXPLAINED = 2000
"""So many records of one file that cannot be read are explained; of the rest it is said how many. Explaining
a record takes a hundred times as long as reading it.
"""


@frozen
class Outcome:
    """What the other rules came to, for the rules that judge waivers.

    Attributes:
        families: every rule there is, by id, with its family.
        ran: ids of the rules that looked at the whole dataset.
        used: the waivers (by position) that accepted at least one finding.
    """

    families: Mapping[str, str] = field(factory=dict)
    ran: frozenset[str] = frozenset()
    used: frozenset[int] = frozenset()


@define(slots=False, eq=False)
class Corpus:
    """A loaded dataset as rules see it.

    Attributes:
        loaded: files and entries, well-formed or not.
        today: what counts as the future begins after this day.
        under: the index of a dataset that this one is laid over, or None.
        base: an earlier version of the same dataset to compare with, or None.
        outcome: what the other rules found; there only for rules that need it.
    """

    loaded: Loaded
    today: dt.date
    under: Index | None = None
    base: Index | None = None
    outcome: Outcome = Outcome()
    _made: dict[Callable[["Corpus"], Any], Any] = field(factory=dict, repr=False)

    @cached_property
    def own(self) -> Index:
        """Every record of this dataset that could be read."""
        return from_loaded(self.loaded)

    @cached_property
    def index(self) -> Index:
        """Every record that could be read, this dataset's over those of ``under``."""
        return self.own if self.under is None else self.own.over(self.under, "this dataset", "base")

    @cached_property
    def changes(self) -> "Changes":
        """What changed since ``base``; nothing where there is none."""
        from cardref.facts.changes import changes  # noqa: PLC0415 - most checks have nothing to compare with

        return changes(self.own if self.base is None else self.base, self.own)

    def entries(self, kind: str) -> list[Entry]:
        """All entries of a kind, well-formed or not, in the order of the files."""
        return self.loaded.entries[kind]

    def records(self, kind: str, _: type[R]) -> Sequence[tuple[Entry, R]]:
        """All well-formed entries of a kind with their record (of the class given).

        Of two with one id the first, as in the index; tombstones and waivers are all there.
        """
        return cast("Sequence[tuple[Entry, R]]", self._pairs[kind])

    @cached_property
    def _pairs(self) -> dict[str, list[tuple[Entry, Record]]]:
        # Listed once: nearly every rule goes through them, and a generator would cost each of them more.
        found: dict[str, list[tuple[Entry, Record]]] = {}
        for kind, entries in self.loaded.entries.items():
            pairs = [(entry, entry.record) for entry in entries if entry.record is not None]
            if KINDS[kind].scope is not Scope.NONE or kind == "line":
                first: dict[str, Entry] = {}
                for entry, _ in pairs:
                    first.setdefault(entry.id, entry)
                if len(first) < len(pairs):
                    pairs = [pair for pair in pairs if first[pair[0].id] is pair[0]]
            found[kind] = pairs
        return found

    @cached_property
    def by_id(self) -> dict[str, Entry]:
        """Full id -> its (first) entry in this dataset; a tombstone is none."""
        found: dict[str, Entry] = {}
        for kind, entries in self.loaded.entries.items():
            for entry in entries:
                if entry.id and kind != "tombstone":
                    found.setdefault(entry.id, entry)
        return found

    def once(self, make: Callable[["Corpus"], R]) -> R:
        """What ``make`` works out from this corpus: worked out once, for all rules that ask."""
        if make not in self._made:
            self._made[make] = make(self)
        return cast("R", self._made[make])

    # --- shared ground of several rules --------------------------------------------------------------

    @cached_property
    def ids(self) -> Ids:
        """All ids there are, those of ``under`` included."""
        return Ids.all_of(self.loaded, self.under)

    @cached_property
    def broken(self) -> tuple[Broken, ...]:
        """All references to nothing."""
        return broken(self.loaded, self.ids, self.targets)

    @cached_property
    def targets(self) -> AllTargets:
        """What every field that refers refers to."""
        return all_targets(self.loaded)

    @cached_property
    def misshapen(self) -> tuple[tuple[Entry, "Problem"], ...]:
        """Every fault of shape in a record, in the order of the files."""
        if not self._unfit:
            return ()
        # The schema library is slow to import, and a clean dataset never needs it.
        from cardref.schema.explain import Problem, problems  # noqa: PLC0415

        found: list[tuple[Entry, Problem]] = []
        for _, of_file in groupby(self._unfit, key=lambda entry: entry.file.path):
            unfit = list(of_file)
            for entry in unfit[:MAX_EXPLAINED]:
                told = problems(entry.kind, self.loaded.raw(entry))
                # Loader and schemas give one verdict, as a test holds; if not, it must not pass unseen.
                told = told or [Problem("wrong-value", f"this is no {entry.kind} that can be read")]
                found += ((entry, problem) for problem in told)
            more = unfit[MAX_EXPLAINED:]
            if more:
                message = (
                    f"from here on {count_of(len(more), 'more record')} of this file cannot be read: correct "
                    "those above first, then check again"
                )
                found.append((more[0], Problem("wrong-type", message)))
        return tuple(found)

    @cached_property
    def lost_files(self) -> dict[str, list[Broken]]:
        """Files that are not there, with the references into them.

        One reference may be misspelt and is no reason to think of a file; where a whole kind is gone from the
        dataset or a line, or several of a known maker's records are, it is the file that is missing.
        """
        found: dict[str, list[Broken]] = {}
        for reference in self.broken:
            path = self._home(reference)
            if path and not self._has_file(path):
                found.setdefault(path, []).append(reference)
        return {
            path: references
            for path, references in found.items()
            if len({reference.target for reference in references}) > 1
        }

    def _home(self, reference: Broken) -> str:
        """The one file in which the record that is referred to should stand, or "" where that is not sure."""
        if len(reference.kinds) > 1 or self.under is not None:
            return ""
        kind, parts = reference.kinds[0], reference.target.split("/")
        scope = KINDS[kind].scope
        if kind == "feature":
            own = path_for(kind, reference.entry.file.line) if reference.entry.file.line else ""
            return "" if own and self._has_file(own) else path_for(kind)
        if scope is Scope.DATASET:
            return path_for(kind)
        if len(parts) != 3 or parts[0] not in self._lines:
            return ""
        if scope is Scope.LINE:
            return path_for(kind, parts[0])
        return path_for(kind, parts[0], parts[1]) if f"maker/{parts[1]}" in self.ids.of["maker"] else ""

    @cached_property
    def _lines(self) -> frozenset[str]:
        return frozenset(file.line for file in self.loaded.files.values() if file.line)

    def _has_file(self, path: str) -> bool:
        stem = path.removesuffix(".yaml")
        return any(other == path or other.startswith(stem + ".") for other in self.loaded.files)

    def entry_at(self, file: LoadedFile, pointer: Pointer) -> Entry | None:
        """The record that a value belongs to; None where it belongs to the frame of its file."""
        lists = file.spec.lists if file.spec else ()
        top = not pointer or pointer[0] not in lists
        return self._by_place.get((file.path, () if top else pointer[:2]))

    @cached_property
    def _by_place(self) -> dict[tuple[str, Pointer], Entry]:
        return {
            (entry.file.path, entry.pointer): entry
            for entries in self.loaded.entries.values()
            for entry in entries
        }

    @cached_property
    def _unfit(self) -> list[Entry]:
        order = {path: number for number, path in enumerate(self.loaded.files)}
        unfit = [e for entries in self.loaded.entries.values() for e in entries if e.record is None]
        return sorted(unfit, key=lambda entry: order[entry.file.path])  # so that each file is read once

    def named(self, entry: Entry) -> str:
        """How a sentence names a record, safe to print; by where it stands if its id cannot be read."""
        if entry.kind == "tombstone" and entry.id:
            return f"the retired id {clip(entry.id, 200)}"
        if entry.id and entry.record is not None:
            return called(self.index, entry.id)
        if entry.id:
            own = KINDS[entry.kind].scope is Scope.MAKER
            return f"{entry.kind} {clip(entry.id.partition('/')[2] if own else short_id(entry.id), 80)}"
        position = entry.pointer[-1] if entry.pointer else ""
        return f"{entry.kind} {position + 1}" if isinstance(position, int) else f"the {entry.kind}"

    # --- what could not be read ---------------------------------------------------------------------

    @cached_property
    def gaps(self) -> dict[str, dict[str, str]]:
        """Kind -> line (short name, or "" for the dataset) -> why not every record of it could be read."""
        found: dict[str, dict[str, str]] = {}
        for file in self.loaded.files.values():
            kinds, line = _kinds_in(file)
            if file.complete:
                continue
            for kind in kinds:
                found.setdefault(kind, {}).setdefault(line, f"{quoted(file.path)} could not be read")
        for kind, entries in self.loaded.entries.items():
            for entry in entries:
                if entry.record is None:
                    name = entry.id or f"a record of {entry.file.path}"
                    found.setdefault(kind, {}).setdefault(
                        entry.file.line, f"{quoted(name)} does not have the shape of a {kind}"
                    )
        return found

    def may_exist(self, kind: str, line: str) -> bool:
        """Whether a record of ``kind`` in ``line`` may be there although it was not read.

        That is so where a file that holds that kind could not be read or has no id that can be.
        """
        return line in self._unread.get(kind, ())

    @cached_property
    def _unread(self) -> dict[str, set[str]]:
        found: dict[str, set[str]] = {}
        for file in self.loaded.files.values():
            kinds, line = _kinds_in(file)
            if not file.complete:
                for kind in kinds:
                    found.setdefault(kind, set()).add(line)
        for kind, entries in self.loaded.entries.items():
            if KINDS[kind].scope is Scope.NONE and kind != "line":
                continue
            for entry in entries:
                if not entry.id:
                    found.setdefault(kind, set()).add(entry.file.line)
        return found


def _kinds_in(file: LoadedFile) -> tuple[tuple[str, ...], str]:
    """The kinds that a file holds and the line it belongs to; guessed where its name is wrong."""
    spec = file.spec
    if spec is None:
        # "backs/quay-marl.yml" is reported once, as a file out of place, not by every link into it.
        stem, dot, _ = file.path.rpartition(".")
        spec = spec_of((stem if dot else file.path) + ".yaml")
    if spec is not None:
        top = (spec.top,) if spec.top else ()
        return (*top, *(BY_PLURAL[plural].name for plural in spec.lists)), spec.line
    parts = file.path.split("/")
    if len(parts) >= 3 and parts[0] == "lines" and parts[2] in ("backs", "faces", "cards"):
        return (BY_PLURAL[parts[2]].name,), parts[1]
    return (), ""
