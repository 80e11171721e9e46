"""The recorded cards that a claim may be about, and of which of them each part of the claim holds.

Whether a part holds of a card is yes, no, or not recorded; what follows from that for the claim is for
:mod:`cardref.vetting.stating`.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("figure", "lamp-diver"), ("back", "25"), ("rope-length", "4 mm")]))
>>> [index.backs[index.cards[full].back].label for full in scene.fitting]
['quay-marl 25B']
>>> scene.misfits("tidewrack/quay-marl/c-0656")
('rope-length',)
"""

from collections.abc import Callable, Mapping
from typing import Final

from cardref.decoding.decode import decode
from cardref.decoding.result import Decoding
from cardref.facts.bounds import released
from cardref.facts.features import features_of_line, overlap
from cardref.facts.naming import folded_names
from cardref.facts.territories import main_language
from cardref.index import Index, fold
from cardref.lazy import cached_property
from cardref.model.card import Card, Made
from cardref.model.evidence import Standing
from cardref.model.face import NO_CODE, Face
from cardref.model.feature import NOT_APPLICABLE, Feature
from cardref.notation.edtf import Date
from cardref.vetting.claim import Claim, Part
from cardref.vetting.fields import FIELDS, features_named
from cardref.vetting.on_card import states_on

__all__ = ["SUPPORTED", "Scene", "is_sure"]

Holds = Callable[["Scene", Part, Card], "bool | None"]

SUPPORTED: Final = (Standing.CONFIRMED, Standing.REPORTED)
"""Standings of what somebody says is so."""

_LINE_KINDS = ("line", "figure", "series", "back-series", "card", "face")


def is_sure(index: Index, card: str) -> bool:
    """Whether a recorded card (full id) was sold, and somebody says so."""
    record = index.cards[card]
    return record.standing in SUPPORTED and record.made is Made.PRODUCTION


class Scene:
    """A claim beside the records.

    Attributes:
        index: what is recorded.
        claim: what is claimed.
        lines: short ids of the lines that it can be about; all where nothing tells.
        cards: full ids of the recorded cards of these lines, refuted ones left out.
        truth: field -> card -> whether the part holds of it; None where that is not recorded.
    """

    def __init__(self, index: Index, claim: Claim) -> None:
        self.index = index
        self.claim = claim
        self.lines = _lines(index, claim)
        wanted = set(self.lines)
        self.cards: tuple[str, ...] = tuple(
            full
            for full, card in index.cards.items()
            if full.partition("/")[0] in wanted
            and card.standing is not Standing.REFUTED
            and card.face in index.faces
            and card.back in index.backs
        )
        records = index.cards
        self.truth: dict[str, dict[str, bool | None]] = {}
        for part in claim.parts:
            holds = _HOLDS.get(part.field, _feature)
            self.truth[part.field] = {full: holds(self, part, records[full]) for full in self.cards}

    @cached_property
    def code(self) -> Decoding | None:
        """What the claimed code means; None where none is claimed."""
        part = self.claim.part("code")
        return decode(self.index, part.value) if part is not None else None

    @cached_property
    def barcode(self) -> Decoding | None:
        """What the claimed barcode means; None where none is claimed."""
        part = self.claim.part("barcode")
        return decode(self.index, part.value) if part is not None else None

    @cached_property
    def makers(self) -> tuple[str, ...]:
        """Full ids of the makers that the claim can be about, by maker, back, code and front; () for any."""
        claimed = self.claim.ids("maker")
        if claimed:
            return claimed
        for field in ("card", "face", "back"):
            ids = self.claim.ids(field)
            if ids:
                return tuple(
                    dict.fromkeys(f"maker/{full.split('/')[1]}" for full in ids if self._in_lines(full))
                )
        best = self.code.best if self.code is not None else None
        return best.makers if best is not None else ()

    @property
    def features(self) -> frozenset[str]:
        """The fields of the claim that are features of the catalogue."""
        return frozenset(part.field for part in self.claim.parts if part.field not in FIELDS)

    def _in_lines(self, full: str) -> bool:
        return full.partition("/")[0] in self.lines

    @cached_property
    def backs(self) -> tuple[str, ...]:
        """Full ids of the claimed back, as far as line and maker leave it; of all where they leave none."""
        ids = tuple(full for full in self.claim.ids("back") if self._in_lines(full))
        makers = {full.partition("/")[2] for full in self.claim.ids("maker")}
        of_maker = tuple(full for full in ids if full.split("/")[1] in makers)
        return of_maker or ids or self.claim.ids("back")

    @cached_property
    def figures(self) -> tuple[str, ...]:
        """Full ids of the claimed figure, as far as the lines leave it; of all where they leave none."""
        ids = self.claim.ids("figure")
        return tuple(full for full in ids if self._in_lines(full)) or ids

    @cached_property
    def signs(self) -> frozenset[str]:
        """The fields of the claim that are signs of copies and repairs."""
        return frozenset(
            field
            for field in self.features
            if any(feature.sign is not None for feature in features_named(self.index, field))
        )

    @cached_property
    def catalogue(self) -> Mapping[str, Feature]:
        """Slug -> feature, of all lines that it can be about; of two with one name the first line's."""
        found: dict[str, Feature] = {}
        for line in reversed(self.lines):
            found.update(features_of_line(self.index, line))
        return found

    @cached_property
    def telling(self) -> tuple[str, ...]:
        """The fields that tell which card it is.

        Signs of copies do not, for a copy looks like its original; a year in a listing does not, for it may
        be the copyright's.
        """
        return tuple(
            part.field
            for part in self.claim.parts
            if part.field not in self.signs and not (part.field == "date" and part.said[0].span is not None)
        )

    def misfits(self, card: str) -> tuple[str, ...]:
        """The telling fields that do not hold of a card."""
        return tuple(field for field in self.telling if self.truth[field][card] is False)

    @cached_property
    def by_misfits(self) -> Mapping[tuple[str, ...], tuple[str, ...]]:
        """Misfits -> the cards that have just these."""
        groups: dict[tuple[str, ...], list[str]] = {}
        for card in self.cards:
            groups.setdefault(self.misfits(card), []).append(card)
        return {misfits: tuple(cards) for misfits, cards in groups.items()}

    @cached_property
    def holding(self) -> Mapping[str, frozenset[str]]:
        """Field -> the cards of which it holds."""
        return {
            field: frozenset(card for card, holds in truth.items() if holds)
            for field, truth in self.truth.items()
        }

    @cached_property
    def states(self) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
        """Card -> slug -> the states recorded of a feature."""
        return {card: states_on(self.index, self.index.cards[card]) for card in self.cards}

    @cached_property
    def sure(self) -> frozenset[str]:
        """The cards that were sold, and somebody says so."""
        return frozenset(card for card in self.cards if is_sure(self.index, card))

    @cached_property
    def seen(self) -> Mapping[str, int]:
        """Card -> how many specimens of it are recorded."""
        records = self.index.cards
        return {card: records[card].seen for card in self.cards}

    def both(self, one: str, other: str) -> tuple[str, ...]:
        """The cards of which two fields hold, in order."""
        shared = self.holding[one] & self.holding[other]
        return tuple(sorted(shared, key=self._place.__getitem__))

    @cached_property
    def _place(self) -> Mapping[str, int]:
        return {card: at for at, card in enumerate(self.cards)}

    def open(self, card: str) -> tuple[str, ...]:
        """The telling fields of which nobody recorded whether they hold of a card."""
        return tuple(field for field in self.telling if self.truth[field][card] is None)

    @cached_property
    def fitting(self) -> tuple[str, ...]:
        """Cards of which nothing claimed is recorded otherwise, those with the least left open first."""
        fit = self.by_misfits.get((), ()) if self.telling else ()
        return tuple(sorted(fit, key=lambda card: len(self.open(card))))

    @cached_property
    def whole(self) -> tuple[str, ...]:
        """Cards of which everything claimed holds."""
        return tuple(card for card in self.fitting if not self.open(card))


def _lines(index: Index, claim: Claim) -> tuple[str, ...]:
    """Those that every part leaves; where the parts contradict each other, those that any of them names."""
    named = [{full.partition("/")[0] for full in claim.ids(kind)} for kind in _LINE_KINDS if claim.ids(kind)]
    if not named:
        makers = set(claim.ids("maker"))
        of_makers = {full for full, line in index.lines.items() if makers.intersection(line.makers)}
        return tuple(line for line in index.lines if not of_makers or line in of_makers)
    shared = set.intersection(*named) or set.union(*named)
    return tuple(line for line in index.lines if line in shared) or tuple(index.lines)


# --- whether a part holds of a card ----------------------------------------------------------------------


def _face(scene: Scene, card: Card) -> Face:
    return scene.index.faces[card.face]


def _maker(scene: Scene, part: Part, card: Card) -> bool:
    whose = {f"maker/{card.maker}", f"maker/{_face(scene, card).maker}", *card.roles.values()}
    return not whose.isdisjoint(part.ids)


def _line(_: Scene, part: Part, card: Card) -> bool:
    return card.id.partition("/")[0] in part.ids


def _figure(scene: Scene, part: Part, card: Card) -> bool:
    return _face(scene, card).figure in part.ids


def _series(scene: Scene, part: Part, card: Card) -> bool:
    return _face(scene, card).series in part.ids


def _back_series(scene: Scene, part: Part, card: Card) -> bool:
    return scene.index.backs[card.back].series in part.ids


def _back(_: Scene, part: Part, card: Card) -> bool:
    return card.back in part.ids


def _count(scene: Scene, part: Part, card: Card) -> bool:
    return str(scene.index.backs[card.back].count) in part.values


def _this_face(_: Scene, part: Part, card: Card) -> bool:
    return card.face in part.ids


def _this_card(_: Scene, part: Part, card: Card) -> bool:
    return card.id in part.ids


def _code(scene: Scene, part: Part, card: Card) -> bool | None:
    face = _face(scene, card)
    if face.codes == NO_CODE:
        return False
    if not face.printed_codes:
        return None
    best = scene.code.best if scene.code is not None else None
    if best is not None and best.kind == "package code":
        if card.face in best.faces or best.value in face.printed_codes:
            return True
        # A code of which a sign could not be read may be this one: nobody knows.
        return None if any(_can_be(code, best.value) for code in face.printed_codes) else False
    return part.value in face.printed_codes


def _can_be(recorded: str, claimed: str) -> bool:
    """Whether a recorded code with unread signs can be the claimed one."""
    return (
        "?" in recorded
        and len(recorded) == len(claimed)
        and all(one == other or "?" in (one, other) for one, other in zip(recorded, claimed, strict=True))
    )


def _barcode(scene: Scene, part: Part, card: Card) -> bool | None:
    face = _face(scene, card)
    if not face.barcode:
        return None
    best = scene.barcode.best if scene.barcode is not None else None
    return card.face in best.faces if best is not None else part.value == face.barcode


def _number(scene: Scene, part: Part, card: Card) -> bool | None:
    number = _face(scene, card).number
    return any(fold(value) == fold(number) for value in part.values) if number else None


def _name(scene: Scene, part: Part, card: Card) -> bool | None:
    name = folded_names(scene.index).get(card.face)
    return any(fold(value) == name for value in part.values) if name else None


def _language(scene: Scene, part: Part, card: Card) -> bool | None:
    known = {*_face(scene, card).languages, *scene.index.backs[card.back].languages}
    if not known:
        return None
    return {main_language(value) for value in part.values} <= set(map(main_language, known))


def _origin(_: Scene, part: Part, card: Card) -> bool | None:
    return any(mark.country in part.values for mark in card.origin) if card.origin else None


def _sticker(_: Scene, part: Part, card: Card) -> bool:
    if part.values == ("none",):
        return not card.stickers
    return bool(part.ids) and not set(part.ids).isdisjoint(card.stickers)


def _extra(_: Scene, part: Part, card: Card) -> bool | None:
    if not card.extras:
        return None
    return all(any(fold(value) in fold(extra) for extra in card.extras) for value in part.values)


def _date(scene: Scene, part: Part, card: Card) -> bool | None:
    when = released(scene.index, card.id)
    date = Date.parse(part.value)
    low, high = when.earliest, when.latest
    if low is not None and not low.about and date.before(Date.parse(str(low.day))):
        return False
    if high is not None and not high.about and Date.parse(str(high.day)).before(date):
        return False
    return True if low is not None and high is not None else None


def _feature(scene: Scene, part: Part, card: Card) -> bool | None:
    feature = features_of_line(scene.index, card.id.partition("/")[0]).get(part.field)
    states = scene.states[card.id].get(part.field)
    if feature is None or not states:
        return None
    if NOT_APPLICABLE in states:
        return NOT_APPLICABLE in part.values
    return any(overlap(feature, state, value) for state in states for value in part.values)


_HOLDS: Mapping[str, Holds] = {
    "line": _line, "maker": _maker, "figure": _figure, "series": _series, "back-series": _back_series,
    "back": _back, "back-count": _count, "code": _code, "barcode": _barcode, "number": _number,
    "name": _name, "language": _language, "origin": _origin, "sticker": _sticker, "extra": _extra,
    "date": _date, "face": _this_face, "card": _this_card,
}  # fmt: skip
