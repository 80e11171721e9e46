"""Which printing it is, from what can be seen of a card: what :meth:`cardref.Reference.identify` answers.

>>> from cardref.reference import load
>>> ident = identify(load().index, "tidewrack", maker="quay-marl").observe("back-count", 25)
>>> ident.verdict.value, len(ident.conclusion.remaining)
('open', 7)
>>> ident = ident.observe("beam", "right").observe("picture-order", "machine")
>>> [candidate.name for candidate in ident.conclusion.remaining]
['quay-marl 25B', 'quay-marl 25C']
>>> ident.next_feature.feature, ident.next_feature.tool
('rope-length', 'ruler')
>>> str(ident.observe("rope", "4 mm").candidates[0])
'quay-marl 25B (99 %)'
"""

from collections.abc import Iterable, Mapping

from attrs import evolve, field, frozen

from cardref.errors import NotationError, UsageError
from cardref.facts.answer import Answer
from cardref.facts.cards import exists
from cardref.identification import told, words
from cardref.identification.answer import Candidate, Conclusion, Ending, Look, percent
from cardref.identification.cards import By, CardTable, Trace, card_table
from cardref.identification.copies import CopyBeside, CopySign, beside, signs_read
from cardref.identification.reading import COULD_NOT_SEE, Reading, read
from cardref.identification.session import Candidates, Session
from cardref.identification.sights import ANOTHER, CardLook
from cardref.identification.typed import CODE, Entry, entered, feature_named
from cardref.index import Index
from cardref.lazy import cached_property
from cardref.text import clip, count_of, quoted

__all__ = ["Identification", "Printing", "identify"]


@frozen
class Printing:
    """A back with its probability, all candidates on it together.

    Attributes:
        id: full id of the back.
        label: what people say, such as ``quay-marl 25B``.
        posterior: its probability.
    """

    id: str
    label: str
    posterior: float


@frozen(slots=False, eq=False)
class Identification:
    """What was seen of one card, and which printing it can be. Immutable: every look gives a new one.

    Made by :meth:`cardref.Reference.identify`. What it says of copies stands beside the belief about the
    printing and has no part in it. Nothing in it authenticates a card.

    Attributes:
        cards: the candidates, and all that there is to look at.
        session: the belief.
        entries: what was said, in order, by what it is about: a feature, or ``code`` for a whole code.
        inferred: why this line was taken, where nobody named it; else empty.
    """

    cards: CardTable = field(repr=False)
    session: Session = field(repr=False)
    entries: Mapping[str, Entry] = field(factory=dict)
    inferred: str = ""
    _signs: Mapping[str, Reading] = field(factory=dict, alias="_signs", repr=False)

    # --- looks

    def observe(self, name: str, reading: object) -> "Identification":
        """The identification after one more look.

        Args:
            name: what was looked at, whole or as much of its name as makes it plain: ``"rope"``. ``"code"``
                for a whole package code, with ``?`` for every sign that cannot be read.
            reading: a text as on the command line: a state, ``"a|b"`` for one of these, ``"4 mm"``, ``"?"``
                (could not see), ``"-"`` (does not apply); or a number, a :class:`cardref.Length`, a set ...

        Errors: UsageError (no such feature or state, with what was probably meant; or read already: see
        :meth:`retract`), NotationError (a text that is no length).
        """
        entry = entered(self.cards, name, reading)
        had = self.entries.get(entry.name)
        if had is not None and entry.name == CODE:
            raise UsageError(f"'code' was read already, as {quoted(had.typed)}: take it back first")
        return self._after(entry)

    def _after(self, entry: Entry) -> "Identification":
        session, signs = self.session, dict(self._signs)
        for feature, value in entry.values.items():
            sight = self.cards.signs.get(feature)
            if sight is None:
                had = session.readings.get(feature)
                # A segment that was given by itself goes before what the whole code says of it.
                if entry.name != CODE or had is None or had.blank is COULD_NOT_SEE:
                    session = session.observe(feature, value)
                continue
            had = signs.get(feature)
            if had is not None and had.blank is not COULD_NOT_SEE:
                raise UsageError(
                    f"{quoted(feature)} was read already, as {quoted(str(had))}: take it back first"
                )
            signs[feature] = read(sight.feature, value)
        return evolve(self, session=session, entries={**self.entries, entry.name: entry}, _signs=signs)

    def retract(self, name: str) -> "Identification":
        """The identification as if that had never been looked at.

        Errors: UsageError where it was not; says what was.
        """
        found, _ = feature_named(self.cards, name)
        if found not in self.entries:
            seen = ", ".join(clip(one, 40) for one in self.entries) or "nothing"
            raise UsageError(f"{quoted(found)} was not looked at; looked at so far: {seen}")
        fresh = evolve(self, session=Session(self.cards.table, self.threshold), entries={}, _signs={})
        for entry in self.entries.values():
            if entry.name != found:
                fresh = fresh._after(entry)  # noqa: SLF001 - another of the same class
        return fresh

    @property
    def readings(self) -> dict[str, Reading]:
        """What was read, by feature: those that tell printings, then signs of copies."""
        return {**self.session.readings, **self._signs}

    # --- the answer

    @property
    def line(self) -> str:
        """Short id of the line."""
        return self.cards.line

    @property
    def by(self) -> By:
        """What the candidates are: backs or cards."""
        return self.cards.by

    @property
    def threshold(self) -> float:
        """How probable the first candidate must be to call it identified."""
        return self.session.threshold

    @property
    def candidates(self) -> Candidates:
        """All candidates, the most probable first; each knows what matches and what does not, and where from.

        ``candidates[0].id`` is the full id of a back or card, ``.name`` what people call it, ``.posterior``
        its probability, ``.matches`` and ``.misfits`` the readings beside what is recorded; each of these has
        ``.where``, the records and sources that say so. Take a slice where there are many.
        """
        return self.session.candidates

    @cached_property
    def printings(self) -> tuple[Printing, ...]:
        """The backs, the most probable first. By card, all cards on a back are counted together."""
        shares: dict[str, float] = {}
        for candidate in self.candidates:
            back = self.cards.backs[candidate.id]
            shares[back] = shares.get(back, 0.0) + candidate.posterior
        backs = self.cards.index.backs
        ranked = sorted(shares, key=lambda back: -shares[back])
        return tuple(Printing(back, backs[back].label, shares[back]) for back in ranked)

    @property
    def conclusion(self) -> Conclusion:
        """How far the looks have led: what remains, what would be worth looking at, what cannot be told."""
        return self.session.conclusion

    @property
    def verdict(self) -> Ending:
        """Identified, open, cannot be told apart, or probably not recorded."""
        return self.conclusion.ending

    @property
    def contradictions(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """Readings that cannot both be right: a feature, and those on which it hangs."""
        return self.session.contradictions

    @cached_property
    def next_features(self) -> tuple[CardLook, ...]:
        """What was not looked at yet and would tell something, the most bits for the effort first."""
        return tuple(self._as_look(look) for look in self.session.next_features)

    @property
    def next_feature(self) -> CardLook | None:
        """The look that is worth most now; None when none is worth 0.01 bit."""
        look = self.session.next_feature
        return None if look is None else self._as_look(look)

    def _as_look(self, look: Look) -> CardLook:
        return CardLook.at(self.cards.sights[look.feature], look)

    @cached_property
    def copies(self) -> tuple[CopyBeside, ...]:
        """Known copies of what remains, what the looks say of them, and what would settle it.

        Beside the belief, never part of it. Nothing here authenticates a card; a card that matches no known
        copy may still be one.
        """
        remaining = [candidate.id for candidate in self.conclusion.remaining]
        return beside(self.cards, remaining, self.readings)

    @property
    def contenders(self) -> list[CopyBeside]:
        """Those of the known copies that are worth telling now: the looks speak for them, or for what they
        copy.
        """
        shares = {candidate.id: candidate.posterior for candidate in self.conclusion.remaining}
        return told.worth_telling(self.copies, {} if self.verdict is Ending.UNRECORDED else shares)

    @cached_property
    def signs(self) -> tuple[CopySign, ...]:
        """The general signs of copies that were read, beside what is known of originals. None is proof."""
        return signs_read(self.cards, self.candidates[0].id, self._signs)

    def trace(self, candidate: Candidate | str, feature: str) -> Trace:
        """The records and sources that say what is recorded of a candidate.

        Errors: UsageError for a feature or candidate that does not exist.
        """
        full = candidate if isinstance(candidate, str) else candidate.id
        self.session.candidate(full)
        self.session.table.column(feature)
        return self.cards.trace(full, feature)

    @property
    def looked(self) -> int:
        """How many things were seen, or follow from what was seen."""
        return len(self.candidates[0].fits)

    def explain(self) -> str:
        """The answer, why, and what to do next, in a few short lines."""
        lines = [*self.told_verdict()]
        if self.looked:
            top = self.candidates[0]
            good, bad, silent = told.fits(top, self.entries)
            for says, found in (("For", good), ("Against", bad)):
                if found:
                    lines.append(f"{says} {top.name}: {'; '.join(found[:12])}.")
            if silent:
                lines.append(f"Not recorded of it: {', '.join(silent[:8])}.")
        lines += [words.contradiction(feature, above) for feature, above in self.contradictions]
        if self.verdict is Ending.UNRECORDED:
            lines.append(words.LOOK_AGAIN)
        lines += told.card(self.recorded)
        lines += told.next_look(self.next_feature, self.verdict)
        lines += told.copies(self.contenders, self.signs)
        return "\n".join([*lines, words.prior(given=self.cards.table.prior is not None), told.CAUTION])

    def told_verdict(self) -> list[str]:
        """The conclusion in words, a sentence or a few."""
        size = len(self.cards.table.candidates)
        lines = words.verdict(self.conclusion, size, self.looked, self.session.tolerance)
        lines += told.by_signs(self.cards, [pair for pair in self.conclusion.pairs if not pair.tried])
        first = self.printings[0] if self.by is By.CARD and self.looked else None
        if first is not None and first.posterior >= 0.5 and self.verdict is not Ending.UNRECORDED:
            lines.append(f"Printing: {clip(first.label, 80)} ({percent(first.posterior)}).")
        return lines

    @property
    def recorded(self) -> Answer | None:
        """By back, where the figure was read: whether it is recorded on the most probable back."""
        reading = self.session.readings.get("figure")
        if self.by is By.CARD or reading is None or len(reading.states) != 1 or ANOTHER in reading.states:
            return None
        back = self.candidates[0]
        if back.posterior < 0.5:
            return None
        return exists(self.cards.index, f"{self.line}/figure/{reading.states[0]}", back.id)

    def __repr__(self) -> str:
        return f"<Identification {self.line} by {self.by}: {self.verdict}, {self.candidates!r}>"


# --- starting --------------------------------------------------------------------------------------------


def identify(
    index: Index,
    line: str = "",
    by: str = "back",
    known: Mapping[str, object] | None = None,
    *,
    threshold: float = 0.95,
    **more: object,
) -> Identification:
    """An identification with what is known so far.

    Args:
        index: the records.
        line: id or title of the line. Where it is left out, the one line that what is known fits.
        by: ``back`` for printings, ``card`` for recorded pairings of front and back.
        known: what was seen, by feature.
        threshold: how probable the first candidate must be to call it identified.
        more: what was seen as well; ``_`` stands for ``-`` in names.

    Errors: UsageError, and UnknownRecord for a line that does not exist.
    """
    seen = {**(known or {}), **{name.replace("_", "-"): value for name, value in more.items()}}
    try:
        kind = By(str(by).strip().lower())
    except ValueError:
        raise UsageError(f"cards are identified by back or by card, not by {quoted(str(by))}") from None
    if line:
        full = getattr(index.one(line, "line"), "id", "")
        return _started(index, full, kind, seen, threshold)
    lines = list(index.lines)
    if len(lines) == 1:
        return _started(index, lines[0], kind, seen, threshold)
    return _inferred(index, lines, kind, seen, threshold)


def _started(index: Index, line: str, by: By, seen: Mapping[str, object], threshold: float) -> Identification:
    cards = card_table(index, line, by)
    ident = Identification(cards, Session(cards.table, threshold))
    for name, value in seen.items():
        ident = ident.observe(name, value)
    return ident


def _inferred(
    index: Index, lines: Iterable[str], by: By, seen: Mapping[str, object], threshold: float
) -> Identification:
    """The identification in the one line that fits what was seen."""
    known = list(lines)
    if not known:
        raise UsageError("this dataset has no line: there is nothing to identify")
    if not seen:
        raise UsageError(f"say which line it is: line={' or line='.join(known[:8])}")
    possible: list[Identification] = []
    faults: dict[str, UsageError | NotationError] = {}
    for line in known:
        try:
            possible.append(_started(index, line, by, seen, threshold))
        except (UsageError, NotationError) as fault:
            faults[line] = fault
    if not possible:
        if all(isinstance(fault, NotationError) for fault in faults.values()):
            raise faults[known[0]]
        # The line that understood most of it is the one whose word helps.
        raise _nearest_fault(index, known, by, seen, faults)
    fitting = possible if len(possible) == 1 else [one for one in possible if not one.candidates[0].misfits]
    if len(fitting) == 1:
        why = "the only line that this can be" if len(possible) == 1 else "the only line that has such a card"
        return evolve(fitting[0], inferred=why)
    names = ", ".join(f"line={one.line}" for one in fitting or possible)
    fits = "fits several lines" if fitting else "fits no line without a misfit"
    raise UsageError(f"what was seen {fits}: say which it is, {names}")


def _nearest_fault(
    index: Index,
    lines: list[str],
    by: By,
    seen: Mapping[str, object],
    faults: Mapping[str, UsageError | NotationError],
) -> UsageError:
    def understood(line: str) -> int:
        count = 0
        for name, value in seen.items():
            try:
                count += not _started(index, line, by, {name: value}, 0.95).candidates[0].misfits
            except (UsageError, NotationError):
                continue
        return count

    # Of equals, the one that knows what was meant.
    best = max(lines, key=lambda line: (understood(line), "did you mean" in str(faults[line])))
    counted = count_of(len(lines), "line")
    return UsageError(f"{faults[best]} (in {clip(best, 60)}, the nearest of {counted}; or name the line)")
