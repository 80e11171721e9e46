"""What an index has to be looked up by what is typed off a card: codes, designations, barcodes.

>>> from cardref.reference import load
>>> recorded = load().index.derived(Recorded)
>>> len(recorded.backs_by_count[25]) > 1, recorded.near("7K 2O46/031")[0]
(True, '7K 2046/031')
"""

from collections.abc import Mapping
from typing import TYPE_CHECKING

from cardref.facts.codebook import CodeBook, codebooks, cross_checks
from cardref.index import Index
from cardref.lazy import cached_property
from cardref.notation.code import PackageCode
from cardref.notation.gtin import Gtin

if TYPE_CHECKING:
    from cardref.notation.nearest import Suggester

__all__ = ["Recorded"]


class Recorded:
    """An index's codes, designations and barcodes, ready to be looked up.

    Attributes:
        index: the records.
        books: code scheme -> how its codes are read, by full id.
        checks: code scheme -> what its codes are held against, by full id.
    """

    def __init__(self, index: Index) -> None:
        self.index = index
        self.books = codebooks(index)
        self.checks = cross_checks(index)
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

    def near(self, text: str) -> tuple[str, ...]:
        """Recorded codes, designations and barcodes that ``text`` was probably meant to be, nearest first."""
        return tuple(suggestion.text for suggestion in self._suggester.suggest(text))
