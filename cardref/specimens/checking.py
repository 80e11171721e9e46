r"""Check a user's own files: form, and what they say beside the reference. Every finding has its place.

>>> import tempfile, pathlib
>>> from cardref.reference import load
>>> path = pathlib.Path(tempfile.mkdtemp()) / "mine.csv"
>>> _ = path.write_text("id,card,price\n7,tidewrack/quay-marl/c-0001,5 EURO\n")
>>> report = check_own([path], load())
>>> print(report.findings[0].message)
row 2, column C (price): there is no currency 'EURO'; did you mean 5 EUR?
"""

import datetime as dt
import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from cardref.facts.answer import Verdict
from cardref.facts.called import called, listed
from cardref.facts.cards import exists
from cardref.facts.condition import colour_feature
from cardref.facts.features import features_of_line, overlap, state_fault, states_allowed, states_of
from cardref.finding import Finding, Fix, Related, Report, Severity, Skipped
from cardref.index import Index, Layer, index_in
from cardref.location import Place, Pointer
from cardref.model.condition import NOT_SEEN
from cardref.model.feature import NOT_APPLICABLE
from cardref.model.forms import FORMS
from cardref.model.kinds import short_id
from cardref.model.specimen import Basis
from cardref.notation.edtf import Date
from cardref.specimens.entry import Entry, OwnFile
from cardref.specimens.forms import Told, shape_faults
from cardref.specimens.in_table import TableFile
from cardref.specimens.in_yaml import YamlFile
from cardref.specimens.meaning import RECORDS, How, Placed, clashes, meaning, place
from cardref.specimens.rules import RULES
from cardref.storage.converter import structure
from cardref.text import clip, closest, quoted

__all__ = ["MOST_FINDINGS", "check_own", "open_own"]

PathLike = str | os.PathLike[str]

MOST_FINDINGS: Final = 1_000
"""So many findings of a file are told; what keeps a table from being read mostly does so in every row."""

_SEVERITY: Final = {rule.id: rule.severity for rule in RULES}
_SHOWN: Final = 80
_MOST_KEPT: Final = 10_000


def open_own(path: PathLike, name: str = "") -> OwnFile:
    """A user's own file: a table where its name ends in ``.csv`` or ``.tsv``, else YAML.

    ``name`` is the path that places have. Errors: DatasetError where there is no file that can be read.
    """
    path = Path(path)
    table = path.suffix.lower() in (".csv", ".tsv")
    return TableFile(path, name) if table else YamlFile(path, name)


def check_own(
    paths: Iterable[PathLike],
    reference: Layer | Index,
    *,
    today: dt.date | None = None,
    names: Sequence[str] = (),
) -> Report:
    """Check a user's own files beside a reference, all together: an id is given once in all of them.

    However many rows there are, one is held at a time, beside the ids of all.

    Args:
        paths: YAML or CSV files.
        reference: what their records refer to.
        today: the day after which a date lies in the future; the machine's own where not given.
        names: what places call the files; their paths where not given.

    Errors: DatasetError where there is no file that can be read.
    """
    index = index_in(reference)
    paths = list(paths)
    given = list(zip(paths, names or [Path(path).as_posix() for path in paths], strict=True))
    looker = _Looker(index, today or dt.date.today())  # noqa: DTZ011 - the day where the user is
    findings: list[Finding] = []
    skipped: list[Skipped] = []
    records = files = 0
    for path, name in given:
        file = open_own(path, name)
        files += file.readable
        found: list[Finding] = []
        for entry in file.entries():
            records += 1
            found += looker.findings(entry)
            if len(found) + len(file.faults) > MOST_FINDINGS:
                reason = (
                    f"only the first {MOST_FINDINGS} findings of {quoted(name)} are told, and what stands "
                    "behind them was not looked at: mend these first"
                )
                skipped.append(Skipped("every rule", reason))
                break
        findings += sorted(file.faults + found, key=lambda one: one.place)[:MOST_FINDINGS]
    version = index.dataset.version if index.dataset else ""
    return Report(
        dataset=", ".join(name for _, name in given),
        version=version,
        findings=tuple(findings),
        skipped=tuple(skipped),
        files=files,
        records=records,
        rules=len(RULES),
    )


class _Looker:
    """What is known while files are gone through."""

    def __init__(self, index: Index, today: dt.date) -> None:
        self.index = index
        self.today = Date.parse(today.isoformat())
        self.ids: dict[tuple[str, str], Place] = {}
        # A large table names the same few cards again and again.
        self._references: dict[tuple[str, str], Told | None] = {}
        self._standing: dict[tuple[str | None, ...], tuple[Placed, tuple[Told, ...]]] = {}
        self._recorded: dict[Placed, Mapping[str, tuple[tuple[str, ...], str]]] = {}

    def findings(self, entry: Entry) -> Iterator[Finding]:
        """Everything that is wrong with one record."""
        for told in self._told(entry):
            yield self._finding(entry, told)

    def _finding(self, entry: Entry, told: Told) -> Finding:
        fix = None
        if told.meant:
            edits = entry.edits(told.pointer, told.meant, on_key=told.on_key)
            lead = "'" if told.rule == "formula-cell" else ""
            fix = Fix(f"write {lead}{clip(told.meant, _SHOWN)}", told.safe and bool(edits), edits)
        # In a table a currency may stand apart from its amount.
        at = (*told.pointer, "currency") if told.rule == "unknown-currency" else told.pointer
        return Finding(
            rule=told.rule,
            severity=told.severity or _SEVERITY.get(told.rule, Severity.ERROR),
            message=f"{entry.said(at)}: {told.message}",
            place=entry.place(at, on_key=told.on_key),
            record=entry.id,
            field=clip(".".join(step for step in told.pointer if isinstance(step, str)), 200),
            value=told.value,
            related=told.related,
            fix=fix,
        )

    def _told(self, entry: Entry) -> Iterator[Told]:
        raw = entry.raw
        taken: set[Pointer] = set()
        for pointer, _, _, cell in entry.formulas():
            if pointer:
                taken.add(pointer)
                message = (
                    f"{quoted(cell)} would be run as a formula by a spreadsheet program; here it is text. "
                    "Put an apostrophe in front of it"
                )
                yield Told("formula-cell", message, pointer, cell, meant=cell, safe=True)
        record = structure(entry.kind, raw) if isinstance(raw, dict) else None
        if record is None:
            for told in shape_faults(entry.kind, raw):
                if told.pointer not in taken:
                    taken.add(told.pointer)
                    yield told
        if not isinstance(raw, dict):
            return
        if entry.id:
            yield from self._twice(entry)
        yield from self._links(raw, taken)
        yield from self._meanings(entry.kind, raw, taken)

    # --- form ---------------------------------------------------------------------------------------------

    def _twice(self, entry: Entry) -> Iterator[Told]:
        key = (entry.kind, entry.id)
        start = entry.start()
        first = self.ids.setdefault(key, start)
        if first is not start:
            message = f"the id {quoted(entry.id)} is given twice: give one of the two another"
            related = (Related(first, "the other one"),)
            yield Told("duplicate-id", message, ("id",), entry.id, related=related)

    # --- references ---------------------------------------------------------------------------------------

    def _links(self, raw: Mapping[str, Any], taken: set[Pointer]) -> Iterator[Told]:
        for kind in RECORDS:
            text = raw.get(kind)
            if isinstance(text, str) and text and (kind,) not in taken:
                key = (kind, text)
                if key not in self._references:
                    if len(self._references) > _MOST_KEPT:
                        self._references.clear()
                    self._references[key] = self._reference(kind, text)
                told = self._references[key]
                if told is not None:
                    yield told

    def _reference(self, kind: str, text: str) -> Told | None:
        index = self.index
        found = meaning(index, kind, text)
        if found.how is How.ID:
            return None
        one = found.ids[0] if len(found.ids) == 1 else ""
        if found.how is How.RETIRED:
            tombstone = index.retired[found.retired]
            now = f"it is {listed(found.ids)} today" if found.ids else "nothing took its place"
            message = f"{quoted(text)} is retired ({clip(tombstone.reason, 160)}): {now}"
            warning = Severity.WARNING
            return Told("retired-link", message, (kind,), text, meant=one, safe=True, severity=warning)
        if found.how is How.WRONG_KIND:
            message = f"{quoted(text)} is a {index.kind(text)}, and a {kind} is wanted here"
            return Told("wrong-kind-link", message, (kind,), text)
        if one:
            message = f"{quoted(text)} is {called(index, one)}; write its id {one}: names change, ids stay"
            return Told("name-for-id", message, (kind,), text, meant=one, safe=True)
        if found.ids:
            first = listed(found.ids, 5)
            return Told("unknown-link", f"{quoted(text)} may mean {first}: write the one", (kind,), text)
        return self._unknown(kind, text)

    def _unknown(self, kind: str, text: str) -> Told:
        near: list[str] = []
        for name in self.index.suggest(text, kind):
            near += [full for full in meaning(self.index, kind, name).ids if full not in near]
        hint = f"did you mean {' or '.join(near[:3])}?" if near else f"`cardref list {kind}s` lists them"
        meant = near[0] if len(near) == 1 else ""
        message = f"no {kind} is called {quoted(text)}; {hint}"
        return Told("unknown-link", message, (kind,), text, meant=meant)

    # --- meaning ------------------------------------------------------------------------------------------

    def _meanings(self, kind: str, raw: Mapping[str, Any], taken: set[Pointer]) -> Iterator[Told]:
        where, standing = self._stands(raw)
        yield from standing
        if ("date",) not in taken:
            yield from self._future(raw.get("date"))
        if kind == "specimen":
            yield from self._designation(raw.get("designation"), where)
            yield from self._readings(raw, where, taken)
            yield from self._code(raw.get("code"), where)
            yield from self._colour(raw.get("condition"))

    def _stands(self, raw: Mapping[str, Any]) -> tuple[Placed, tuple[Told, ...]]:
        """What a record is about, and what in that does not go together."""
        said = tuple(text if isinstance(text := raw.get(name), str) else None for name in RECORDS)
        if said not in self._standing:
            if len(self._standing) > _MOST_KEPT:
                self._standing.clear()
            known = {name: text for name, text in zip(RECORDS, said, strict=True) if text}
            where = place(self.index, **known)
            told: list[Told] = []
            if not any(said[:4]):
                message = "it says neither card, nor back, face or figure: name one of them"
                told.append(Told("nothing-named", message))
            slips = list(clashes(self.index, known))
            told += [Told("parts-disagree", why, (field,), known[field]) for field, why in slips]
            if not slips and not where.named and where.figure and where.back:
                told += self._impossible(where)
            self._standing[said] = where, tuple(told)
        return self._standing[said]

    def _impossible(self, where: Placed) -> Iterator[Told]:
        answer = exists(self.index, where.figure, where.back)
        if answer.verdict is Verdict.NO:
            message = f"{answer.because}: look again which back and which figure it is"
            yield Told("figure-not-on-back", message, ("back",), where.back)

    def _designation(self, written: Any, where: Placed) -> Iterator[Told]:
        back = self.index.backs.get(where.back)
        if back is None or not isinstance(written, str) or not FORMS["designation"].holds(written):
            return
        if str(back.designation) != written:
            message = (
                f"{short_id(back.id)} was {quoted(written)} when this was written down, and is "
                f"{back.designation} today: the id decides; look once whether that is the one that you have"
            )
            yield Told("relettered-back", message, ("designation",), written, meant=str(back.designation))

    def _future(self, written: Any) -> Iterator[Told]:
        if isinstance(written, str) and _to_come(written, self.today):
            message = f"{quoted(written)} is still to come"
            yield Told("future-date", message, ("date",), written, severity=Severity.WARNING)

    def _readings(self, raw: Mapping[str, Any], where: Placed, taken: set[Pointer]) -> Iterator[Told]:
        readings = raw.get("readings")
        if not isinstance(readings, dict) or ("readings",) in taken:
            return
        features = features_of_line(self.index, where.line)
        recorded = self._recorded_of(where)
        for slug, given in readings.items():
            pointer = ("readings", str(slug))
            feature = features.get(str(slug))
            if feature is None:
                near = closest(str(slug), features, 1)
                hint = f"did you mean {near[0]}?" if near else "`cardref list features` lists them"
                message = f"there is no feature {quoted(str(slug))}; {hint}"
                meant = near[0] if near else ""
                yield Told("unknown-link", message, pointer, str(slug), on_key=True, meant=meant)
                continue
            seen = [str(one) for one in (given if isinstance(given, list) else [given])]
            faults = [(state, fault) for state in seen if (fault := state_fault(feature, state))]
            for state, fault in faults:
                yield Told("unknown-state", f"{slug} cannot be {quoted(state)}: {fault}", pointer, state)
            if not faults and slug in recorded:
                known, whose = recorded[slug]
                if not any(overlap(feature, one, other) for one in seen for other in known):
                    yield self._differs(raw, slug, seen, known, whose)

    def _recorded_of(self, where: Placed) -> Mapping[str, tuple[tuple[str, ...], str]]:
        """Feature -> the states recorded of what a specimen shows, and the record that has them."""
        if where not in self._recorded:
            if len(self._recorded) > _MOST_KEPT:
                self._recorded.clear()
            found: dict[str, tuple[tuple[str, ...], str]] = {}
            for full in self._looked_at(where):
                for slug, states in states_of(self.index, full).items():
                    found.setdefault(slug, (states, full))
            self._recorded[where] = found
        return self._recorded[where]

    def _looked_at(self, where: Placed) -> Iterator[str]:
        """The records of which a specimen shows what is recorded."""
        if where.back:
            yield where.back
        if where.card:
            card = self.index.cards[where.card]
            yield card.face
            yield card.id

    def _differs(
        self, raw: Mapping[str, Any], slug: str, states: list[str], known: tuple[str, ...], full: str
    ) -> Told:
        recorded = " or ".join("not there" if one == NOT_APPLICABLE else one for one in known)
        message = (
            f"{slug} was seen as {clip(' or '.join(states), _SHOWN)}, but {called(self.index, full)} has "
            f"{recorded}: another printing, a slip, or something new"
        )
        identified = raw.get("basis") == Basis.IDENTIFIED.value
        severity = Severity.NOTE if identified else Severity.WARNING
        return Told("reading-differs", message, ("readings", slug), "|".join(states), severity=severity)

    def _code(self, code: Any, where: Placed) -> Iterator[Told]:
        if not isinstance(code, str) or not where.card:
            return
        face = self.index.faces.get(self.index.cards[where.card].face)
        if face is None or face.codes is None or code in face.printed_codes:
            return
        known = listed(face.printed_codes) if face.printed_codes else str(face.codes)
        message = (
            f"{quoted(code)} is not recorded for {called(self.index, face.id)} (but {clip(known, _SHOWN)}): "
            f"`cardref decode {quoted(code)}` says what it means"
        )
        yield Told("code-differs", message, ("code",), code)

    def _colour(self, condition: Any) -> Iterator[Told]:
        colour = condition.get("bubble_colour") if isinstance(condition, dict) else None
        feature = colour_feature(self.index)
        if feature is None or not isinstance(colour, str) or colour == NOT_SEEN:
            return
        known = states_allowed(feature)
        if colour not in known:
            near = closest(colour, known, 1)
            hint = f"did you mean {near[0]}?" if near else f"it can be {', '.join(known)}"
            pointer = ("condition", "bubble_colour")
            message = f"the bubble cannot be {quoted(colour)}; {hint}"
            yield Told("unknown-state", message, pointer, colour, meant=near[0] if near else "")


@lru_cache(maxsize=4096)
def _to_come(written: str, today: Date) -> bool:
    return Date.is_valid(written) and today.before(Date.parse(written)) is True
