"""Running text, such as a listing's title: the designations, codes, barcodes and words of condition in it.

>>> for hit in findall("Fisher lass, 25-b back, unpunched but no creases, $25 or 25 figures for $250, 1982"):
...     print(hit.kind, hit.value, hit.span)
designation 25B (13, 22)
condition unpunched (24, 33)
condition not creased (41, 48)
date 1982 (78, 82)

**What is a hit.** Kinds and values are these; hits do not overlap, and stand in the order of the text.

===============  ==================================================================================
``code``         a :class:`~cardref.notation.code.PackageCode` of one of the given schemes, with any
                 separators; lookalikes are read, two at most
``barcode``      a :class:`~cardref.notation.gtin.Gtin` of 12 to 14 digits, in one piece or as it is
                 printed, whose check digit fits; of 8 digits only behind a word such as EAN
``length``       a :class:`~cardref.notation.length.Length`
``date``         a :class:`~cardref.notation.edtf.Date`: a year from 1900 to 2039, two of them with a
                 dash between, or a decade such as 1980s
``designation``  a :class:`~cardref.notation.designation.Designation`, see below
``condition``    a term of :data:`CONDITION`, behind ``not`` where the text denies it
names            what a given :class:`~cardref.notation.names.NameIndex` finds
===============  ==================================================================================

A *designation* is ``25B`` or ``25-B`` in capitals; with the word *back* next to it also ``25b`` and
``25 b``; a bare ``25`` only with that word: ``25 back``, ``25-back``, ``25 card back``, ``25 figure back``,
``back count 25``, ``back: 25``. A letter may follow the word: ``25 back B``.

**What is no designation,** though it looks like one:

- a year, a price (a currency's sign, code or name next to it), a percentage, a phone number, an ordinal
  (``25th``), a part of a longer number (``1,25``, ``2.5``, ``1/25``, ``1:25``), a date without its
  century (``'82 back``);
- a number with a unit (``25 cm``, ``25mm``), or a count of something (``25 figures lot``, ``x25``);
- a number whose letter is usually a unit or a word of its own: 3D, 4K, 5G, and any K to Z, H or second
  letter, unless *back* stands next to it or the letter is doubled (``43AA``);
- what stands behind a word that numbers something else: *seat 25B*, *page 25A*, *lot 25B*, *flat 25B*;
  before one that takes amperes or degrees (*13A plug*, *25C wash*); or in a longer model number
  (``AB-25-B``);
- a bare count whose *back* means something else: *25 back in stock*, *25 back issues*, *sent 25 back*,
  *cash back*, *25 backs*.

Where the rules cannot tell, there is no hit: a missed designation can be asked for, a wrong one misleads.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Any, Final

from cardref.notation.code import CodeLayout, HasLayout, PackageCode
from cardref.notation.condition import CONDITION, is_denied, term_at
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from cardref.notation.gtin import Gtin
from cardref.notation.length import Length
from cardref.notation.lookalike import ascii_sign
from cardref.notation.names import Hit, NameIndex
from cardref.notation.trace import Change
from cardref.notation.value import must_be_text
from cardref.text import visible

__all__ = ["CONDITION", "Hit", "NameIndex", "findall"]


def _words(table: str) -> frozenset[str]:
    return frozenset(table.split())


# What "back" can be called, and what stands between it and the count.
_BACK: Final = _words("back cardback bk")
_BEFORE_BACK: Final = _words("card figure")
_COUNT_WORDS: Final = _words("count number no nr")
# A bare count with "back" says something else before these, and behind those.
_AFTER_BACK: Final = _words(
    "in to from then home again issue issues order orders up when at ago pack packs copies copy numbers "
    "door yard pain room cover covers seat seats catalogue catalogues catalog catalogs street garden "
    "page pages row stage soon stock years year into guarantee"
)
_BEFORE_COUNT: Final = _words(
    "get got gets give gives gave given pay pays paid send sends sent ship shipped return returned "
    "returns refund refunded want wants need needs owe owes owed won bring brought take took cash put"
)
# What stands behind these is numbered by them, letter or not.
_NUMBERED: Final = _words(
    "figure flat apt apartment unit suite room gate seat row bus route platform stand booth table hall "
    "box bin shelf lot page pages p pp pg plate fig no nr number item ref sku model part parts size "
    "class grade section chapter issue vol volume episode street st road rd house building block floor "
    "level locker aisle bay form rule type mark mk track wave stage ages age ticket line tracks battery "
    "fuse phase step paragraph annex appendix exhibit drawing cat catalogue isbn issn tel phone"
)
# What stands before these is an amount.
_MEASURED: Final = _words(
    "fuse fuses plug plugs battery batteries amp amps ampere amperes bulb bulbs socket sockets adapter "
    "adapters adaptor adaptors charger chargers cable cables breaker breakers wash degrees degree shoe "
    "shoes boots cup pencil pencils"
)
_COUNTED: Final = _words(
    "pieces piece pcs figures cards stickers parts points feedback feedbacks views copies miles km items"
)
_CURRENCY_SIGNS: Final = frozenset("$£€¥₩₹¢₺₽")
_CURRENCY: Final = _words(
    "usd eur gbp nok sek dkk pln krw inr uyu brl cad aud jpy chf ars mxn dollar dollars euro euros "
    "pound pounds quid bucks kr kroner kronor zl zł won rupees cents pence"
)
_NO_BARCODE: Final = _words(
    "call tel phone telephone mobile whatsapp fax ring text sms mob ph tracking parcel order item "
    "invoice iban account paypal"
)
# So many signs of a code may be read as others that they look like.
_MOST_MISREAD: Final = 2
# What stands together in a code; and what is a designation as it stands, but for the letters that nobody
# tells from 0 and 1.
_RUNS: Final = re.compile(r"[^\W_]+|\?+")
_PRINTING: Final = re.compile(r"(?:0|[1-9][0-9]{0,2})[A-HJ-NP-Z]")
_BARCODE: Final = _words("ean upc gtin barcode")
# How a barcode's digits are set apart under its bars; and in one piece.
_BARCODE_GROUPS: Final = frozenset({(12,), (13,), (14,), (1, 5, 5, 1), (1, 6, 6), (6, 6)})
_SHORT_GROUPS: Final = frozenset({(8,), (4, 4)})
# A capital that is glued to a number names a printing, unless that number and it are a word of their own.
_LETTERS: Final = frozenset("ABCDEFGIJ")
_OF_THEIR_OWN: Final = frozenset({"2D", "3D", "4D", "2G", "3G", "4G", "5G", "6G"})
_ENDINGS: Final = _words("st nd rd th mm cm kg")
_DOUBLED: Final = frozenset({"AA", "BB", "DD", "EE", "FF", "GG"})
_INCHES: Final = _words("in inch inches")
_INCH_ENDS: Final = _words("long wide tall high deep x by across")
_MARKS: Final = frozenset(".,:;/&~")
_TOKENS: Final = re.compile(r"[^\W\d_]+|\d+|[^\s\w]|_")


def findall(text: str, schemes: Iterable[HasLayout] = (), names: NameIndex | None = None) -> tuple[Hit, ...]:
    """Everything that is recognised in ``text``, from left to right.

    Args:
        text: the running text.
        schemes: the schemes (or layouts) of package codes to look for.
        names: the names to look for.

    Raises:
        TypeError: where ``text`` is no string. Whatever it says, it is never refused.
    """
    scan = _Scan(must_be_text(text, "a running text"))
    scan.codes([scheme.layout for scheme in schemes])
    scan.barcodes()
    if names is not None:
        scan.names(names)
    scan.dates()
    scan.lengths()
    scan.designations()
    scan.conditions()
    return tuple(sorted(scan.hits, key=lambda hit: hit.span))


class _Scan:
    """One text, cut into words, numbers and single signs, and what was found in it so far."""

    __slots__ = ("ends", "hits", "plain", "size", "starts", "taken", "text", "words")

    def __init__(self, text: str) -> None:
        self.text = text
        # One ASCII sign for one sign, so that places stay what they are.
        self.plain = text if text.isascii() else "".join(map(ascii_sign, text))
        tokens = list(_TOKENS.finditer(self.plain))
        self.words = [token.group().lower() for token in tokens]
        self.starts = [token.start() for token in tokens]
        self.ends = [token.end() for token in tokens]
        self.size = len(tokens)
        self.taken = bytearray(len(text))
        self.hits: list[Hit] = []

    # -- what stands where

    def word(self, at: int) -> str:
        """The token at ``at``, in small letters; "" beyond either end."""
        return self.words[at] if 0 <= at < self.size else ""

    def shown(self, at: int) -> str:
        """The token at ``at`` as it is written; "" beyond either end."""
        return self.plain[self.starts[at] : self.ends[at]] if 0 <= at < self.size else ""

    def glued(self, at: int) -> bool:
        """Whether nothing stands between the token at ``at`` and the one before."""
        return 0 < at < self.size and self.starts[at] == self.ends[at - 1]

    def number(self, at: int) -> str:
        """The token at ``at`` if it is a number in ASCII digits, else ""."""
        word = self.word(at)
        return word if word.isascii() and word.isdigit() else ""

    def free(self, first: int, last: int) -> bool:
        """Whether nothing was found yet in the tokens ``first`` to ``last``."""
        return self.taken.find(1, self.starts[first], self.ends[last]) < 0

    def claim(self, first: int, last: int) -> None:
        """Keep the tokens ``first`` to ``last`` from being anything else."""
        start, end = self.starts[first], self.ends[last]
        self.taken[start:end] = b"\1" * (end - start)

    def hit(self, kind: str, value: Any, first: int, last: int, changes: tuple[Change, ...] = ()) -> None:
        """Record that the tokens ``first`` to ``last`` are ``value``."""
        span = self.starts[first], self.ends[last]
        self.hits.append(Hit(kind, value, span, self.text[slice(*span)], changes))
        self.claim(first, last)

    # -- one kind after the other

    def names(self, names: NameIndex) -> None:
        """Names, where nothing was found yet. A name of two kinds is two hits in one place."""
        found = [hit for hit in names.findall(self.text) if self.taken.find(1, *hit.span) < 0]
        for hit in found:
            start, end = hit.span
            self.taken[start:end] = b"\1" * (end - start)
        self.hits += found

    def codes(self, layouts: list[CodeLayout]) -> None:
        """The package codes of the layouts: those written exactly, then those written in another way."""
        found = [hit for layout in layouts for hit in self._codes_of(layout)]
        for hit in sorted(found, key=lambda hit: bool(hit.changes)):
            start, end = hit.span
            if self.taken.find(1, start, end) < 0:
                self.hits.append(hit)
                self.taken[start:end] = b"\1" * (end - start)

    def _codes_of(self, layout: CodeLayout) -> Iterator[Hit]:
        """Everything that can be a code of the layout; they may overlap."""
        widths = [each.width for each in layout.segments]
        for at, start in enumerate(self.starts):
            before = self.plain[start - 1 : start]
            if before and (before.isalnum() or before in "?.,$£€-/"):
                continue
            spans = self._segments_from(start, widths)
            if not spans:
                continue
            end = spans[-1][1]
            found = self.text[start:end]
            seen = PackageCode.read(found, layout)
            if seen.value is not None and self._is_code(at, spans, seen.value):
                changes = tuple(Change(each.what, each.column + start, each.why) for each in seen.changes)
                yield Hit("code", seen.value, (start, end), found, changes)

    def _is_code(self, at: int, spans: list[tuple[int, int]], code: PackageCode) -> bool:
        """Whether what can be read as a code, with its segments at ``spans``, is likely to be one."""
        parts = [self.plain[start:end] for start, end in spans]
        # A word in small letters is no segment; a text with many lookalikes, or mostly unread, is no code.
        if any(part.islower() and part.isalpha() for part in parts):
            return False
        signs, own = "".join(parts), "".join(code.segments.values())
        if sum(sign.upper() != read for sign, read in zip(signs, own, strict=True)) > _MOST_MISREAD:
            return False
        if own.count("?") * 2 > len(own):
            return False
        # "25B 1979" is a printing and a year, although its signs might be a misread Z58-1979.
        first = 0
        for run in _RUNS.findall(self.plain[spans[0][0] : spans[-1][1]].upper()):
            if run != own[first : first + len(run)] and _PRINTING.fullmatch(run):
                return False
            first += len(run)
        # A bare run of digits may be anything, unless a check digit or the word "code" vouches for it.
        bare = signs.isdigit() and spans[-1][1] - spans[0][0] == len(signs)
        return not bare or bool(code.layout.check) or self.word(at - 1) == "code"

    def _segments_from(self, start: int, widths: list[int]) -> list[tuple[int, int]]:
        """Where the segments of a code that starts here would stand; empty where none can."""
        plain, size = self.plain, len(self.plain)
        at = start
        spans: list[tuple[int, int]] = []
        for width in widths:
            if spans:
                most = at + 2
                while at < min(size, most) and plain[at] in " -/._:":
                    at += 1
            first = at
            while at < size and at - first < width and (plain[at].isalnum() or plain[at] == "?"):
                at += 1
            if at - first < width:
                return []
            spans.append((first, at))
        after, beyond = plain[at : at + 1], plain[at + 1 : at + 2]
        longer = after.isalnum() or (after in ("-", "/") and beyond.isalnum())
        return [] if longer else spans

    def barcodes(self) -> None:
        """Barcodes: digits in one piece or in the groups in which they are printed."""
        at = -1
        while (at := at + 1) < self.size:
            if not self.number(at) or not self._alone(at) or self.word(at - 1) in ("+", *_NO_BARCODE):
                continue
            groups: list[int] = []
            best = -1
            named = any(self.word(back) in _BARCODE for back in range(at - 4, at))
            allowed = _BARCODE_GROUPS | _SHORT_GROUPS if named else _BARCODE_GROUPS
            last = at
            while self.number(last) and len(groups) < 4:
                groups.append(len(self.word(last)))
                digits = "".join(map(self.word, range(at, last + 1, 1))).replace("-", "")
                if tuple(groups) in allowed and not self._digit_follows(last) and Gtin.is_valid(digits):
                    best = last
                step = (
                    2 if self.word(last + 1) == "-" and self.glued(last + 1) and self.glued(last + 2) else 1
                )
                last += step
            if best >= 0 and self.free(at, best):
                digits = "".join(
                    sign for sign in self.plain[self.starts[at] : self.ends[best]] if sign.isdigit()
                )
                self.hit("barcode", Gtin.parse(digits), at, best)
                at = best

    def dates(self) -> None:
        """Years, spans of years, decades."""
        at = -1
        while (at := at + 1) < self.size:
            year = self.number(at)
            if len(year) != 4 or not "1900" <= year <= "2039" or not self.free(at, at):
                continue
            if not self._alone(at) and not self._is_day_before(at):
                continue
            last = at
            after = self.word(at + 1)
            written = year
            if after == "s" and self.glued(at + 1):
                if year[3] != "0":
                    continue
                written, last = year[:3] + "X", at + 1
            elif after in ("-", "/") and self.glued(at + 1) and self.glued(at + 2) and self.number(at + 2):
                end = self.number(at + 2)
                end = year[:2] + end if len(end) == 2 else end
                if len(end) != 4 or not year < end <= "2039":
                    continue
                written, last = f"{year}/{end}", at + 2
            if not self._ends(last) or self._priced(at, last) or self.word(last + 1) in _COUNTED:
                continue
            self.hit("date", Date.parse(written), at, last)
            at = last

    def lengths(self) -> None:
        """Numbers with mm, cm or inches."""
        for at in range(1, self.size):
            unit = self.word(at)
            if not self.number(at - 1):
                continue
            if unit in _INCHES:
                after = self.word(at + 1)
                if unit == "in" and not self.glued(at) and after not in ("", ",", ";", ".", *_INCH_ENDS):
                    continue
            elif unit not in ("mm", "cm") and not (unit in '"″' and self.glued(at)):
                continue
            first = at - 1
            while (
                first >= 2
                and self.glued(first)
                and self.word(first - 1) in (".", ",", "/", "-")
                and self.glued(first - 1)
                and self.number(first - 2)
            ):
                first -= 2
            if not self.free(first, at) or (self.glued(first) and self.word(first - 1) in _CURRENCY_SIGNS):
                continue
            number = self.plain[self.starts[first] : self.ends[at - 1]]
            if self.word(first - 1) == "about":
                first, number = first - 1, f"about {number}"
            written = f"{number} {'in' if unit not in ('mm', 'cm') else unit}"
            if Length.is_valid(written):
                self.hit("length", Length.parse(written), first, at)
            else:
                self.claim(first, at)

    # -- designations

    def designations(self) -> None:
        """Counts with a letter, and bare ones next to the word back."""
        at = 0
        while at < self.size:
            at = max(at, self._designation(at)) + 1

    def _designation(self, at: int) -> int:
        """Record the designation whose count stands at ``at``; its last token, or -1 where there is none."""
        count = self.number(at)
        if not count or len(count) > 3 or (count[0] == "0" and count != "0"):
            return -1
        if not self.free(at, at) or not self._alone(at) or self._priced_before(at):
            return -1
        letter, letter_at, last, by_word = self._letter(at)
        first = at
        back = self._back_after(last + 1)
        if by_word:
            pass
        elif back >= 0:
            last, by_word = back, True
            if not letter and self._is_letter_behind(last + 1):
                last += 2 if self.word(last + 1) == "-" else 1
                letter, letter_at = self.shown(last), self.starts[last]
        else:
            first, plainly = self._back_before(at)
            if first < at and not letter and self._is_letter_behind(at + 1):
                last = at + 1
                letter, letter_at = self.shown(last), self.starts[last]
            by_word = first < at and (plainly or bool(letter))
            first = first if by_word else at
        if not self._ends(last) or not self.free(first, last):
            return -1
        if letter.lower() in _ENDINGS or (
            len(letter) > 1 and not letter.isupper() and letter[0] != letter[1]
        ):
            return -1
        if letter and not by_word and not self._is_named(count, letter, at, last):
            return -1
        if not letter and (not by_word or not self._is_counted(first, last)):
            return -1
        changes = self._signs_read(self.starts[at], count) + self._signs_read(letter_at, letter.upper())
        self.hit("designation", Designation(int(count), letter.upper()), first, last, changes)
        return last

    def _letter(self, at: int) -> tuple[str, int, int, bool]:
        """The letter that belongs to the count at ``at``, where it stands, the last token, and whether
        the word back is glued to it.
        """
        shown = self.shown(at + 1)
        if self.glued(at + 1) and shown.isascii() and shown.isalpha():
            for word in ("cardback", "back", "bk"):
                if shown.lower().endswith(word) and len(shown) - len(word) <= 2:
                    return shown[: -len(word)], self.starts[at + 1], at + 1, True
            return (shown, self.starts[at + 1], at + 1, False) if len(shown) <= 2 else ("", 0, at, False)
        if self.glued(at + 1) and shown == "-" and self.glued(at + 2) and self._is_one_letter(at + 2):
            return self.shown(at + 2), self.starts[at + 2], at + 2, False
        if not self.glued(at + 1) and self._is_one_letter(at + 1) and self._back_after(at + 2) >= 0:
            return shown, self.starts[at + 1], at + 1, False
        return "", 0, at, False

    def _is_one_letter(self, at: int) -> bool:
        shown = self.shown(at)
        return len(shown) == 1 and shown.isascii() and shown.isalpha()

    def _is_letter_behind(self, at: int) -> bool:
        """Whether a printing's letter stands here, behind the word back: ``25 back B``, ``25-back-B``."""
        if self.word(at) == "-" and self.glued(at) and self.glued(at + 1):
            at += 1
        if not self._is_one_letter(at) or not self.shown(at).isupper() or not self._ends(at):
            return False
        # "25 BACK A NICE CARD": these letters are words, too.
        return self.shown(at) not in "AI" or not self.shown(at + 1)[:1].isupper()

    def _back_after(self, at: int) -> int:
        """The word back that stands here, perhaps behind a dash and the word card or figure; else -1."""
        for _ in range(6):
            word = self.word(at)
            if word in _BACK:
                return at
            if word not in _BEFORE_BACK and word != "-":
                return -1
            at += 1
        return -1

    def _back_before(self, at: int) -> tuple[int, bool]:
        """Where the word back stands before the count at ``at``, else ``at``; and whether it is plain."""
        first, plainly = at - 1, False
        while (
            first >= 0 and at - first < 4 and (self.word(first) in _COUNT_WORDS or self.word(first) in ":#.-")
        ):
            plainly = plainly or self.word(first) in _COUNT_WORDS or self.word(first) in ":#"
            first -= 1
        if self.word(first) not in _BACK:
            return at, False
        return first, plainly or self.word(first) == "cardback"

    def _is_named(self, count: str, letter: str, at: int, last: int) -> bool:
        """Whether a count with this letter, far from the word back, is a designation."""
        if not letter.isupper() or count + letter in _OF_THEIR_OWN:
            return False
        if letter not in _LETTERS and letter not in _DOUBLED:
            return False
        before = at - 1
        while before >= 0 and self.word(before) in ".:#":
            before -= 1
        if self.word(at - 1) in _MEASURED or self.word(last + 1) in _MEASURED:
            return False
        return self.word(before) not in _NUMBERED

    def _is_counted(self, first: int, last: int) -> bool:
        """Whether a bare count with the word back is a designation."""
        return self.word(first - 1) not in _BEFORE_COUNT and self.word(last + 1) not in _AFTER_BACK

    def _signs_read(self, start: int, signs: str) -> tuple[Change, ...]:
        """The changes for signs that are written in another way than ``signs``."""
        return tuple(
            Change(f"{visible(self.text[at])} read as {sign}", at + 1, "a designation is written so")
            for at, sign in enumerate(signs, start)
            if self.text[at] != sign
        )

    # -- what surrounds a number

    def _is_day_before(self, at: int) -> bool:
        """Whether a day and a month stand before the year at ``at``, in either order: ``12/05/1982``."""
        first = at - 4
        return (
            first >= 0
            and all(map(self.glued, range(first + 1, at + 1)))
            and self.word(at - 1) == self.word(at - 3)
            and self.word(at - 1) in "/.-"
            and max(len(self.number(first)), len(self.number(at - 2))) <= 2
            and bool(self.number(first) and self.number(at - 2))
            and self._alone(first)
        )

    def _alone(self, at: int) -> bool:
        """Whether the number at ``at`` is no part of something longer that stands before it."""
        if not self.glued(at):
            return True
        sign = self.word(at - 1)
        if sign in '([{"“„‘«*#|!?>':
            return True
        before = self.starts[at - 1]
        if sign in "-/&+" and self.hits and any(hit.span[1] == before for hit in self.hits[-1:]):
            return True
        return sign in _MARKS and not self.plain[before - 1 : before].isdigit()

    def _ends(self, last: int) -> bool:
        """Whether nothing longer goes on behind the token at ``last``."""
        if not self.glued(last + 1):
            return True
        sign = self.word(last + 1)
        if sign.isalnum() or sign in "%°_@=" or sign in _CURRENCY_SIGNS:
            return False
        if not self.glued(last + 2):
            return True
        beyond = self.word(last + 2)
        if sign in "-.,:'’" and beyond.isdigit():
            return False
        return not (sign == "&" and len(beyond) == 1)

    def _digit_follows(self, last: int) -> bool:
        """Whether more digits are glued behind the token at ``last``."""
        return self.glued(last + 1) and (
            self.word(last + 1).isalnum() or (self.glued(last + 2) and bool(self.number(last + 2)))
        )

    def _priced_before(self, at: int) -> bool:
        return self.word(at - 1) in _CURRENCY_SIGNS or self.word(at - 1) in _CURRENCY

    def _priced(self, first: int, last: int) -> bool:
        """Whether the tokens from ``first`` to ``last`` are a price."""
        after = self.word(last + 1)
        return self._priced_before(first) or after in _CURRENCY_SIGNS or after in _CURRENCY

    # -- words of condition

    def conditions(self) -> None:
        """Words of condition, with ``not`` before what the text denies."""
        at = 0
        denied_until = -1
        while at < self.size:
            term, last = term_at(self.word, at)
            if not term or not self.free(at, last):
                at += 1
                continue
            denied = is_denied(self.word, at) or denied_until == at
            self.hit("condition", f"not {term}" if denied else term, at, last)
            at = last + 1
            # "no creases or veins" denies both.
            if denied and self.word(at) in ("or", "nor"):
                denied_until = at + 1
