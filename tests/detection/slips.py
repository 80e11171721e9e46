"""Slips of the pen: one fact of a valid dataset changed as people change facts by mistake.

Every operator picks a place with a seeded generator of random numbers and makes one slip there. It also says
whether the slip contradicts a recorded fact, by looking at the records and not at the checker: a slip that
leaves everything consistent cannot be seen by anybody, and the operator says why.
"""

import random
import re
from collections.abc import Callable, Iterator, Sequence
from functools import wraps
from typing import Any

from attrs import evolve, frozen

from cardref.facts.pictures import shown_on
from cardref.index import Index, fold
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.feature import NOT_APPLICABLE, FeatureKind
from cardref.model.kinds import short_id
from cardref.model.maker import BackPolicy
from cardref.model.scheme import Scheme
from cardref.notation.code import ALPHABETS
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from tests.detection.world import Change, Raw, World

__all__ = ["OPERATORS", "THEMES", "Slip"]


@frozen
class Slip:
    """One slip.

    Attributes:
        what: in words, for the reader of a missed one.
        changes: the records that it changed.
        field: the field that it changed, without positions, such as ``pictures.plus``.
        unseeable: why it contradicts nothing that is recorded; "" where it does.
    """

    what: str
    changes: tuple[Change, ...]
    field: str
    unseeable: str = ""

    @property
    def records(self) -> tuple[str, ...]:
        """Full ids of the records that it changed, under their old and new names."""
        renamed = (f"{one.record.rpartition('/')[0]}/{one.raw.get('id', '')}" for one in self.changes)
        return tuple(dict.fromkeys((*(change.record for change in self.changes), *renamed)))


class _Unfit(Exception):  # noqa: N818 - says what the place is, and is no error
    """The place that was picked does not lend itself to the slip."""


Operator = Callable[[World, random.Random], Slip | None]
OPERATORS: dict[str, Operator] = {}
"""Name -> operator. None from one means: the place it picked does not lend itself; pick again."""


THEMES: dict[str, str] = {}
"""Name -> what the operators of its part of this module are about."""

_PART: list[str] = []


def _operator(function: Operator) -> Operator:
    @wraps(function)
    def tried(world: World, rng: random.Random) -> Slip | None:
        try:
            return function(world, rng)
        except _Unfit:
            return None

    name = function.__name__.strip("_").replace("_", "-")
    OPERATORS[name] = tried
    THEMES[name] = _PART[-1]
    return tried


def _part(theme: str) -> None:
    _PART.append(theme)


def _pick(rng: random.Random, items: Sequence[Any]) -> Any:
    """One of ``items``; an operator that finds none has picked the wrong place."""
    if not items:
        raise _Unfit
    return items[rng.randrange(len(items))]


def _figure_of(world: World, rng: random.Random, line: str) -> str:
    """The short name of any figure of a line."""
    return short_id(_pick(rng, [f for f in world.ids("figure") if f.startswith(f"{line}/")]))


def _one(full: str, raw: Raw, field: str, what: str, unseeable: str = "") -> Slip:
    return Slip(f"{full}: {what}", (Change(full, raw),), field, unseeable)


def _other_digit(rng: random.Random, digit: str) -> str:
    return rng.choice([other for other in "0123456789" if other != digit])


# --- what the records say, read plainly --------------------------------------------------------------------


def _shows(index: Index, back: str, figure: str) -> bool | None:
    shown = shown_on(index).get(back)
    return None if shown is None else figure in shown


def _generic(index: Index, full: str) -> bool:
    maker = index.makers.get(f"maker/{full.split('/')[1]}")
    return maker is not None and maker.backs is BackPolicy.GENERIC


def _cards_of_face(index: Index, face: str) -> list[Card]:
    return [index.cards[card] for card in index.cards_by_face.get(face, ())]


def _segments(scheme: Scheme, text: str) -> list[tuple[Any, int, int]] | None:
    """The scheme's segments with where they stand in ``text``; None where the text is of another length."""
    at, found = 0, []
    for segment in scheme.segments:
        at += len(segment.before)
        found.append((segment, at, at + segment.width))
        at += segment.width
    return found if at == len(text) else None


def _schemes(index: Index, face: Face) -> list[Scheme]:
    line, maker, _ = face.id.split("/")
    schemes = index.schemes_by_maker.get((line, f"maker/{maker}"), ())
    return [one for one in schemes if not one.series or face.series in one.series]


def _ascii(text: str) -> str:
    """Digits of any script as ASCII ones."""
    return "".join(str(int(sign)) if sign.isdecimal() else sign for sign in text)


def _as_printed(text: str, like: str) -> str:
    """ASCII digits in the script that ``like`` is written in."""
    zero = next((ord(sign) - int(sign) for sign in like if sign.isdecimal() and not sign.isascii()), ord("0"))
    return "".join(chr(zero + int(sign)) if sign.isdecimal() else sign for sign in text)


def _code_clash(index: Index, face: Face, text: str) -> str:
    """Why a code on this face would contradict nothing; "" where it would contradict something."""
    for scheme in _schemes(index, face):
        segments = _segments(scheme, _ascii(text))
        if segments is None or not _well_formed(segments, _ascii(text)):
            continue
        if scheme.check:
            return ""  # every changed digit breaks the check digit; two swapped ones mostly do
        for segment, start, end in segments:
            part = _ascii(text)[start:end]
            if segment.table and part not in segment.table:
                return ""
            if segment.meaning == "figure" and segment.table.get(part) != short_id(face.figure):
                return ""
            if segment.meaning == "series" and segment.table.get(part) != short_id(face.series):
                return ""
            if segment.meaning == "back" and segment.table:
                count = int(segment.table[part])
                if _back_impossible(index, scheme, face, count):
                    return ""
        return "a code may name another back than the one under it, and a share or printing by no other fact"
    return ""


def _well_formed(segments: list[tuple[Any, int, int]], text: str) -> bool:
    at = 0
    for segment, start, end in segments:
        if text[at:start] != segment.before or text[start:end].strip(ALPHABETS[segment.alphabet]):
            return False
        at = end
    return True


def _back_impossible(index: Index, scheme: Scheme, face: Face, count: int) -> bool:
    if scheme.counts and count not in scheme.counts:
        return True
    makers = [short_id(maker) for maker in scheme.makers]
    backs = [back for back in index.backs.values() if back.maker in makers and back.count == count]
    backs = [back for back in backs if back.id.split("/")[0] == face.id.split("/")[0]]
    if not backs:
        return True
    years = index.series[face.series].years
    others = [index.series[back.series].years for back in backs]
    if years and all(other and years.before(other) for other in others):
        return True
    if any(_generic(index, back.id) for back in backs):
        return False
    return not any(_shows(index, back.id, face.figure) is not False for back in backs)


def _frames(index: Index, maker: str, series: str) -> Iterator[Date]:
    if maker in index.makers and index.makers[maker].active:
        yield index.makers[maker].active  # type: ignore[misc] # just asked for
    if series in index.series and index.series[series].years:
        yield index.series[series].years  # type: ignore[misc] # just asked for


def _apart(one: Date | None, other: Date | None) -> bool:
    return one is not None and other is not None and (one.before(other) is True or other.before(one) is True)


def _shifted(date: str, years: int) -> str:
    """``date`` with every year moved; "" where it has no plain year."""
    if not re.search(r"(?<!\d)\d{4}(?!\d)", date):
        return ""
    return re.sub(r"(?<!\d)\d{4}(?!\d)", lambda year: f"{int(year.group()) + years:04}", date)


def _move(rng: random.Random, date: str, least: int = 1, most: int = 9) -> str:
    return _shifted(date, rng.choice([-1, 1]) * rng.randint(least, most))


# --- codes -----------------------------------------------------------------------------------------------

_part("codes")


def _coded(world: World, rng: random.Random) -> tuple[Face, Raw, str]:
    full = _pick(rng, [f for f in world.ids("face") if world.index.faces[f].printed_codes])
    raw = world.raw(full)
    return world.index.faces[full], raw, raw["codes"][0]


def _recode(world: World, face: Face, raw: Raw, text: str, what: str) -> Slip | None:
    if text == raw["codes"][0]:
        return None
    why = _code_clash(world.index, face, text)
    raw["codes"] = [text, *raw["codes"][1:]]
    return _one(face.id, raw, "codes", f"{what}, now {text}", why)


@_operator
def code_digit(world: World, rng: random.Random) -> Slip | None:
    """One digit of a code is another."""
    face, raw, text = _coded(world, rng)
    plain = _ascii(text)
    at = _pick(rng, [i for i, sign in enumerate(plain) if sign.isdigit()])
    return _recode(
        world,
        face,
        raw,
        _as_printed(plain[:at] + _other_digit(rng, plain[at]) + plain[at + 1 :], text),
        f"{text} with a wrong digit",
    )


@_operator
def code_swap(world: World, rng: random.Random) -> Slip | None:
    """Two neighbouring signs of a code are swapped."""
    face, raw, text = _coded(world, rng)
    places = [
        i
        for i in range(len(text) - 1)
        if text[i].isalnum() and text[i + 1].isalnum() and text[i] != text[i + 1]
    ]
    at = _pick(rng, places)
    # Swaps that a check digit does not see (Luhn: 09 and 90) contradict nothing by it.
    return _recode(
        world,
        face,
        raw,
        text[:at] + text[at + 1] + text[at] + text[at + 2 :],
        f"{text} with two signs swapped",
    )


@_operator
def code_sign_lost(world: World, rng: random.Random) -> Slip | None:
    """One sign of a code is left out."""
    face, raw, text = _coded(world, rng)
    at = rng.randrange(len(text))
    return _recode(world, face, raw, text[:at] + text[at + 1 :], f"{text} with a sign left out")


@_operator
def code_of_another_face(world: World, rng: random.Random) -> Slip | None:
    """A face gets the code of another of the same maker, copied from the wrong line."""
    face, raw, text = _coded(world, rng)
    owner = face.id.rpartition("/")[0]
    others = [
        f for f in world.ids("face") if f.startswith(f"{owner}/") and world.index.faces[f].printed_codes
    ]
    other = _pick(rng, others)
    code = world.index.faces[other].printed_codes[0]
    if code == text:
        return None
    slip = _recode(world, face, raw, code, f"{text} replaced by that of {other}")
    if (
        slip is not None
        and world.index.faces[other].figure == face.figure
        and _schemes(world.index, face)[0].check
    ):
        return Slip(
            slip.what, slip.changes, slip.field, "a code of the same figure; only its printing differs"
        )
    return slip


@_operator
def codes_exchanged(world: World, rng: random.Random) -> Slip | None:
    """Two faces of one maker have exchanged their codes."""
    face, raw, text = _coded(world, rng)
    owner = face.id.rpartition("/")[0]
    others = [
        f for f in world.ids("face")
        if f.startswith(f"{owner}/")
        and world.index.faces[f].printed_codes
        and world.index.faces[f].figure != face.figure
    ]  # fmt: skip
    other = _pick(rng, others)
    theirs = world.raw(other)
    raw["codes"], theirs["codes"] = theirs["codes"], raw["codes"]
    has_figure = any(s.meaning == "figure" for scheme in _schemes(world.index, face) for s in scheme.segments)
    why = "" if has_figure else "the scheme does not tell figures apart"
    return Slip(
        f"{face.id} and {other} exchanged {text}", (Change(face.id, raw), Change(other, theirs)), "codes", why
    )


@_operator
def code_forgotten(world: World, rng: random.Random) -> Slip | None:
    """A code that is printed is recorded as none."""
    face, raw, text = _coded(world, rng)
    raw["codes"] = "none"
    counts = {count for scheme in _schemes(world.index, face) for count in scheme.counts}
    own = face.id.rpartition("/")[0]
    others = [
        back.count
        for back in world.index.backs.values()
        if back.id.startswith(f"{own}/") and _shows(world.index, back.id, face.figure) is not False
    ]
    cards = [world.index.backs[c.back].count for c in _cards_of_face(world.index, face.id)]
    why = ""
    if not cards:
        why = "no card of the face is recorded"
    elif counts and (not set(others) <= counts or not set(cards) <= counts):
        why = "its figure also stands on backs without codes, so an old front may have been used up"
    return _one(face.id, raw, "codes", f"{text} recorded as none", why)


@_operator
def table_values_swapped(world: World, rng: random.Random) -> Slip | None:
    """Two figures of a scheme's table are exchanged."""
    full = _pick(rng, world.ids("scheme"))
    raw = world.raw(full)
    tables = [s["table"] for s in raw["segments"] if s["meaning"] == "figure" and len(s.get("table", {})) > 1]
    if not tables:
        return None
    one, other = rng.sample(sorted(tables[0]), 2)
    tables[0][one], tables[0][other] = tables[0][other], tables[0][one]
    line = full.partition("/")[0]
    swapped = {f"{line}/figure/{tables[0][key]}" for key in (one, other)}
    coded = any(
        face.figure in swapped
        and face.printed_codes
        and any(s.id == full for s in _schemes(world.index, face))
        for face in world.index.faces.values()
    )
    return _one(
        full, raw, "segments.table", f"{one} and {other} exchanged", "" if coded else "no face carries either"
    )


@_operator
def table_back_wrong(world: World, rng: random.Random) -> Slip | None:
    """A back segment of a scheme's table means another count."""
    full = _pick(rng, world.ids("scheme"))
    raw = world.raw(full)
    tables = [s["table"] for s in raw["segments"] if s["meaning"] == "back" and s.get("table")]
    if not tables:
        return None
    key = _pick(rng, sorted(tables[0]))
    was = tables[0][key]
    tables[0][key] = str(int(was) + rng.choice([-1, 1, 10]))
    scheme = world.index.schemes[full]
    makers = {short_id(maker) for maker in scheme.makers}
    known = {back.count for back in world.index.backs.values() if back.maker in makers}
    count = int(tables[0][key])
    real = count in known and (not scheme.counts or count in scheme.counts)
    why = ""
    if real and not _fronts_against(world.index, scheme, key, count):
        why = "the count exists, and codes may name another back"
    return _one(full, raw, "segments.table", f"{key} means {count}, not {was}", why)


def _fronts_against(index: Index, scheme: Scheme, key: str, count: int) -> bool:
    """Whether most fronts that carry a back segment, three at least, stand on no back of ``count``."""
    off, on = 0, 0
    for face in index.faces.values():
        if not face.printed_codes or scheme not in _schemes(index, face):
            continue
        for segment, start, end in _segments(scheme, _ascii(face.printed_codes[0])) or ():
            cards = _cards_of_face(index, face.id)
            if segment.meaning == "back" and _ascii(face.printed_codes[0])[start:end] == key and cards:
                fits = any(index.backs[card.back].count == count for card in cards)
                off, on = off + (not fits), on + fits
    return off > 2 and off > on


@_operator
def number_digit(world: World, rng: random.Random) -> Slip | None:
    """One digit of a product number is another."""
    full = _pick(rng, [f for f in world.ids("face") if any(c.isdigit() for c in world.index.faces[f].number)])
    raw, face = world.raw(full), world.index.faces[full]
    number = raw["number"]
    at = _pick(rng, [i for i, sign in enumerate(number) if sign in "0123456789"])
    raw["number"] = number[:at] + _other_digit(rng, number[at]) + number[at + 1 :]
    same = [
        other for other in world.index.faces.values()
        if other.id != full
        and (other.figure, other.maker, other.number) == (face.figure, face.maker, number)
    ]  # fmt: skip
    why = "" if len(same) > 1 else "fewer than two other faces have the figure's number"
    return _one(full, raw, "number", f"{number} with a wrong digit", why)


@_operator
def barcode_digit(world: World, rng: random.Random) -> Slip | None:
    """One digit of a barcode is another."""
    full = _pick(rng, [f for f in world.ids("face") if world.index.faces[f].barcode])
    raw = world.raw(full)
    code = raw["barcode"]
    at = rng.randrange(len(code))
    if not code[at].isdigit():
        return None
    raw["barcode"] = code[:at] + _other_digit(rng, code[at]) + code[at + 1 :]
    return _one(full, raw, "barcode", f"{code} with a wrong digit")


# --- counts and pictures ---------------------------------------------------------------------------------

_part("counts and pictures")


@_operator
def count_off(world: World, rng: random.Random) -> Slip | None:
    """A count is one too many or too few."""
    full = _pick(rng, world.ids("back"))
    raw = world.raw(full)
    raw["count"] = max(0, raw["count"] + rng.choice([-1, 1]))
    if raw["count"] == world.index.backs[full].count:
        return None
    return _one(full, raw, "count", f"count {raw['count']}")


@_operator
def designation_count(world: World, rng: random.Random) -> Slip | None:
    """A digit of a designation's count is another."""
    full = _pick(rng, world.ids("back"))
    raw, back = world.raw(full), world.index.backs[full]
    digits = str(back.designation.count)
    at = rng.randrange(len(digits))
    count = int(digits[:at] + _other_digit(rng, digits[at]) + digits[at + 1 :])
    raw["designation"] = str(Designation(count, back.designation.letter))
    return _one(full, raw, "designation", f"called {raw['designation']}")


@_operator
def designation_letter(world: World, rng: random.Random) -> Slip | None:
    """A letter is another."""
    full = _pick(rng, [f for f in world.ids("back") if len(world.index.backs[f].designation.letter) == 1])
    raw, back = world.raw(full), world.index.backs[full]
    letter = rng.choice([one for one in "ABCDEFGH" if one != back.designation.letter])
    raw["designation"] = str(Designation(back.designation.count, letter))
    taken = any(
        other.id.rpartition("/")[0] == full.rpartition("/")[0]
        and str(other.designation) == raw["designation"]
        for other in world.index.backs.values()
    )
    why = "" if taken else "the letter is free, letters may have gaps, and nothing else tells it"
    return _one(full, raw, "designation", f"called {raw['designation']}", why)


def _listing(world: World, rng: random.Random, field: str) -> tuple[str, Raw]:
    full = _pick(rng, [f for f in world.ids("back") if (world.raw_of(f).get("pictures") or {}).get(field)])
    return full, world.raw(full)


@_operator
def figure_left_out(world: World, rng: random.Random) -> Slip | None:
    """A figure is left out of what a back pictures."""
    full, raw = _listing(world, rng, "plus")
    gone = raw["pictures"]["plus"].pop(rng.randrange(len(raw["pictures"]["plus"])))
    if not raw["pictures"]["plus"]:
        del raw["pictures"]["plus"]
    return _one(full, raw, "pictures.plus", f"{gone} left out")


@_operator
def figure_too_many(world: World, rng: random.Random) -> Slip | None:
    """A figure is added to what a back pictures."""
    full = _pick(rng, [f for f in world.ids("back") if world.raw_of(f).get("pictures")])
    raw = world.raw(full)
    line = full.partition("/")[0]
    figure = _pick(rng, [f for f in world.ids("figure") if f.startswith(f"{line}/")])
    raw["pictures"].setdefault("plus", []).append(short_id(figure))
    return _one(full, raw, "pictures.plus", f"{short_id(figure)} added")


@_operator
def figure_mistaken(world: World, rng: random.Random) -> Slip | None:
    """One figure of what a back pictures is another."""
    full, raw = _listing(world, rng, "plus")
    line = full.partition("/")[0]
    plus = raw["pictures"]["plus"]
    at = rng.randrange(len(plus))
    figure = _figure_of(world, rng, line)
    was, plus[at] = plus[at], figure
    if was == figure:
        return None
    why = (
        ""
        if _list_matters(world.index, full, f"{line}/figure/{was}", f"{line}/figure/{figure}")
        else ("a generic back, or one without a wave: no card has the figure, and no wave is added up")
    )
    return _one(full, raw, "pictures.plus", f"{figure} in place of {was}", why)


def _list_matters(index: Index, back: str, was: str, now: str) -> bool:
    """Whether a figure exchanged on a back contradicts anything: its wave, its cards, or the list itself."""
    if _shows(index, back, now):
        return True
    record = index.backs[back]
    own = not _generic(index, back)
    if own and record.wave and index.waves[record.wave].maker == f"maker/{record.maker}":
        return True
    for other in index.backs.values():
        derived = other.id == back or (other.pictures is not None and other.pictures.based_on == back)
        if (
            derived
            and other.pictures is not None
            and was in (*other.pictures.minus, *other.pictures.silhouettes)
        ):
            return True
        if (
            derived
            and own
            and any(
                index.faces[index.cards[card].face].figure == was and not index.cards[card].exception
                for card in index.cards_by_back.get(other.id, ())
            )
        ):
            return True
    return False


@_operator
def minus_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A figure that was dropped from a back is another."""
    full, raw = _listing(world, rng, "minus")
    line = full.partition("/")[0]
    minus = raw["pictures"]["minus"]
    at = rng.randrange(len(minus))
    figure = _figure_of(world, rng, line)
    was, minus[at] = minus[at], figure
    if was == figure:
        return None
    # Where a printer's slip shows one figure twice, another was left out, and nothing but cards tells which.
    gone = f"{line}/figure/{figure}"
    misprint = bool(raw["pictures"].get("slips")) and _shows(world.index, full, gone)
    carded = any(
        world.index.faces[world.index.cards[card].face].figure == gone
        for card in world.index.cards_by_back.get(full, ())
    )
    why = "a misprint left one figure out, and nothing else tells which" if misprint and not carded else ""
    return _one(full, raw, "pictures.minus", f"{figure} in place of {was}", why)


@_operator
def silhouette_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A silhouette is that of a figure that the back does not picture."""
    full, raw = _listing(world, rng, "silhouettes")
    line = full.partition("/")[0]
    figures = [
        f for f in world.ids("figure") if f.startswith(f"{line}/") and not _shows(world.index, full, f)
    ]
    figure = _pick(rng, figures)
    raw["pictures"]["silhouettes"][0] = short_id(figure)
    return _one(full, raw, "pictures.silhouettes", f"silhouette of {short_id(figure)}")


@_operator
def based_on_mistaken(world: World, rng: random.Random) -> Slip | None:
    """What a back pictures is derived from another back than meant."""
    full, raw = _listing(world, rng, "based_on")
    owner = full.rpartition("/")[0]
    index = world.index
    others = [
        f for f in world.ids("back") if f.startswith(f"{owner}/") and f != full and f in shown_on(index)
    ]
    other = _pick(rng, others)
    was = raw["pictures"]["based_on"]
    if short_id(other) == was:
        return None
    raw["pictures"]["based_on"] = short_id(other)
    base = f"{owner}/{was}" if "/" not in was else ""
    why = ""
    if base and shown_on(index).get(base) == shown_on(index)[other]:
        why = "both backs picture the same figures"
        if _order_clash(index, full, other):
            why = ""
    return _one(full, raw, "pictures.based_on", f"based on {short_id(other)}, not {was}", why)


def _order_clash(index: Index, later: str, earlier: str) -> bool:
    """Whether ``later`` surely was before ``earlier``: by their dates, or their waves."""
    one, other = index.backs[later], index.backs[earlier]
    dates = [back.released or (index.waves[back.wave].date if back.wave else None) for back in (one, other)]
    if dates[0] and dates[1] and dates[0].before(dates[1]) is True:
        return True
    if one.wave and other.wave and one.wave != other.wave:
        order = list(index.waves)
        same = index.waves[one.wave].maker == index.waves[other.wave].maker
        return same and order.index(one.wave) < order.index(other.wave)
    return False


@_operator
def claimed_equals_count(world: World, rng: random.Random) -> Slip | None:
    """A claimed total is recorded as a number that is the count."""
    full = _pick(rng, [f for f in world.ids("back") if world.index.backs[f].count])
    raw = world.raw(full)
    raw["claimed"] = raw["count"]
    return _one(full, raw, "claimed", f"claims {raw['count']}")


# --- waves -----------------------------------------------------------------------------------------------

_part("waves")


def _debuting(world: World, rng: random.Random) -> tuple[str, Raw, int]:
    full = _pick(rng, [f for f in world.ids("wave") if world.index.waves[f].debuts])
    raw = world.raw(full)
    return full, raw, rng.randrange(len(raw["debuts"]))


def _figure_told(index: Index, wave: str, figure: str) -> bool:
    """Whether anything else tells that the wave's maker sold the figure: its backs, or faces of it."""
    maker = index.waves[wave].maker
    short = short_id(maker)
    line = wave.partition("/")[0]
    for back in index.backs.values():
        own = back.id.startswith(f"{line}/{short}/") and back.wave and not _generic(index, back.id)
        if own and index.waves[back.wave].maker == maker and _shows(index, back.id, figure):
            return True
    return any(
        face.maker == short and face.figure == figure and face.id.startswith(f"{line}/")
        for face in index.faces.values()
    )


@_operator
def debut_forgotten(world: World, rng: random.Random) -> Slip | None:
    """A figure is left out of the wave that debuts it."""
    full, raw, at = _debuting(world, rng)
    gone = raw["debuts"].pop(at)
    if not raw["debuts"]:
        return None
    line = full.partition("/")[0]
    figure = f"{line}/figure/{gone}"
    again = sum(
        figure in wave.debuts
        for wave in world.index.waves.values()
        if wave.maker == world.index.waves[full].maker
    )
    why = ""
    if not _figure_told(world.index, full, figure):
        why = "nothing else tells that the maker sold it"
    elif again > 1 and not any(b.wave == full for b in world.index.backs.values()):
        why = "another wave debuts it, and no back is added up"
    return _one(full, raw, "debuts", f"{gone} left out", why)


@_operator
def debut_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A figure that a wave debuts is another."""
    full, raw, at = _debuting(world, rng)
    line = full.partition("/")[0]
    figure = _figure_of(world, rng, line)
    was, raw["debuts"][at] = raw["debuts"][at], figure
    if was == figure:
        return None
    told = _figure_told(world.index, full, f"{line}/figure/{was}")
    twice = f"{line}/figure/{figure}" in world.index.waves[full].debuts
    why = "" if told or twice else "nothing else tells that the maker sold it"
    return _one(full, raw, "debuts", f"{figure} in place of {was}", why)


@_operator
def debut_in_wrong_wave(world: World, rng: random.Random) -> Slip | None:
    """A figure debuts in another wave of the same maker than it did."""
    full, raw, at = _debuting(world, rng)
    index = world.index
    maker, line = index.waves[full].maker, full.partition("/")[0]
    others = [
        w
        for w in world.ids("wave")
        if w != full and index.waves[w].maker == maker and w.startswith(f"{line}/")
    ]
    other = _pick(rng, others)
    if len(raw["debuts"]) < 2:
        return None
    theirs = world.raw(other)
    figure = raw["debuts"].pop(at)
    if figure in theirs.get("debuts", ()):
        return None
    theirs.setdefault("debuts", []).append(figure)
    own = [
        back for back in index.backs.values()
        if back.wave in (full, other) and not _generic(index, back.id) and back.id in shown_on(index)
    ]  # fmt: skip
    date = index.waves[other].date
    fronts = [f for f in index.faces.values() if short_id(f.figure) == figure and f"maker/{f.maker}" == maker]
    years = [index.series[front.series].years for front in fronts]
    over = date is not None and any(one is not None and one.before(date) is True for one in years)
    why = "" if own or over else "no back of either wave is added up"
    return Slip(
        f"{figure} moved from {full} to {other}", (Change(full, raw), Change(other, theirs)), "debuts", why
    )


@_operator
def drop_forgotten(world: World, rng: random.Random) -> Slip | None:
    """A figure that a wave drops, or brings back, is left out."""
    full = _pick(
        rng, [f for f in world.ids("wave") if world.index.waves[f].drops or world.index.waves[f].returns]
    )
    raw = world.raw(full)
    field = rng.choice([field for field in ("drops", "returns") if raw.get(field)])
    gone = raw[field].pop(0)
    if not raw[field]:
        del raw[field]
    own = [b for b in world.index.backs.values() if b.wave == full and not _generic(world.index, b.id)]
    later = any(
        gone in map(short_id, (*w.returns, *w.drops)) for w in world.index.waves.values() if w.id != full
    )
    return _one(
        full,
        raw,
        field,
        f"{gone} left out of {field}",
        "" if own or later else "no back of the wave is added up",
    )


@_operator
def wave_date(world: World, rng: random.Random) -> Slip | None:
    """The year of a wave is another."""
    full = _pick(rng, [f for f in world.ids("wave") if world.index.waves[f].date])
    raw = world.raw(full)
    moved = _move(rng, str(raw["date"]), 1, 6)
    if not moved:
        return None
    was, raw["date"] = raw["date"], moved
    index, wave, now = world.index, world.index.waves[full], Date.parse(moved)
    siblings = index.waves_by_maker[full.partition("/")[0], wave.maker]
    at = siblings.index(wave)
    clash = any(_apart(now, frame) for frame in _frames(index, wave.maker, wave.series))
    clash |= any(w.date is not None and now.before(w.date) is True for w in siblings[:at])
    clash |= any(w.date is not None and w.date.before(now) is True for w in siblings[at + 1 :])
    for back in index.backs.values():
        clash |= back.wave == full and back.released is not None and back.released.before(now) is True
    clash |= _sources_older(index, wave.sources, now)
    return _one(
        full,
        raw,
        "date",
        f"{moved}, not {was}",
        "" if clash else "the year still fits its series, maker, backs and neighbours",
    )


def _sources_older(index: Index, sources: tuple[str, ...], date: Date) -> bool:
    """Whether everything that a date rests on is so much older that it cannot tell of it."""
    dated = [index.sources[s] for s in sources if s in index.sources]
    return bool(dated) and all(s.date is not None and _too_old(s.kind.value, s.date, date) for s in dated)


def _too_old(kind: str, source: Date, date: Date) -> bool:
    if source.before(date) is not True:
        return False
    if kind not in ("catalogue", "papers", "print"):
        return True
    return (
        source.latest is not None
        and date.earliest is not None
        and date.earliest.year > source.latest.year + 1
    )


# --- dates -----------------------------------------------------------------------------------------------

_part("dates")


@_operator
def back_released(world: World, rng: random.Random) -> Slip | None:
    """The year of a back is another."""
    full = _pick(rng, [f for f in world.ids("back") if world.index.backs[f].released])
    raw = world.raw(full)
    moved = _move(rng, str(raw["released"]), 1, 6)
    if not moved:
        return None
    was, raw["released"] = raw["released"], moved
    index, back, now = world.index, world.index.backs[full], Date.parse(moved)
    clash = any(_apart(now, frame) for frame in _frames(index, f"maker/{back.maker}", back.series))
    if back.wave:
        date = index.waves[back.wave].date
        clash |= date is not None and now.before(date) is True
    clash |= _neighbours_clash(index, full, now) or _cards_clash(index, full, now)
    clash |= _sources_older(index, back.sources, now)
    return _one(
        full,
        raw,
        "released",
        f"{moved}, not {was}",
        "" if clash else "the year still fits its series, maker, wave and neighbours",
    )


def _neighbours_clash(index: Index, full: str, now: Date) -> bool:
    """Whether a back's new date contradicts what it follows, is based on, or what follows it."""

    def date(back: Back) -> Date | None:
        return back.released or (index.waves[back.wave].date if back.wave else None)

    own = index.backs[full]
    base = own.pictures.based_on if own.pictures else ""
    earlier = [
        index.backs[f]
        for f in (own.after, base)
        if f in index.backs and (f == own.after or _same_maker(f, full))
    ]
    for back in earlier:
        other = date(back)
        if other is not None and now.before(other) is True:
            return True
    for back in index.backs.values():
        based = back.pictures.based_on if back.pictures else ""
        if back.after == full or (based == full and _same_maker(back.id, full)):
            other = date(back)
            if other is not None and other.before(now) is True:
                return True
    return False


def _same_maker(one: str, other: str) -> bool:
    return one.rpartition("/")[0] == other.rpartition("/")[0]


def _cards_clash(index: Index, back: str, now: Date) -> bool:
    cards = [index.cards[card] for card in index.cards_by_back.get(back, ())]
    for card in cards:
        if card.released is not None and card.released.before(now) is True:
            return True
        if any(
            sighting.seen is not None and sighting.seen.before(now) is True for sighting in card.sightings
        ):
            return True
        for sticker in card.stickers:
            put = index.stickers[sticker].released
            if put is not None and put.latest and now.earliest and now.earliest.year > put.latest.year + 1:
                return True
    return False


@_operator
def card_released(world: World, rng: random.Random) -> Slip | None:
    """The year of a card is another."""
    full = _pick(rng, [f for f in world.ids("card") if world.index.cards[f].released])
    raw = world.raw(full)
    moved = _move(rng, str(raw["released"]), 2, 9)
    if not moved:
        return None
    was, raw["released"] = raw["released"], moved
    index, card, now = world.index, world.index.cards[full], Date.parse(moved)
    back, face = index.backs[card.back], index.faces[card.face]
    date = back.released or (index.waves[back.wave].date if back.wave else None)
    clash = any(_apart(now, frame) for frame in _frames(index, f"maker/{card.maker}", ""))
    clash |= date is not None and now.before(date) is True
    clash |= any(_apart(now, index.makers[m].active) for m in card.roles.values())
    debuts = [
        w.date for w in index.waves.values() if w.maker == f"maker/{face.maker}" and face.figure in w.debuts
    ]
    clash |= bool(debuts) and debuts[0] is not None and now.before(debuts[0]) is True
    clash |= any(s.seen is not None and s.seen.before(now) is True for s in card.sightings)
    clash |= _sources_older(index, card.sources, now)
    for sticker in card.stickers:
        put = index.stickers[sticker].released
        clash |= bool(put and put.latest and now.earliest and now.earliest.year > put.latest.year + 1)
    return _one(
        full,
        raw,
        "released",
        f"{moved}, not {was}",
        "" if clash else "the year still fits its back, maker and figure",
    )


@_operator
def series_years(world: World, rng: random.Random) -> Slip | None:
    """The years of a series are others."""
    full = _pick(rng, [f for f in world.ids("series") if world.index.series[f].years])
    raw = world.raw(full)
    moved = _move(rng, str(raw["years"]), 2, 10)
    if not moved:
        return None
    was, raw["years"] = raw["years"], moved
    now = Date.parse(moved)
    dated = [w.date for w in world.index.waves.values() if w.series == full]
    dated += [b.released for b in world.index.backs.values() if b.series == full]
    clash = any(_apart(date, now) for date in dated)
    return _one(
        full, raw, "years", f"{moved}, not {was}", "" if clash else "its waves and backs still lie within"
    )


@_operator
def maker_active(world: World, rng: random.Random) -> Slip | None:
    """The years of a maker are others."""
    full = _pick(rng, [f for f in world.ids("maker") if world.index.makers[f].active])
    raw = world.raw(full)
    moved = _move(rng, str(raw["active"]), 3, 12)
    if not moved:
        return None
    was, raw["active"] = raw["active"], moved
    index, now, short = world.index, Date.parse(moved), short_id(full)
    dated = [w.date for w in index.waves.values() if w.maker == full]
    dated += [b.released for b in index.backs.values() if b.maker == short]
    dated += [c.released for c in index.cards.values() if c.maker == short or full in c.roles.values()]
    dated += [s.released for s in index.stickers.values() if s.by == (full,)]
    dated += [s.valid for s in index.schemes.values() if s.makers == (full,)]
    clash = any(_apart(date, now) for date in dated)
    return _one(
        full,
        raw,
        "active",
        f"{moved}, not {was}",
        "" if clash else "everything dated of it still lies within",
    )


@_operator
def year_in_future(world: World, rng: random.Random) -> Slip | None:
    """Two digits of a source's year are swapped or wrong, and it lies in the future."""
    full = _pick(
        rng,
        [f for f in world.ids("source") if re.fullmatch(r"\d{4}(-\d\d)*", str(world.index.sources[f].date))],
    )
    raw = world.raw(full)
    was = str(raw["date"])
    raw["date"] = f"2{rng.randint(1, 9)}{was[2:]}"
    return _one(full, raw, "date", f"{raw['date']}, not {was}")


@_operator
def sighting_year(world: World, rng: random.Random) -> Slip | None:
    """The century or decade of a sighting is another."""
    cards = [f for f in world.ids("card") if any(s.seen for s in world.index.cards[f].sightings)]
    full = _pick(rng, cards)
    raw, card = world.raw(full), world.index.cards[full]
    at = _pick(rng, [i for i, s in enumerate(raw["sightings"]) if "seen" in s])
    moved = _shifted(str(raw["sightings"][at]["seen"]), rng.choice([-100, -60, -40, 10, 20, 100]))
    if not moved:
        return None
    raw["sightings"][at]["seen"] = moved
    now = Date.parse(moved)
    index, back = world.index, world.index.backs[card.back]
    made = card.released or back.released or (index.waves[back.wave].date if back.wave else None)
    source = index.sources[card.sightings[at].source].date
    clash = (made is not None and now.before(made) is True) or (
        source is not None and source.before(now) is True
    )
    clash |= Date.parse("2026-11-30").before(now) is True
    return _one(full, raw, "sightings.seen", f"seen {moved}", "" if clash else "it may have been seen then")


@_operator
def after_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A back is said to follow another than it did."""
    full = _pick(rng, [f for f in world.ids("back") if world.index.backs[f].after])
    raw = world.raw(full)
    owner = full.rpartition("/")[0]
    other = _pick(rng, [f for f in world.ids("back") if f.startswith(f"{owner}/") and f != full])
    if other == world.index.backs[full].after:
        return None
    was, raw["after"] = raw["after"], short_id(other)
    index = world.index
    clash = _order_clash(index, full, other) or _follows(index, other, full)
    return _one(
        full,
        raw,
        "after",
        f"after {short_id(other)}, not {was}",
        "" if clash else "the dates allow that order too",
    )


def _follows(index: Index, one: str, other: str) -> bool:
    """Whether ``one`` follows ``other`` step by step, so that a step back would close a circle."""
    seen: set[str] = set()
    while one and one not in seen:
        seen.add(one)
        one = index.backs[one].after if one in index.backs else ""
        if one == other:
            return True
    return False


# --- cards and faces -------------------------------------------------------------------------------------

_part("cards and faces")


def _card_clash(index: Index, card: Card, face: str, back: str, moving: str = "") -> str:
    """Why a card with this face and back contradicts nothing; "" where it does contradict something."""
    front, reverse = index.faces[face], index.backs[back]
    if not card.exception and not _generic(index, back) and _shows(index, back, front.figure) is False:
        return ""
    seen = reverse.pictures
    if not card.exception and seen is not None and front.figure in seen.silhouettes:
        return ""
    plain = _shows(index, back, front.figure) and front.figure not in (seen.silhouettes if seen else ())
    if card.exception and plain and front.series == reverse.series:
        return ""  # an exception that excuses nothing
    for other in index.cards.values():
        if other.id in (card.id, moving):
            continue
        if (other.face, other.back) == (face, back) and _alike(other, card):
            return ""
    date = reverse.released or (index.waves[reverse.wave].date if reverse.wave else None)
    if card.released is not None and date is not None and card.released.before(date) is True:
        return ""
    for sticker in card.stickers:
        put = index.stickers[sticker].released
        if (
            put is not None
            and put.latest
            and date
            and date.earliest
            and date.earliest.year > put.latest.year + 1
        ):
            return ""
    return "the back pictures the figure too, so the card could well be"


def _alike(one: Card, other: Card) -> bool:
    return (one.stickers, one.roles, one.features, one.origin, one.extras, one.made) == (
        other.stickers, other.roles, other.features, other.origin, other.extras, other.made,
    )  # fmt: skip


@_operator
def card_back_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A card has another back of its maker."""
    full = _pick(rng, world.ids("card"))
    raw, card = world.raw(full), world.index.cards[full]
    owner = card.back.rpartition("/")[0]
    other = _pick(rng, [f for f in world.ids("back") if f.startswith(f"{owner}/") and f != card.back])
    was, raw["back"] = raw["back"], short_id(other) if "/" not in raw["back"] else other.partition("/")[2]
    return _one(
        full, raw, "back", f"on {raw['back']}, not {was}", _card_clash(world.index, card, card.face, other)
    )


@_operator
def card_face_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A card has another face of its maker."""
    full = _pick(rng, world.ids("card"))
    raw, card = world.raw(full), world.index.cards[full]
    owner = card.face.rpartition("/")[0]
    other = _pick(rng, [f for f in world.ids("face") if f.startswith(f"{owner}/") and f != card.face])
    was, raw["face"] = raw["face"], short_id(other) if "/" not in raw["face"] else other.partition("/")[2]
    return _one(
        full, raw, "face", f"with {raw['face']}, not {was}", _card_clash(world.index, card, other, card.back)
    )


@_operator
def cards_exchanged(world: World, rng: random.Random) -> Slip | None:
    """Two cards of one maker have exchanged their backs."""
    full = _pick(rng, world.ids("card"))
    index = world.index
    card = index.cards[full]
    others = [
        f for f in world.ids("card")
        if _same_maker(f, full)
        and index.cards[f].back != card.back
        and _same_maker(index.cards[f].back, card.back)
    ]  # fmt: skip
    other = _pick(rng, others)
    raw, theirs = world.raw(full), world.raw(other)
    raw["back"], theirs["back"] = theirs["back"], raw["back"]
    twin = index.cards[other]
    if card.face == twin.face:
        return None
    why = _card_clash(index, card, card.face, twin.back, other) and _card_clash(
        index, twin, twin.face, card.back, full
    )
    return Slip(
        f"{full} and {other} exchanged backs", (Change(full, raw), Change(other, theirs)), "back", why
    )


@_operator
def face_figure_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A face is recorded for another figure."""
    full = _pick(rng, world.ids("face"))
    raw, face = world.raw(full), world.index.faces[full]
    line = full.partition("/")[0]
    other = _pick(rng, [f for f in world.ids("figure") if f.startswith(f"{line}/") and f != face.figure])
    raw["figure"] = short_id(other)
    index = world.index
    names = {fold(n.text) for n in index.figures[other].names} | {
        fold(n.latin) for n in index.figures[other].names
    }
    clash = bool(face.name) and fold(face.name) not in names
    clash |= bool(face.printed_codes) and any(
        s.meaning == "figure" for one in _schemes(index, face) for s in one.segments
    )
    for card in _cards_of_face(index, full):
        clash |= (
            not card.exception and not _generic(index, card.back) and _shows(index, card.back, other) is False
        )
        clash |= not card.exception and card.back in index.backs and _secret(index, card.back, other)
    clash |= not any(other in w.debuts for w in index.waves.values() if w.maker == f"maker/{face.maker}")
    return _one(
        full,
        raw,
        "figure",
        f"of {short_id(other)}",
        "" if clash else "no name or code is recorded, and its backs picture both",
    )


def _secret(index: Index, back: str, figure: str) -> bool:
    pictures = index.backs[back].pictures
    return pictures is not None and figure in pictures.silhouettes


@_operator
def face_series_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A face is recorded for another series."""
    full = _pick(rng, world.ids("face"))
    raw, face = world.raw(full), world.index.faces[full]
    line = full.partition("/")[0]
    other = _pick(rng, [s for s in world.ids("series") if s.startswith(f"{line}/") and s != face.series])
    raw["series"] = short_id(other)
    index = world.index
    coded = bool(face.printed_codes)
    clash = coded and any(
        s.meaning == "series" and s.table for one in _schemes(index, face) for s in one.segments
    )
    clash |= coded and any(one.series and other not in one.series for one in _schemes(index, face))
    years = index.series[other].years
    clash |= coded and any(_apart(years, one.valid) for one in _schemes(index, face))
    clash |= coded and _back_of_other_time(index, face, other)
    debuts = [
        w.date for w in index.waves.values() if w.maker == f"maker/{face.maker}" and face.figure in w.debuts
    ]
    clash |= bool(debuts) and debuts[0] is not None and years is not None and years.before(debuts[0]) is True
    named = [
        n
        for n in index.figures[face.figure].names
        if face.name and fold(face.name) in (fold(n.text), fold(n.latin))
    ]
    clash |= bool(named) and all(n.series and n.series != other for n in named)
    return _one(
        full,
        raw,
        "series",
        f"of {short_id(other)}",
        "" if clash else "fronts and backs may differ in series, and no code tells",
    )


def _back_of_other_time(index: Index, face: Face, series: str) -> bool:
    """Whether the code names a back that came only after the series had ended."""
    for scheme in _schemes(index, face):
        segments = _segments(scheme, _ascii(face.printed_codes[0]))
        for segment, start, end in segments or []:
            part = _ascii(face.printed_codes[0])[start:end]
            if segment.meaning == "back" and part in segment.table:
                moved = evolve(face, series=series)
                return _back_impossible(index, scheme, moved, int(segment.table[part]))
    return False


@_operator
def name_misspelt(world: World, rng: random.Random) -> Slip | None:
    """Two letters of a printed name are swapped, or one is left out."""
    full = _pick(rng, [f for f in world.ids("face") if len(world.index.faces[f].name) > 3])
    raw, face = world.raw(full), world.index.faces[full]
    name = face.name
    at = rng.randrange(1, len(name) - 1)
    wrong = (
        name[:at] + name[at + 1] + name[at] + name[at + 2 :]
        if rng.random() < 0.5
        else name[:at] + name[at + 1 :]
    )
    if fold(wrong) == fold(name) or wrong != wrong.strip():
        return None
    raw["name"] = wrong
    return _one(full, raw, "name", f"called {wrong}")


@_operator
def name_of_another(world: World, rng: random.Random) -> Slip | None:
    """A face has the name of another figure."""
    full = _pick(rng, [f for f in world.ids("face") if world.index.faces[f].name])
    raw, face = world.raw(full), world.index.faces[full]
    line = full.partition("/")[0]
    names = [
        other.name for other in world.index.faces.values()
        if other.name
        and other.maker == face.maker
        and other.figure != face.figure
        and other.id.startswith(f"{line}/")
    ]  # fmt: skip
    name = _pick(rng, names)
    own = {fold(n.text) for n in world.index.figures[face.figure].names}
    if fold(name) in own:
        return None
    raw["name"] = name
    return _one(full, raw, "name", f"called {name}")


@_operator
def language_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A language of a face or back is another."""
    kind = rng.choice(["face", "back"])
    full = _pick(rng, [f for f in world.ids(kind) if world.raw_of(f).get("languages")])
    raw = world.raw(full)
    at = rng.randrange(len(raw["languages"]))
    was = raw["languages"][at]
    raw["languages"][at] = rng.choice(
        [one for one in ("en", "fr", "es", "sv", "it", "gr", "jp", "fi") if one != was]
    )
    if len(set(raw["languages"])) < len(raw["languages"]):
        return None
    maker = world.index.makers.get(f"maker/{full.split('/')[1]}")
    new = raw["languages"][at]
    spoken = maker is not None and any(tag.partition("-")[0] == new for tag in maker.languages)
    why = (
        "" if not spoken and maker is not None and maker.languages else "the maker sold in that language too"
    )
    return _one(full, raw, "languages", f"{new}, not {was}", why)


@_operator
def country_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A country of origin is one that no card of the time could name, or none at all."""
    full = _pick(rng, [f for f in world.ids("card") if world.index.cards[f].origin])
    raw = world.raw(full)
    raw["origin"][0]["country"] = rng.choice(["XQ", "UK", "HR", "CZ", "EL", "RU", "ZZ"])
    index, card = world.index, world.index.cards[full]
    back = index.backs[card.back]
    dated = any((card.released, back.released, back.wave, index.series[back.series].years))
    why = (
        ""
        if dated or raw["origin"][0]["country"] in ("XQ", "UK", "EL", "ZZ")
        else "when it was made is not recorded"
    )
    return _one(full, raw, "origin.country", f"made in {raw['origin'][0]['country']}", why)


@_operator
def sticker_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A card bears another sticker than it does."""
    full = _pick(rng, [f for f in world.ids("card") if world.index.cards[f].stickers])
    raw, card = world.raw(full), world.index.cards[full]
    line = full.partition("/")[0]
    other = _pick(
        rng, [s for s in world.ids("sticker") if s.startswith(f"{line}/") and s not in card.stickers]
    )
    raw["stickers"] = [short_id(other)]
    index, sticker = world.index, world.index.stickers[other]
    parts = {f"maker/{one.split('/')[1]}" for one in (card.id, card.face, card.back)} | set(
        card.roles.values()
    )
    back = index.backs[card.back]
    date = card.released or back.released or (index.waves[back.wave].date if back.wave else None)
    clash = bool(sticker.by) and parts.isdisjoint(sticker.by)
    put = sticker.released
    clash |= bool(put and put.latest and date and date.earliest and date.earliest.year > put.latest.year + 1)
    return _one(
        full,
        raw,
        "stickers",
        f"bears {short_id(other)}",
        "" if clash else "a sticker of the same seller and time",
    )


@_operator
def role_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A role names the maker itself."""
    full = _pick(rng, [f for f in world.ids("card") if world.index.cards[f].roles])
    raw = world.raw(full)
    role = rng.choice(sorted(raw["roles"]))
    raw["roles"][role] = world.index.cards[full].maker
    return _one(full, raw, f"roles.{role}", f"{role} is its own maker")


@_operator
def exception_lost(world: World, rng: random.Random) -> Slip | None:
    """The reason why a figure stands on a back that does not picture it is lost."""
    cards = []
    for full in world.ids("card"):
        card = world.index.cards[full]
        figure = world.index.faces[card.face].figure
        odd = _shows(world.index, card.back, figure) is False and not _generic(world.index, card.back)
        if (
            card.standing.value != "refuted"
            and card.exception
            and (odd or _secret(world.index, card.back, figure))
        ):
            cards.append(full)
    full = _pick(rng, cards)
    raw = world.raw(full)
    del raw["exception"]
    return _one(full, raw, "exception", "exception left out")


@_operator
def card_twice(world: World, rng: random.Random) -> Slip | None:
    """A card is recorded a second time under another id."""
    full = _pick(rng, world.ids("card"))
    raw = world.raw(full)
    raw["id"] = f"{raw['id']}9"
    if f"{full}9" in world.index.cards:
        return None
    return Slip(f"{full} recorded twice", (Change(full, raw, copy_of=True),), "id")


@_operator
def id_twice(world: World, rng: random.Random) -> Slip | None:
    """A record gets the id of another of its file."""
    kind = rng.choice(["back", "face", "card"])
    full = _pick(rng, world.ids(kind))
    other = _pick(rng, [f for f in world.ids(kind) if _same_maker(f, full) and f != full])
    raw = world.raw(full)
    raw["id"] = short_id(other)
    return Slip(f"{full} called {short_id(other)}", (Change(full, raw),), "id")


@_operator
def maker_off_the_list(world: World, rng: random.Random) -> Slip | None:
    """A maker is left out of a line's list."""
    full = _pick(rng, [f for f in world.ids("line") if len(world.index.lines[f].makers) > 1])
    raw = world.raw(full)
    gone = raw["makers"].pop(rng.randrange(len(raw["makers"])))
    used = any(f"/{gone}/" in one for one in (*world.index.backs, *world.index.faces, *world.index.cards))
    used |= any(w.maker == f"maker/{gone}" for w in world.index.waves.values())
    return _one(
        full,
        raw,
        "makers",
        f"{gone} left out",
        "" if used or raw["home"] == gone else "nothing of theirs is recorded",
    )


# --- links and evidence ----------------------------------------------------------------------------------

_part("links and evidence")


@_operator
def link_to_nothing(world: World, rng: random.Random) -> Slip | None:
    """A digit or letter of a reference is wrong, and nothing has that id."""
    kind, field = rng.choice([
        ("card", "face"), ("card", "back"), ("back", "series"),
        ("back", "wave"), ("face", "figure"), ("face", "series"),
    ])  # fmt: skip
    full = _pick(rng, [f for f in world.ids(kind) if world.raw_of(f).get(field)])
    raw = world.raw(full)
    was = raw[field]
    at = rng.randrange(len(was))
    if not was[at].isalnum():
        return None
    raw[field] = (
        was[:at] + rng.choice([c for c in "abcdefghjkmnpqrstuvwxyz23456789" if c != was[at]]) + was[at + 1 :]
    )
    changed = world.changed((Change(full, raw),))
    record = next(e.record for e in changed.entries[kind] if e.id == full)
    target = getattr(record, field)
    return None if target in world.index else _one(full, raw, field, f"{raw[field]}, not {was}")


@_operator
def source_lost(world: World, rng: random.Random) -> Slip | None:
    """A confirmed record loses its only source."""
    kind = rng.choice(["back", "face", "card"])
    full = _pick(rng, [
        f for f in world.ids(kind)
        if world.raw_of(f).get("standing") == "confirmed" and len(world.raw_of(f).get("sources", ())) == 1
        and not world.raw_of(f).get("sightings")
    ])  # fmt: skip
    raw = world.raw(full)
    del raw["sources"]
    return _one(full, raw, "sources", "its only source left out")


@_operator
def wrongly_refuted(world: World, rng: random.Random) -> Slip | None:
    """A record that is seen or used is marked as refuted."""
    kind = rng.choice(["card", "face", "back"])
    full = _pick(rng, world.ids(kind))
    raw, index = world.raw(full), world.index
    if raw.get("standing") not in ("confirmed", "reported"):
        return None
    raw["standing"] = "refuted"
    if kind == "card":
        used = bool(index.cards[full].sightings)
    else:
        table = index.cards_by_face if kind == "face" else index.cards_by_back
        used = any(index.cards[c].standing.value in ("confirmed", "reported") for c in table.get(full, ()))
    return _one(full, raw, "standing", "refuted", "" if used else "no sighting and no card speaks against it")


# --- features --------------------------------------------------------------------------------------------

_part("features")


def _featured(world: World, rng: random.Random, kinds: Sequence[FeatureKind]) -> tuple[str, Raw, str, Any]:
    full = _pick(
        rng,
        [f for kind in ("back", "face", "card") for f in world.ids(kind) if world.raw_of(f).get("features")],
    )
    raw = world.raw(full)
    line = full.partition("/")[0]
    slugs = [
        s for s in raw["features"] if (f := world.index.feature(s, line)) is not None and f.kind in kinds
    ]
    slug = _pick(rng, slugs)
    return full, raw, slug, world.index.feature(slug, line)


@_operator
def state_misspelt(world: World, rng: random.Random) -> Slip | None:
    """A letter of a feature's state is left out."""
    full, raw, slug, _ = _featured(world, rng, (FeatureKind.CHOICE, FeatureKind.PRESENCE))
    state = raw["features"][slug]
    if not isinstance(state, str) or len(state) < 4 or state == NOT_APPLICABLE:
        return None
    at = rng.randrange(len(state))
    raw["features"][slug] = state[:at] + state[at + 1 :]
    return _one(full, raw, f"features.{slug}", f"{raw['features'][slug]}, not {state}")


@_operator
def state_mistaken(world: World, rng: random.Random) -> Slip | None:
    """A feature's state is another of the catalogue."""
    full, raw, slug, feature = _featured(world, rng, (FeatureKind.CHOICE, FeatureKind.PRESENCE))
    states = feature.states or ("present", "absent")
    was = raw["features"][slug]
    other = rng.choice([state for state in states if state != was])
    if not isinstance(was, str) or was == NOT_APPLICABLE:
        return None
    raw["features"][slug] = other
    index, line = world.index, full.partition("/")[0]
    clash = False
    for child, state in raw["features"].items():
        hanging = index.feature(child, line)
        if hanging is not None and hanging.applies is not None and hanging.applies.feature == slug:
            says = state if isinstance(state, list) else [state]
            clash |= (hanging.applies.state == other) == (NOT_APPLICABLE in says)
    return _one(
        full,
        raw,
        f"features.{slug}",
        f"{other}, not {was}",
        "" if clash else "nothing else tells this feature's state",
    )


@_operator
def length_upside_down(world: World, rng: random.Random) -> Slip | None:
    """The two ends of a length are exchanged."""
    full, raw, slug, _ = _featured(world, rng, (FeatureKind.LENGTH,))
    match = re.fullmatch(r"([\d.]+)-([\d.]+) mm", str(raw["features"][slug]))
    if match is None:
        return None
    raw["features"][slug] = f"{match[2]}-{match[1]} mm"
    return _one(full, raw, f"features.{slug}", f"{raw['features'][slug]}")


@_operator
def point_lost(world: World, rng: random.Random) -> Slip | None:
    """The decimal point of a length is lost."""
    full, raw, slug, _ = _featured(world, rng, (FeatureKind.LENGTH,))
    was = str(raw["features"][slug])
    if "." not in was:
        return None
    head, _, tail = was.rpartition(".")
    raw["features"][slug] = head + tail
    low, _, high = raw["features"][slug].removesuffix(" mm").partition("-")
    clash = bool(high) and (float(low) > float(high) or float(low) + float(high) > 1000)
    return _one(
        full,
        raw,
        f"features.{slug}",
        f"{raw['features'][slug]}, not {was}",
        "" if clash else "a range that could be: only wider",
    )


@_operator
def feature_on_wrong_record(world: World, rng: random.Random) -> Slip | None:
    """A feature of the back is recorded on a face, or the other way round."""
    kind, side = rng.choice([("face", "back"), ("back", "front"), ("card", "back"), ("card", "front")])
    full = _pick(rng, world.ids(kind))
    line = full.partition("/")[0]
    features = [
        f for f in world.index.features.values()
        if f.side.value == side and f.id.split("/")[0] in (line, "feature") and f.applies is None
    ]  # fmt: skip
    feature = _pick(rng, features)
    raw = world.raw(full)
    slug = short_id(feature.id)
    if slug in raw.get("features", {}):
        return None
    state: Any = {"presence": "present", "count": feature.least or 1, "length": "4-5 mm"}.get(
        feature.kind.value
    )
    raw.setdefault("features", {})[slug] = state if state is not None else feature.states[0]
    return _one(full, raw, f"features.{slug}", f"{slug} of the {side} on a {kind}")


@_operator
def child_without_parent(world: World, rng: random.Random) -> Slip | None:
    """A feature that does not apply is given a state."""
    full, raw, slug, feature = _featured(
        world, rng, (FeatureKind.CHOICE, FeatureKind.PRESENCE, FeatureKind.COUNT)
    )
    if raw["features"][slug] != NOT_APPLICABLE:
        return None
    states = feature.states or ("present", "absent")
    raw["features"][slug] = states[0] if feature.kind is not FeatureKind.COUNT else feature.least or 1
    told = feature.applies.feature in raw["features"]
    return _one(
        full,
        raw,
        f"features.{slug}",
        f"{slug} recorded",
        "" if told else "the parent's state is not recorded",
    )


# --- shape -----------------------------------------------------------------------------------------------

_part("shape")


def _any(world: World, rng: random.Random) -> tuple[str, Raw]:
    kind = rng.choice(["back", "face", "card", "wave", "figure", "sticker", "source", "maker"])
    full = _pick(rng, world.ids(kind))
    return full, world.raw(full)


@_operator
def key_misspelt(world: World, rng: random.Random) -> Slip | None:
    """Two letters of a field's name are swapped."""
    full, raw = _any(world, rng)
    key = rng.choice([key for key in raw if key != "id"])
    at = rng.randrange(len(key) - 1)
    wrong = key[:at] + key[at + 1] + key[at] + key[at + 2 :]
    if wrong in raw:
        return None
    raw = {(wrong if name == key else name): value for name, value in raw.items()}
    return _one(full, raw, wrong, f"{wrong} in place of {key}")


@_operator
def standing_misspelt(world: World, rng: random.Random) -> Slip | None:
    """A letter of a standing is left out."""
    full, raw = _any(world, rng)
    if "standing" not in raw:
        return None
    at = rng.randrange(len(raw["standing"]))
    raw["standing"] = raw["standing"][:at] + raw["standing"][at + 1 :]
    return _one(full, raw, "standing", f"{raw['standing']}")


@_operator
def field_lost(world: World, rng: random.Random) -> Slip | None:
    """A field that every record of its kind must have is left out."""
    needed = {
        "back": ("designation", "series", "count"),
        "face": ("figure", "series"),
        "card": ("face", "back"),
        "wave": ("maker", "series"),
        "figure": ("names",),
        "source": ("kind",),
        "maker": ("name",),
    }
    kind = rng.choice(sorted(needed))
    fields = needed[kind]
    full = _pick(rng, world.ids(kind))
    raw, field = world.raw(full), rng.choice(fields)
    del raw[field]
    return _one(full, raw, field, f"{field} left out")


@_operator
def number_as_text(world: World, rng: random.Random) -> Slip | None:
    """A number is written as text, or text as a number."""
    full, raw = _any(world, rng)
    numbers = [key for key, value in raw.items() if type(value) is int]
    texts = [
        key for key, value in raw.items() if isinstance(value, str) and key in ("number", "date", "note")
    ]
    key = _pick(rng, [*numbers, *texts])
    raw[key] = str(raw[key]) if key in numbers else 1982
    return _one(full, raw, key, f"{key} {raw[key]!r}")


@_operator
def impossible_date(world: World, rng: random.Random) -> Slip | None:
    """A date has a thirteenth month, or is written in another way than EDTF has it."""
    kind, field = rng.choice(
        [("back", "released"), ("wave", "date"), ("series", "years"), ("source", "date")]
    )
    full = _pick(rng, [f for f in world.ids(kind) if field in world.raw_of(f)])
    raw = world.raw(full)
    raw[field] = rng.choice(["1982-13", "1982-02-30", "c. 1982", "spring 1982", "1984/1982"])
    return _one(full, raw, field, f"{field} {raw[field]}")
