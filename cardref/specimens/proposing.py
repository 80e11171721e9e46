"""From a specimen to a contribution: what the dataset lacks, as edits of its files that pass its checks.

A specimen of a recorded card is a sighting. A figure on a back that no card has becomes a card, reported and
not confirmed. A reading or a code that nobody recorded is added where it belongs. What contradicts a record
is never written over it: it is told, and :func:`disputed` puts both sides beside each other.

Everything new stands on one source record: who saw it, when, and how somebody else finds it. The changed
dataset is checked before anybody sees the change; one that would not pass is refused.

>>> Evidence(citation="The Curlew collection, inspected in hand (invented)").slug
'curlew-collection'
"""

import datetime as dt
import re
import shutil
import tempfile
import unicodedata
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Final

from attrs import define, field, frozen

from cardref.checks.runner import check
from cardref.errors import DatasetError, UnknownRecord, UsageError
from cardref.facts.called import called, figure_name, listed
from cardref.finding import Finding, Severity
from cardref.index import Index, from_loaded
from cardref.location import Pointer
from cardref.model.evidence import Standing
from cardref.model.forms import is_slug
from cardref.model.source import SourceKind
from cardref.model.specimen import Status
from cardref.notation.edtf import Date
from cardref.schema.pieces import TEXT, TEXTS, answer_schema, exactly, list_of
from cardref.specimens.collection import Collection
from cardref.specimens.gathering import Mine, NewCard, News, gathered
from cardref.specimens.meaning import placed
from cardref.storage.atomic import Change, write_changes
from cardref.storage.draft import Draft
from cardref.storage.layout import path_for
from cardref.storage.loader import Entry
from cardref.text import clip, closest, count_of, quoted

__all__ = ["Evidence", "Proposal", "as_json", "disputed", "proposed", "schema"]

_LISTING: Final = "-listing"
_SMALL: Final = frozenset({"the", "a", "an", "of", "in", "on", "at"})


@frozen(kw_only=True)
class Evidence:
    """Who saw it.

    Attributes:
        citation: how somebody else finds it: who, what, when. Not needed for a source that is recorded.
        source: short name of the source record; made from the citation where it is "".
        date: when the specimens were looked at; today where it is None.
    """

    citation: str = ""
    source: str = ""
    date: dt.date | None = None

    @property
    def slug(self) -> str:
        """The short name of the source record. Errors: UsageError where none can be made."""
        if self.source:
            slug = self.source.removeprefix("source/")
            if not is_slug(slug):
                raise UsageError(f"{quoted(self.source)} is no short name: small letters, digits, hyphens")
            return slug
        first = re.split("[,(;]", self.citation.lower())[0]
        plain = unicodedata.normalize("NFKD", first).encode("ascii", "ignore").decode()
        slug = "-".join([word for word in re.findall("[a-z0-9]+", plain) if word not in _SMALL][:4])
        if not is_slug(slug):
            raise UsageError("say who saw it and how somebody else finds it: --by 'The Curlew collection'")
        return slug

    @property
    def day(self) -> str:
        """The day of the source record, ISO 8601."""
        return (self.date or dt.date.today()).isoformat()  # noqa: DTZ011 - the day where the user is


@frozen
class Proposal:
    """What a dataset would become; nothing is written.

    Attributes:
        changes: to be written by :func:`cardref.storage.atomic.write_changes`, or shown as a patch.
        news: what is new in them, a line each.
        held: what was not proposed, and why, a line each.
        findings: notes that a check of the changed dataset has and one of the old does not.
    """

    changes: tuple[Change, ...]
    news: tuple[str, ...]
    held: tuple[str, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def patch(self) -> str:
        """The changes as one unified diff; ``git apply -p0 --directory=dataset`` applies it."""
        return "".join(change.diff() for change in self.changes)


def proposed(mine: Collection, root: Path, evidence: Evidence, *, specimens: Iterable[str] = ()) -> Proposal:
    """What the specimens of a collection tell the dataset at ``root`` that it lacks.

    Args:
        mine: the collection.
        root: the directory of the dataset.
        evidence: who saw them.
        specimens: ids of the specimens to propose; all where none is named.

    Errors: UnknownRecord for a specimen that is not there; DatasetError where the dataset cannot be read, or
    would not pass its checks as well as before.
    """
    chosen = [_specimen(mine, one) for one in dict.fromkeys(specimens)] or list(mine.specimens)
    work = _Work(Draft(root), evidence)
    # The dataset that is told may be another, or a later one, than the collection was read beside.
    again = [Mine(held.record, placed(work.index, held.record)) for held in chosen]
    news = gathered(work.index, again)
    work.write(news)
    return work.done(news.held)


def disputed(
    mine: Collection,
    root: Path,
    evidence: Evidence,
    record: str,
    why: str,
    *,
    specimen: str = "",
    other_side: str = "",
) -> Proposal:
    """A correction as a dispute: what the record says and what speaks against it, each with its sources.

    Args:
        mine: the collection.
        root: the directory of the dataset.
        evidence: who says so.
        record: the back, face or card that is wrong: an id, or ``quay-marl 25C``.
        why: what is wrong with it, a sentence.
        specimen: id of the specimen that shows it, named in the claim; "" for none.
        other_side: what the record's side says; made from the record where it is "".

    Errors: UnknownRecord for the record or specimen; UsageError where several records are meant or nothing
    is said against it; DatasetError as for :func:`proposed`.
    """
    if not why.strip():
        raise UsageError("say what is wrong with it, in a sentence: --why TEXT")
    work = _Work(Draft(root), evidence)
    shown = f" Seen on {_specimen(mine, specimen).record.id}." if specimen else ""
    work.dispute(record, f"{why.strip().rstrip('.')}.{shown}", other_side.strip())
    return work.done([])


def _specimen(mine: Collection, one: str) -> Mine:
    found = next((held for held in mine.specimens if held.record.id == one), None)
    if found is None:
        near = closest(one, [held.record.id for held in mine.specimens])
        raise UnknownRecord(one, "specimen", near, "name one by the id that it has in your file")
    return found


@define(eq=False)
class _Work:
    """A dataset while news are written into it."""

    draft: Draft
    evidence: Evidence
    news: list[str] = field(factory=list)
    cited: dict[str, SourceKind] = field(factory=dict)
    supported: dict[str, dict[str, None]] = field(factory=dict)
    index: Index = field(init=False)
    entries: dict[str, Entry] = field(init=False)

    def __attrs_post_init__(self) -> None:
        self.index = from_loaded(self.draft.loaded)
        self.entries = {
            entry.id: entry
            for kind in ("back", "face", "card")
            for entry in self.draft.loaded.entries[kind]
            if entry.id and entry.record is not None
        }

    # --- news ---------------------------------------------------------------------------------------------

    def write(self, news: News) -> None:
        """Turn what was gathered into edits."""
        for number, card in enumerate(news.cards):
            self._card(card, [f"{one.back.rpartition('/')[0]}/" for one in news.cards[:number]])
        for full, states in news.states.items():
            self._states(full, states)
        for full, codes in news.codes.items():
            self._set(full, ("codes",), list(codes))
            self._add_sources(full, [self._cite(held) for held in codes.values()])
            self.news.append(f"{called(self.index, full)}: code {listed(map(quoted, codes))}")
        for full, several in news.sightings.items():
            self._sightings(full, several)
        self._write_sources()

    def _sightings(self, full: str, several: list[Mine]) -> None:
        fresh: list[dict[str, Any]] = []
        sightings = self.index.cards[full].sightings
        for slug, held in self._by_source(several).items():
            known = next((at for at, one in enumerate(sightings) if one.source == f"source/{slug}"), -1)
            if known < 0:
                fresh.append(self._sighting(slug, held))
            elif sightings[known].count < len(held):
                self._set(full, ("sightings", known, "count"), len(held))
            else:
                continue
            self.news.append(f"{called(self.index, full)}: {count_of(len(held), 'specimen')} seen")
        self._extend(full, "sightings", fresh)

    def _by_source(self, several: Iterable[Mine]) -> dict[str, list[Mine]]:
        found: dict[str, list[Mine]] = {}
        for held in several:
            found.setdefault(self._cite(held), []).append(held)
        return found

    def _sighting(self, slug: str, several: list[Mine]) -> dict[str, Any]:
        made: dict[str, Any] = {"source": slug}
        if len(several) > 1:
            made["count"] = len(several)
        dates = {held.record.date for held in several}
        date = dates.pop() if len(dates) == 1 else None
        source = self.index.sources.get(f"source/{slug}")
        until = source.date if source is not None else Date.parse(self.evidence.day)
        # Nothing is seen for a source after it was made.
        if date is not None and (until is None or until.before(date) is not True):
            made["seen"] = str(date)
        return made

    def _card(self, card: NewCard, others: list[str]) -> None:
        line, maker, _ = card.back.split("/")
        path = self._home(line, maker, card.back)
        if path not in self.draft.loaded.files:
            raise DatasetError(f"there is no file {quoted(path)} to put a card into: make it first")
        by_source = self._by_source(card.specimens)
        name = self._free(f"{line}/{maker}/", others.count(f"{line}/{maker}/"))
        record = {
            "id": name,
            "face": _short(card.face, line, maker),
            "back": _short(card.back, line, maker),
            **({"features": dict(card.features)} if card.features else {}),
            "sightings": [self._sighting(slug, held) for slug, held in by_source.items()],
            # It is one person's word; whoever keeps the dataset may confirm it.
            "standing": Standing.REPORTED.value,
            "sources": list(by_source),
        }
        self.draft.sheet(path).append(("cards",), record)
        figure = figure_name(self.index, self.index.faces[card.face].figure)
        self.news.append(
            f"card {maker} {name} ({figure} on {self.index.backs[card.back].designation}), reported"
        )

    def _home(self, line: str, maker: str, back: str) -> str:
        """The file for a card: where other cards on its back are, else where most of its maker's are."""
        on_back: Counter[str] = Counter()
        by_maker: Counter[str] = Counter()
        for full, card in self.index.cards.items():
            if full.startswith(f"{line}/{maker}/"):
                path = self.entries[full].file.path
                by_maker[path] += 1
                on_back[path] += card.back == back
        most = max(by_maker, key=lambda path: (on_back[path], by_maker[path]), default="")
        return most or path_for("card", line, maker)

    def _free(self, lead: str, further: int) -> str:
        """A card's next number; one that was given once is never given again."""
        numbers = [
            match
            for full in (*self.index.cards, *self.index.retired)
            if full.startswith(lead) and (match := re.fullmatch("(c-)([0-9]{1,9})", full.removeprefix(lead)))
        ]
        last = max(numbers, key=lambda match: int(match[2]), default=None)
        digits = last[2] if last else "0000"
        return f"c-{int(digits) + 1 + further:0{len(digits)}d}"

    def _states(self, full: str, states: dict[str, tuple[str, Mine]]) -> None:
        made = {slug: state for slug, (state, _) in states.items()}
        if getattr(self.entries[full].record, "features", None):
            for slug, state in made.items():
                self._set(full, ("features", slug), state)
        else:
            self._set(full, ("features",), made)
        self._add_sources(full, [self._cite(held) for _, held in states.values()])
        told = ", ".join(f"{slug} {state}" for slug, state in made.items())
        self.news.append(f"{called(self.index, full)}: {told}")

    # --- disputes -----------------------------------------------------------------------------------------

    def dispute(self, text: str, claim: str, other_side: str) -> None:
        """Have a record disputed, both sides told."""
        full = self._meant(text)
        record: Any = self.entries[full].record
        slug = self._cite(None)
        mine = {"claim": claim, "sources": [slug]}
        if record.standing is Standing.DISPUTED and record.sides:
            self._extend(full, "sides", [mine])
        else:
            seen = [one.source for one in getattr(record, "sightings", ())]
            theirs = [one.removeprefix("source/") for one in dict.fromkeys(record.sources or seen)]
            says = other_side or f"As it is recorded: {self._says(full)}."
            side = {"claim": says, **({"sources": theirs} if theirs else {})}
            self._set(full, ("standing",), Standing.DISPUTED.value)
            self._extend(full, "sides", [side, mine])
        self._add_sources(full, [slug])
        self.news.append(f"{called(self.index, full)} is disputed: {clip(claim, 200)}")
        self._write_sources()

    def _meant(self, text: str) -> str:
        kinds = ("back", "card", "face")
        found = [full for kind in kinds for full in self.index.find(text, (kind,)) if full in self.entries]
        if len(found) > 1:
            raise UsageError(f"{quoted(text)} names {listed(found)}: name the one")
        if not found:
            there = "`cardref list cards` lists those that are recorded"
            raise UnknownRecord(text, "back, face or card", self.index.suggest(text), there)
        return found[0]

    def _says(self, full: str) -> str:
        back = self.index.backs.get(full)
        if back is not None:
            return f"{back.label} is a printing of its own, with these features"
        return f"{called(self.index, full)} is as it is described here"

    # --- sources ------------------------------------------------------------------------------------------

    def _cite(self, held: Mine | None) -> str:
        """The short name of the source that something stands on; what was only offered has one of its own."""
        slug, kind = self.evidence.slug, SourceKind.SPECIMEN
        if held is not None and held.record.status is Status.OFFERED:
            slug, kind = slug + _LISTING, SourceKind.LISTING
        if f"source/{slug}" not in self.index.sources:
            if not self.evidence.citation:
                raise UsageError(
                    f"there is no source {quoted(slug)} yet: say who saw it and how somebody else finds it, "
                    "--by 'The Curlew collection, inspected in hand'"
                )
            self.cited.setdefault(slug, kind)
        return slug

    def _write_sources(self) -> None:
        for full, slugs in self.supported.items():
            known = {one.removeprefix("source/") for one in getattr(self.entries[full].record, "sources", ())}
            self._extend(full, "sources", [slug for slug in slugs if slug not in known])
        for slug, kind in self.cited.items():
            offered = ", as seen offered" if kind is SourceKind.LISTING else ""
            citation = self.evidence.citation + offered
            record = {"id": slug, "kind": kind.value, "citation": citation, "date": self.evidence.day}
            sheet = self.draft.sheet("sources.yaml")
            if isinstance(sheet.value.get("sources"), list):
                sheet.append(("sources",), record)
            else:
                sheet.set(("sources",), [record])
            self.news.append(f"source {slug}: {clip(citation, 100)}")

    # --- edits --------------------------------------------------------------------------------------------

    def _set(self, full: str, way: Pointer, value: Any) -> None:
        entry = self.entries[full]
        self.draft.sheet(entry.file.path).set((*entry.pointer, *way), value)

    def _extend(self, full: str, name: str, items: list[Any]) -> None:
        """Add to a list of a record, which may not be there yet."""
        entry = self.entries[full]
        if items and not getattr(entry.record, name):
            self._set(full, (name,), items)
        else:
            for item in items:
                self.draft.sheet(entry.file.path).append((*entry.pointer, name), item)

    def _add_sources(self, full: str, slugs: Iterable[str]) -> None:
        """Have a record stand on these sources as well; written once, when all of them are known."""
        self.supported.setdefault(full, {}).update(dict.fromkeys(slugs))

    def done(self, held: list[str]) -> Proposal:
        """The proposal, proven by a check of the dataset as it would be."""
        changes = self.draft.changes()
        notes = _proven(self.draft.root, changes) if changes else ()
        return Proposal(changes, tuple(self.news), tuple(held), notes)


def _short(full: str, line: str, maker: str) -> str:
    """An id as short as a maker's file may write it."""
    return full.removeprefix(f"{line}/{maker}/").removeprefix(f"{line}/")


def _proven(root: Path, changes: tuple[Change, ...]) -> tuple[Finding, ...]:
    """The notes that come with the changes. Errors: DatasetError where worse than notes would come."""
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "dataset"
        shutil.copytree(root, copy, symlinks=True, ignore=shutil.ignore_patterns(".git"))
        write_changes(copy, changes)
        known = {finding.fingerprint for finding in check(root).findings}
        new = [finding for finding in check(copy).findings if finding.fingerprint not in known]
    worse = [finding for finding in new if finding.severity is not Severity.NOTE]
    if worse:
        told = "; ".join(f"{finding.place}: {clip(finding.message, 300)}" for finding in worse[:3])
        raise DatasetError(f"the dataset would not pass its checks: {told}", worse)
    return tuple(new)


def as_json(found: Proposal) -> dict[str, Any]:
    """The proposal as plain values."""
    return {
        "patch": found.patch,
        "files": [change.path for change in found.changes],
        "news": list(found.news),
        "held": list(found.held),
        "findings": [f"{one.place}: {one.message}" for one in found.findings],
    }


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref own propose --format json`` prints."""
    found = exactly(patch=TEXT, files=TEXTS, news=TEXTS, held=TEXTS, findings=list_of(TEXT))
    return answer_schema("own-propose", "cardref own propose --format json", proposal=found)
