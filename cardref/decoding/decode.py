"""From a text typed off a card to its readings.

What is written exactly is looked up at once. Only where nothing is, the text is read kindly, every change is
kept, and the readings are ranked: recorded before unrecorded, fewer changes before more.

>>> from cardref.reference import load
>>> answer = load().decode("7k 2O46-031")
>>> answer.best.value, answer.known.value, answer.consistent.value
('7K 2046/031', 'yes', 'yes')
>>> [str(change) for change in answer.best.changes]
['k read as K at column 2', 'O read as 0 at column 5', "'-' read as '/' at column 8"]
"""

from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from cardref.decoding.result import Decoding, Reading, Seed
from cardref.facts.answer import Answer, Verdict
from cardref.facts.called import how_often
from cardref.facts.codebook import CodeBook, CrossCheck, codebooks, cross_checks
from cardref.index import Index
from cardref.notation.code import PackageCode
from cardref.notation.designation import Designation
from cardref.notation.gtin import Gtin
from cardref.notation.trace import Change
from cardref.text import count_of, quoted

if TYPE_CHECKING:
    from cardref.notation.nearest import Suggester

__all__ = ["Decoder", "decode"]

_LONGEST = 200
"""No code is longer; more is not looked at."""


_MANY = 10_000
"""A number of possible codes beyond which it says nothing to anybody."""


class _CodeSeed:
    __slots__ = ("book", "changes", "check", "code", "decoder", "matching")

    def __init__(
        self,
        decoder: "Decoder",
        changes: tuple[Change, ...],
        book: CodeBook,
        check: CrossCheck,
        code: PackageCode,
    ) -> None:
        self.decoder, self.changes = decoder, changes
        self.book, self.check, self.code = book, check, code
        self.matching = decoder.matching(book, code)

    @property
    def known(self) -> Verdict:
        return Verdict.YES if self.matching else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        return self.check.verdict(self.code)

    def reading(self) -> Reading:
        book, code, index = self.book, self.code, self.decoder.index
        recorded, matching = self.decoder.codes(book.scheme.id), self.matching
        faces = tuple(face for text in matching for face in recorded[text])
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
        index = self.decoder.index
        seen = sum(index.cards[card].seen for card in cards)
        sources = index.sources_of(faces)
        words = f"on {count_of(len(faces), 'recorded front')}, {count_of(len(cards), 'card')}"
        return Answer.yes(f"{words}{how_often(seen)}", faces, sources, seen)


class _DesignationSeed:
    __slots__ = ("changes", "decoder", "designation", "within")

    def __init__(
        self,
        decoder: "Decoder",
        changes: tuple[Change, ...],
        designation: Designation,
        within: tuple[str, ...] | None = None,
    ) -> None:
        self.decoder, self.changes = decoder, changes
        self.designation, self.within = designation, within

    @property
    def _backs(self) -> tuple[str, ...]:
        found = self.decoder.backs_by_count.get(self.designation.count, ())
        backs = self.decoder.index.backs
        return tuple(
            back
            for back in found
            if self.designation.covers(backs[back].designation)
            and (self.within is None or back in self.within)
        )

    @property
    def known(self) -> Verdict:
        return Verdict.YES if self._backs else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        return Verdict.YES if self._backs else Verdict.UNKNOWN

    def reading(self) -> Reading:
        index, backs = self.decoder.index, self._backs
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


class _BarcodeSeed:
    __slots__ = ("changes", "decoder", "number")

    def __init__(self, decoder: "Decoder", changes: tuple[Change, ...], number: Gtin) -> None:
        self.decoder, self.changes = decoder, changes
        self.number = number

    @property
    def known(self) -> Verdict:
        return Verdict.YES if self.number.digits in self.decoder.barcodes else Verdict.UNKNOWN

    @property
    def consistent(self) -> Verdict:
        return Verdict.YES  # the check digit fits, or it would not have been read

    def reading(self) -> Reading:
        index = self.decoder.index
        faces = self.decoder.barcodes.get(self.number.digits, ())
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


class Decoder:
    """An index's codes, designations and barcodes, ready to be looked up."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self.books = codebooks(index)
        self.checks = cross_checks(index)
        by_length: dict[int, list[CodeBook]] = {}
        for book in self.books.values():
            by_length.setdefault(book.layout.length, []).append(book)
        self._by_length = by_length
        self._codes: dict[str, Mapping[str, tuple[str, ...]]] = {}

    def codes(self, scheme: str) -> Mapping[str, tuple[str, ...]]:
        """Code in the scheme's writing -> ids of the faces that carry it, for one scheme (full id)."""
        found = self._codes.get(scheme)
        if found is None:
            found = self._codes[scheme] = self._printed(self.books[scheme])
        return found

    def matching(self, book: CodeBook, code: PackageCode) -> tuple[str, ...]:
        """The recorded codes of a scheme that ``code`` is, or that it can be where it is partly unread."""
        recorded = self.codes(book.scheme.id)
        if not code.partial:
            return (code.text,) if code.text in recorded else ()
        # Both are written by one layout, so they have one length; a recorded code is whole.
        read = [(at, sign) for at, sign in enumerate(code.text) if sign != "?"]
        return tuple(text for text in recorded if all(text[at] == sign for at, sign in read))

    def _printed(self, book: CodeBook) -> Mapping[str, tuple[str, ...]]:
        makers = frozenset(maker.rpartition("/")[2] for maker in book.scheme.makers)
        found: dict[str, tuple[str, ...]] = {}
        for full, codes in self.index.said("face", codes=None):
            line, maker, _ = full.split("/")
            if line != book.line or maker not in makers or not isinstance(codes, tuple):
                continue
            for text in codes:
                code = book.printed(text)
                if code is not None and not code.partial:
                    found[code.text] = (*found.get(code.text, ()), full)
        return found

    @cached_property
    def barcodes(self) -> Mapping[str, tuple[str, ...]]:
        """14 digits -> ids of the faces that carry the barcode."""
        found: dict[str, tuple[str, ...]] = {}
        for full, barcode in self.index.said("face", barcode=""):
            if barcode and Gtin.is_valid(barcode):
                digits = Gtin.parse(barcode).digits
                found[digits] = (*found.get(digits, ()), full)
        return found

    @cached_property
    def backs_by_count(self) -> Mapping[int, tuple[str, ...]]:
        """Back count -> ids of the backs, in the order of the index."""
        found: dict[int, list[str]] = {}
        for back in self.index.backs.values():
            found.setdefault(back.count, []).append(back.id)
        return {count: tuple(ids) for count, ids in found.items()}

    @cached_property
    def _suggester(self) -> "Suggester":
        from cardref.notation.nearest import Suggester  # noqa: PLC0415 - only a mistake needs it

        codes = [text for scheme in self.books for text in self.codes(scheme)]
        designations = [str(back.designation) for back in self.index.backs.values()]
        barcodes = [barcode for _, barcode in self.index.said("face", barcode="") if barcode]
        return Suggester([*codes, *designations, *barcodes])

    def strict(self, text: str) -> tuple[Seed, ...]:
        """The readings of what is written exactly."""
        seeds: list[Seed] = [
            _CodeSeed(self, (), book, self.checks[book.scheme.id], code)
            for book in self._by_length.get(len(text), ())
            if (code := book.written(text)) is not None
        ]
        if len(text) <= 5 and Designation.is_valid(text):
            seeds.append(_DesignationSeed(self, (), Designation.parse(text)))
        elif len(text) >= 8 and Gtin.is_valid(text):
            seeds.append(_BarcodeSeed(self, (), Gtin.parse(text)))
        return tuple(seeds)

    def lenient(self, text: str) -> tuple[Seed, ...]:
        """The readings of what can be made out with changes, best first."""
        seeds: list[Seed] = []
        for book in self.books.values():
            seen = PackageCode.read(text, book.layout)
            if seen.value is not None and any(sign not in "? /-" for sign in seen.value.text):
                seeds.append(_CodeSeed(self, seen.changes, book, self.checks[book.scheme.id], seen.value))
        designation = Designation.read(text)
        if designation.value is not None:
            seeds.append(_DesignationSeed(self, designation.changes, designation.value))
        number = Gtin.read(text)
        if number.value is not None:
            seeds.append(_BarcodeSeed(self, number.changes, number.value))
        if any(seed.known is Verdict.YES for seed in seeds):
            return tuple(seeds)
        seeds += self._named(text)
        # A part of a recorded code is likelier than a whole one that nobody has seen.
        parts = tuple(self._fragments(text))
        return (*seeds, *(part for part in parts if part.known is Verdict.YES)) if seeds else parts

    def _fragments(self, text: str) -> Iterator[Seed]:
        """Some segments of a code without the others, which are taken as unread."""
        signs = "".join(sign for sign in text.upper() if sign.isalnum() or sign == "?")
        for book in self.books.values():
            spans = [span for span, _, _ in book.look_ups]
            written = [segment.before + "?" * segment.width for segment in book.scheme.segments]
            for first, (start, _) in enumerate(spans):
                for last, (_, end) in enumerate(spans[first:], first):
                    width = sum(b - a for a, b in spans[first : last + 1])
                    if width != len(signs) or width < 2 or last - first + 1 == len(spans):
                        continue
                    template = "".join(written)
                    inner = template[start:end]
                    filled = iter(signs)
                    part = "".join(next(filled) if sign == "?" else sign for sign in inner)
                    seen = PackageCode.read(template[:start] + part + template[end:], book.layout)
                    if seen.value is None or seen.changes:
                        continue
                    known = [
                        m for m in book.meanings(seen.value)[first : last + 1] if m.senses or not m.closed
                    ]
                    if len(known) == last - first + 1:
                        change = Change(
                            "other segments taken as unread", 1, "only a part of a code was given"
                        )
                        check = self.checks[book.scheme.id]
                        yield _CodeSeed(self, (change,), book, check, seen.value)

    def _named(self, text: str) -> tuple[Seed, ...]:
        """A designation behind a maker's name: ``quay-marl 25B``."""
        backs = self.index.find(text, ("back",))
        if not backs:
            return ()
        designations = [self.index.backs[back].designation for back in backs]
        shared = designations[0] if len(set(designations)) == 1 else Designation(designations[0].count)
        return (_DesignationSeed(self, (), shared, backs),)

    def suggest(self, text: str, best: Reading | None) -> tuple[str, ...]:
        """Known texts that this one was probably meant to be, nearest first."""
        if best is not None and best.possible > 1 and best.existing:
            return ()
        asked = best.value if best is not None else text
        return tuple(s.text for s in self._suggester.suggest(asked[:_LONGEST]) if s.text != asked)

    def problem(self, text: str) -> str:
        """Why ``text`` cannot be read, and what to do."""
        if not text.strip():
            return "nothing was given: type the code as printed, with ? for each sign that cannot be read"
        if len(text) > _LONGEST:
            return f"{len(text)} characters are no code: give the code alone, with ? for what cannot be read"
        lengths = sorted({book.layout.signs for book in self.books.values()})
        signs = sum(sign.isalnum() or sign == "?" for sign in text)
        wanted = " or ".join(map(str, lengths)) if lengths else "no"
        said = f"{quoted(text)} fits no code scheme of this dataset"
        if signs not in lengths and lengths:
            said += f" ({count_of(signs, 'sign')}; the codes have {wanted})"
        return (
            f"{said}, and is no designation such as 25B or barcode; type ? for each sign that cannot be read"
        )


def _rank(seed: Seed) -> tuple[bool, int]:
    """Smaller is better: recorded before unrecorded, fewer changes before more."""
    return seed.known is not Verdict.YES, len(seed.changes)


def decode(index: Index, text: str) -> Decoding:
    """Decode ``text`` by what ``index`` has. Errors: TypeError where ``text`` is no string."""
    if not isinstance(text, str):
        raise TypeError(f"a text is decoded, not {type(text).__name__}")
    decoder = index.derived(Decoder)
    seeds = decoder.strict(text)
    if not seeds and len(text) <= _LONGEST:
        seeds = tuple(sorted(decoder.lenient(text), key=_rank))
    elif len(seeds) > 1:
        seeds = tuple(sorted(seeds, key=_rank))
    return Decoding(text, seeds, decoder)
