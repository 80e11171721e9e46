"""What decoding answers: readings of the text, best first, and three separate judgements of the best one.

Whether it can be read at all, whether exactly that is recorded, and whether its parts agree are three
questions:

>>> from cardref.reference import load
>>> answer = load().decode("7K 2046/0?1")
>>> answer.well_formed, answer.known.value, answer.consistent.value
(True, 'yes', 'yes')
>>> answer.best.possible, answer.best.existing  # so many codes it can be, so many of them are recorded
(10, 1)
"""

from typing import Protocol

from attrs import frozen

from cardref.facts.answer import Answer, Verdict
from cardref.facts.codebook import Meaning
from cardref.notation.trace import Change

__all__ = ["Adviser", "Decoding", "Reading", "Seed"]


@frozen(kw_only=True)
class Reading:
    """One way to read the text.

    Attributes:
        kind: ``package code``, ``designation`` or ``barcode``.
        value: as it is properly written.
        changes: what had to be changed to read it; empty when it was written exactly.
        scheme: full id of the code scheme, or "".
        makers: full ids of the makers whose it can be.
        segments: what each segment says; () for other kinds.
        possible: how many whole codes a partly read one could be; 1 for a whole one.
        existing: how many of these are recorded.
        figures, backs, faces, cards: full ids of what it leaves, by what is recorded.
        known: whether exactly this is recorded.
        checks: whether its parts agree with each other and with the records, one by one.
    """

    kind: str
    value: str
    changes: tuple[Change, ...] = ()
    scheme: str = ""
    makers: tuple[str, ...] = ()
    segments: tuple[Meaning, ...] = ()
    possible: int = 1
    existing: int
    figures: tuple[str, ...] = ()
    backs: tuple[str, ...] = ()
    faces: tuple[str, ...] = ()
    cards: tuple[str, ...] = ()
    known: Answer
    checks: tuple[Answer, ...] = ()

    @property
    def contradictions(self) -> tuple[Answer, ...]:
        """Those of the checks that say no."""
        return tuple(check for check in self.checks if check.verdict is Verdict.NO)

    @property
    def consistent(self) -> Verdict:
        """No where a check says no; yes where one says yes and none says no; else unknown."""
        verdicts = {check.verdict for check in self.checks}
        if Verdict.NO in verdicts:
            return Verdict.NO
        return Verdict.YES if Verdict.YES in verdicts else Verdict.UNKNOWN


class Seed(Protocol):
    """A reading whose details have not been worked out yet."""

    @property
    def changes(self) -> tuple[Change, ...]:
        """What had to be changed to read it."""

    @property
    def known(self) -> Verdict:
        """Whether exactly this is recorded."""

    @property
    def consistent(self) -> Verdict:
        """Whether its parts agree."""

    def reading(self) -> Reading:
        """The reading with all details."""


class Adviser(Protocol):
    """Who knows what is recorded, and so what was probably meant."""

    def suggest(self, text: str, best: Reading | None, /) -> tuple[str, ...]:
        """Known texts near to this one."""

    def problem(self, text: str, /) -> str:
        """Why the text cannot be read."""


class Decoding:
    """What a text typed off a card means. Its details are worked out when they are first asked for.

    Attributes:
        text: what was given, whole.
    """

    __slots__ = ("_adviser", "_readings", "_seeds", "text")

    def __init__(self, text: str, seeds: tuple[Seed, ...], adviser: Adviser) -> None:
        self.text = text
        self._seeds = seeds
        self._adviser = adviser
        self._readings: tuple[Reading, ...] | None = None

    @property
    def well_formed(self) -> bool:
        """Whether the text can be read as anything at all. Says nothing about whether such a thing exists."""
        return bool(self._seeds)

    @property
    def exact(self) -> bool:
        """Whether it could be read without changing anything."""
        return bool(self._seeds) and not self._seeds[0].changes

    @property
    def known(self) -> Verdict:
        """Whether the best reading is recorded: yes, or unknown, since not recorded is not impossible."""
        return self._seeds[0].known if self._seeds else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        """Whether the parts of the best reading agree with each other and with the records."""
        return self._seeds[0].consistent if self._seeds else Verdict.UNKNOWN

    @property
    def readings(self) -> tuple[Reading, ...]:
        """Every way to read it, best first: known before unknown, few changes before many."""
        if self._readings is None:
            self._readings = tuple(seed.reading() for seed in self._seeds)
        return self._readings

    @property
    def best(self) -> Reading | None:
        """The best reading, or None where nothing fits."""
        return self.readings[0] if self.readings else None

    @property
    def suggestions(self) -> tuple[str, ...]:
        """Known codes, designations and barcodes near to the text, where it is not known itself."""
        if self.known is Verdict.YES:
            return ()
        return self._adviser.suggest(self.text, self.best)

    @property
    def problem(self) -> str:
        """Why nothing could be read, in a paragraph with the next step; "" where something could."""
        return "" if self._seeds else self._adviser.problem(self.text)

    def __repr__(self) -> str:
        return f"<Decoding {self.text[:60]!r}: {len(self._seeds)} readings>"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Decoding):
            return NotImplemented
        return (self.text, self.readings) == (other.text, other.readings)

    def __hash__(self) -> int:
        return hash((self.text, self.readings))

    def __reduce__(self) -> tuple[object, ...]:
        # A copy for another process carries what was worked out, not the whole reference.
        told = tuple(_Told(reading) for reading in self.readings)
        return Decoding, (self.text, told, _Said(self.suggestions, self.problem))


@frozen
class _Told:
    """A reading that is worked out already."""

    whole: Reading

    @property
    def changes(self) -> tuple[Change, ...]:
        return self.whole.changes

    @property
    def known(self) -> Verdict:
        return self.whole.known.verdict

    @property
    def consistent(self) -> Verdict:
        return self.whole.consistent

    def reading(self) -> Reading:
        return self.whole


@frozen
class _Said:
    """Advice that was given already."""

    suggestions: tuple[str, ...]
    why: str

    def suggest(self, _text: str, _best: Reading | None) -> tuple[str, ...]:
        return self.suggestions

    def problem(self, _text: str) -> str:
        return self.why
