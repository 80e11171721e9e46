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

from collections.abc import Iterator

from cardref.decoding.recorded import Recorded
from cardref.decoding.result import Decoding, Reading, Seed
from cardref.decoding.seeds import BarcodeSeed, CodeSeed, DesignationSeed
from cardref.facts.answer import Verdict
from cardref.facts.codebook import CodeBook
from cardref.index import Index
from cardref.notation.code import PackageCode
from cardref.notation.designation import Designation
from cardref.notation.gtin import Gtin
from cardref.notation.trace import Change
from cardref.text import count_of, quoted

__all__ = ["decode"]

_LONGEST = 200
"""No code is longer; more is not looked at."""


class _Decoder:
    """Every way to read a text, exactly or kindly, beside what is recorded."""

    def __init__(self, index: Index) -> None:
        self.recorded = index.derived(Recorded)
        by_length: dict[int, list[CodeBook]] = {}
        for book in self.recorded.books.values():
            by_length.setdefault(book.layout.length, []).append(book)
        self._by_length = by_length

    def strict(self, text: str) -> tuple[Seed, ...]:
        """The readings of what is written exactly."""
        seeds: list[Seed] = [
            CodeSeed(self.recorded, (), book, code)
            for book in self._by_length.get(len(text), ())
            if (code := book.written(text)) is not None
        ]
        if len(text) <= 5 and Designation.is_valid(text):
            seeds.append(DesignationSeed(self.recorded, (), Designation.parse(text)))
        elif len(text) >= 8 and Gtin.is_valid(text):
            seeds.append(BarcodeSeed(self.recorded, (), Gtin.parse(text)))
        return tuple(seeds)

    def lenient(self, text: str) -> tuple[Seed, ...]:
        """The readings of what can be made out with changes, best first."""
        seeds: list[Seed] = []
        for book in self.recorded.books.values():
            seen = PackageCode.read(text, book.layout)
            if seen.value is not None and any(sign not in "? /-" for sign in seen.value.text):
                seeds.append(CodeSeed(self.recorded, seen.changes, book, seen.value))
        designation = Designation.read(text)
        if designation.value is not None:
            seeds.append(DesignationSeed(self.recorded, designation.changes, designation.value))
        number = Gtin.read(text)
        if number.value is not None:
            seeds.append(BarcodeSeed(self.recorded, number.changes, number.value))
        if any(seed.known is Verdict.YES for seed in seeds):
            return tuple(seeds)
        seeds += self._named(text)
        # A part of a recorded code is likelier than a whole one that nobody has seen.
        parts = tuple(self._fragments(text))
        return (*seeds, *(part for part in parts if part.known is Verdict.YES)) if seeds else parts

    def _fragments(self, text: str) -> Iterator[Seed]:
        """Some segments of a code without the others, which are taken as unread."""
        signs = "".join(sign for sign in text.upper() if sign.isalnum() or sign == "?")
        for book in self.recorded.books.values():
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
                        yield CodeSeed(self.recorded, (change,), book, seen.value)

    def _named(self, text: str) -> tuple[Seed, ...]:
        """A designation behind a maker's name: ``quay-marl 25B``."""
        backs = self.recorded.index.find(text, ("back",))
        if not backs:
            return ()
        designations = [self.recorded.index.backs[back].designation for back in backs]
        shared = designations[0] if len(set(designations)) == 1 else Designation(designations[0].count)
        return (DesignationSeed(self.recorded, (), shared, backs),)

    def suggest(self, text: str, best: Reading | None) -> tuple[str, ...]:
        """Known texts that this one was probably meant to be, nearest first."""
        if best is not None and best.possible > 1 and best.existing:
            return ()
        asked = best.value if best is not None else text
        return tuple(near for near in self.recorded.near(asked[:_LONGEST]) if near != asked)

    def problem(self, text: str) -> str:
        """Why ``text`` cannot be read, and what to do."""
        if not text.strip():
            return "nothing was given: type the code as printed, with ? for each sign that cannot be read"
        if len(text) > _LONGEST:
            return f"{len(text)} characters are no code: give the code alone, with ? for what cannot be read"
        lengths = sorted({book.layout.signs for book in self.recorded.books.values()})
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
    decoder = index.derived(_Decoder)
    seeds = decoder.strict(text)
    if not seeds and len(text) <= _LONGEST:
        seeds = tuple(sorted(decoder.lenient(text), key=_rank))
    elif len(seeds) > 1:
        seeds = tuple(sorted(seeds, key=_rank))
    return Decoding(text, seeds, decoder)
