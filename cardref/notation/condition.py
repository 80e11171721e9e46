"""Words of condition that need no dataset, as sellers write them.

>>> CONDITION["veins"]
('veins', 'veined', 'veining', 'vein')
>>> words = "no major creases , unpunched".split()
>>> term_at(lambda at: words[at] if 0 <= at < len(words) else "", 2)
('creased', 2)
>>> is_denied(lambda at: words[at] if 0 <= at < len(words) else "", 2)
True

Each describes what a seller claims (common practice, no source). None is a grade, and none says what a card
is worth or whether it is genuine: that takes inspection in hand.
"""

from collections.abc import Callable, Mapping
from typing import Final

from cardref.frozen import FrozenMap

__all__ = ["ALTERED", "CONDITION", "is_denied", "term_at"]


def _words(table: str) -> frozenset[str]:
    return frozenset(table.split())


_CONDITION_TABLE: Final = """
unpunched: unpunched
punched: punched
sealed: sealed
factory sealed: factory sealed
resealed: resealed, re sealed, resealed bubble, re sealed bubble
opened: opened
loose: loose
carded: carded
on card: mint on card, moc, on card
near mint: near mint
mint: mint
good condition: good condition, very good condition, excellent condition, great condition, nice condition
poor condition: poor condition, fair condition, bad condition, rough condition
clear bubble: clear bubble
yellowed: yellowed, yellowing, yellow bubble, yellowed bubble
crushed: crushed, crushed bubble
dented: dented, dent, dents, ding, dings, dented bubble
cracked: cracked, crack, cracks, cracked bubble, split bubble
lifting: lifting, lifting bubble, bubble lift, bubble lifting
reglued: reglued, re glued, reglued bubble, glued
brittle: brittle
creased: creased, crease, creases, creasing
veins: veins, veined, veining, vein
bent: bent, bend, bends, bent corner, bent corners
curled: curled, curling
warped: warped, warping
torn: torn, tear, tears, rip, rips, ripped
worn: worn, wear, worn edges, edge wear, corner wear, shelf wear, soft corners
scuffed: scuffed, scuff, scuffs, scuffing, rubbed
faded: faded, fading, fade, sun faded
stained: stained, stain, stains, staining
water damage: water damage, water damaged, water stain, water stains, damp damage
sticker residue: sticker residue, price sticker residue, residue
price sticker: price sticker, price tag
writing: writing, pen mark, pen marks, biro, ink mark, ink marks
taped: taped, tape, tape mark, tape marks, sellotape
trimmed: trimmed
broken: broken
repaired: repaired, repair, repairs
restored: restored
missing: missing
incomplete: incomplete
complete: complete
proof of purchase: proof of purchase, proof of purchase intact
proof of purchase cut: proof of purchase cut, proof of purchase removed, proof of purchase missing,
 proof of purchase clipped, no proof of purchase, cut proof of purchase
"""


def _phrases() -> dict[str, tuple[str, ...]]:
    terms: dict[str, tuple[str, ...]] = {}
    for row in _CONDITION_TABLE.replace("\n ", " ").split("\n"):
        term, _, phrases = row.partition(": ")
        if term:
            terms[term] = tuple(phrase.strip() for phrase in phrases.split(","))
    return terms


CONDITION: Final[Mapping[str, tuple[str, ...]]] = FrozenMap(_phrases())
"""The words of condition that need no dataset: each term with the ways of saying it (common practice, no
source)."""

_BY_FIRST: Final[dict[str, list[tuple[tuple[str, ...], str]]]] = {}
for _term, _ways in CONDITION.items():
    for _way in _ways:
        _first, *_rest = _way.split()
        _BY_FIRST.setdefault(_first, []).append((tuple(_rest), _term))
for _rows in _BY_FIRST.values():
    _rows.sort(key=lambda row: -len(row[0]))

# A word of condition is none before these.
_NOT_BEFORE: Final = {
    "mint": _words(
        "green tin tins tea sauce chocolate chocolates sweets blue colour color leaf leaves plant"
    ),
    "loose": _words("change leaf leaves tea ends fit fitting"),
    "sealed": _words("bid bids air"),
    "complete": _words("set sets collection guide run series list works box"),
    "tear": _words("drop drops"),
    "tape": _words("measure deck player recorder cassette"),
    "broken": _words("english"),
    "writing": _words("paper desk set"),
    "repair": _words("kit kits shop manual guide"),
    "missing": _words("link"),
    "crack": _words("team"),
}
_DENIALS: Final = _words("no not without non never zero minus")

_MILD: Final = _words("major visible real big bad heavy any other serious obvious deep more")


def term_at(word: Callable[[int], str], at: int) -> tuple[str, int]:
    """The term of condition that starts with the word at ``at``, and its last word; "" for none.

    Args:
        word: gives the word or sign at a place, in small letters, and "" beyond either end.
        at: the place.
    """
    for rest, term in _BY_FIRST.get(word(at), ()):
        last = at
        for wanted in rest:
            # "re-sealed", "proof-of-purchase"
            last += 2 if word(last + 1) == "-" else 1
            if word(last) != wanted:
                break
        else:
            if word(last + 1) not in _NOT_BEFORE.get(word(last), ()):
                return term, last
    return "", at


ALTERED: Final = frozenset(("opened", "resealed", "reglued", "trimmed", "repaired", "restored"))
"""Terms by which a seller says that a card is no longer as it left its maker (common practice, no source)."""


def is_denied(word: Callable[[int], str], at: int) -> bool:
    """Whether the text says no to what starts at ``at``: no, not, without, w/o, free of."""
    before = at - 1
    if word(before) in _MILD:
        before -= 1
    if word(before) == "o":
        return word(before - 1) == "/" and word(before - 2) == "w"
    if word(before) == "of":
        return word(before - 1) == "free"
    return word(before) in _DENIALS
