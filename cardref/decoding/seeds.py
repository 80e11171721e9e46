"""What a text was read as, before its details are worked out: a package code, a designation, a barcode.

Each is a :class:`~cardref.decoding.result.Seed`: whether it is recorded is cheap to say, the rest waits.

>>> from cardref.reference import load
>>> seed = DesignationSeed(load().index.derived(Recorded), (), Designation.parse("25B"))
>>> seed.known.value, seed.reading().known.because
('yes', '1 back by 1 maker')
"""

from cardref.decoding.recorded import Recorded
from cardref.decoding.result import Reading
from cardref.facts.answer import Answer, Verdict
from cardref.facts.called import how_often
from cardref.facts.codebook import CodeBook
from cardref.notation.code import PackageCode
from cardref.notation.designation import Designation
from cardref.notation.gtin import Gtin
from cardref.notation.trace import Change
from cardref.text import count_of

__all__ = ["BarcodeSeed", "CodeSeed", "DesignationSeed"]

_MANY = 10_000
"""A number of possible codes beyond which it says nothing to anybody."""


class CodeSeed:
    """A package code, whole or partly read, by one scheme."""

    __slots__ = ("book", "changes", "check", "code", "matching", "recorded")

    def __init__(
        self,
        recorded: Recorded,
        changes: tuple[Change, ...],
        book: CodeBook,
        code: PackageCode,
    ) -> None:
        self.recorded, self.changes = recorded, changes
        self.book, self.check, self.code = book, recorded.checks[book.scheme.id], code
        self.matching = recorded.matching(book, code)

    @property
    def known(self) -> Verdict:
        """Whether exactly this is recorded."""
        return Verdict.YES if self.matching else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        """Whether its parts agree."""
        return self.check.verdict(self.code)

    def reading(self) -> Reading:
        """The reading with all details."""
        book, code, index = self.book, self.code, self.recorded.index
        faces_by_code, matching = self.recorded.codes(book.scheme.id), self.matching
        faces = tuple(face for text in matching for face in faces_by_code[text])
        cards = tuple(card for face in faces for card in index.cards_by_face.get(face, ()))
        named = tuple(sense.record for sense in book.senses(code, "figure"))
        figures = tuple(dict.fromkeys(index.faces[face].figure for face in faces)) or named
        return Reading(
            kind="package code",
            value=code.text,
            changes=self.changes,
            scheme=book.scheme.id,
            makers=book.scheme.makers,
            segments=book.meanings(code),
            possible=code.possible,
            existing=len(matching),
            figures=figures,
            backs=self.check.backs(code),
            faces=faces,
            cards=cards,
            known=self._known(faces, cards),
            checks=self.check.answers(code),
        )

    def _known(self, faces: tuple[str, ...], cards: tuple[str, ...]) -> Answer:
        if self.code.partial:
            existing, possible = len(self.matching), self.code.possible
            verb = "is" if existing == 1 else "are"
            words = f"{existing} of {count_of(possible, 'possible code')} {verb} recorded"
            if possible > _MANY:
                words = f"{count_of(existing, 'recorded code')} can be this one"
            return Answer(Verdict.YES if self.matching else Verdict.UNKNOWN, words, faces)
        if not faces:
            return Answer.unknown("no recorded front carries this code")
        index = self.recorded.index
        seen = sum(index.cards[card].seen for card in cards)
        sources = index.sources_of(faces)
        words = f"on {count_of(len(faces), 'recorded front')}, {count_of(len(cards), 'card')}"
        return Answer.yes(f"{words}{how_often(seen)}", faces, sources, seen)


class DesignationSeed:
    """A back's designation; ``within`` are the backs that it was said of, where not all are meant."""

    __slots__ = ("changes", "designation", "recorded", "within")

    def __init__(
        self,
        recorded: Recorded,
        changes: tuple[Change, ...],
        designation: Designation,
        within: tuple[str, ...] | None = None,
    ) -> None:
        self.recorded, self.changes = recorded, changes
        self.designation, self.within = designation, within

    @property
    def _backs(self) -> tuple[str, ...]:
        found = self.recorded.backs_by_count.get(self.designation.count, ())
        backs = self.recorded.index.backs
        return tuple(
            back
            for back in found
            if self.designation.covers(backs[back].designation)
            and (self.within is None or back in self.within)
        )

    @property
    def known(self) -> Verdict:
        """Whether exactly this is recorded."""
        return Verdict.YES if self._backs else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        """Whether its parts agree."""
        return Verdict.YES if self._backs else Verdict.UNKNOWN

    def reading(self) -> Reading:
        """The reading with all details."""
        index, backs = self.recorded.index, self._backs
        cards = tuple(card for back in backs for card in index.cards_by_back.get(back, ()))
        sources = index.sources_of(backs)
        makers = tuple(dict.fromkeys(f"maker/{index.backs[back].maker}" for back in backs))
        words = f"{count_of(len(backs), 'back')} by {count_of(len(makers), 'maker')}"
        known = (
            Answer.yes(words, backs, sources)
            if backs
            else Answer.unknown("no back is recorded under this name")
        )
        return Reading(
            kind="designation",
            value=str(self.designation),
            changes=self.changes,
            makers=makers,
            existing=len(backs),
            backs=backs,
            cards=cards,
            known=known,
            checks=(known,) if backs else (),
        )


class BarcodeSeed:
    """A barcode."""

    __slots__ = ("changes", "number", "recorded")

    def __init__(self, recorded: Recorded, changes: tuple[Change, ...], number: Gtin) -> None:
        self.recorded, self.changes = recorded, changes
        self.number = number

    @property
    def known(self) -> Verdict:
        """Whether exactly this is recorded."""
        return Verdict.YES if self.number.digits in self.recorded.barcodes else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        """Whether its parts agree."""
        return Verdict.YES  # the check digit fits, or it would not have been read

    def reading(self) -> Reading:
        """The reading with all details."""
        index = self.recorded.index
        faces = self.recorded.barcodes.get(self.number.digits, ())
        cards = tuple(card for face in faces for card in index.cards_by_face.get(face, ()))
        known = (
            Answer.yes(f"on {count_of(len(faces), 'recorded front')}", faces)
            if faces
            else Answer.unknown("no recorded front carries this barcode")
        )
        return Reading(
            kind="barcode",
            value=self.number.printed,
            changes=self.changes,
            makers=tuple(dict.fromkeys(f"maker/{index.faces[face].maker}" for face in faces)),
            existing=len(faces),
            figures=tuple(dict.fromkeys(index.faces[face].figure for face in faces)),
            faces=faces,
            cards=cards,
            known=known,
            checks=(Answer.yes(f"the check digit of this {self.number.kind} fits"),),
        )
