"""Beside the question which printing it is: what the looks so far say about known copies.

A known copy is compared with what it copies, by the signs that were read and by every other reading in which
the two differ. It takes no part in the belief about the printing: an unexamined copy must not halve the
belief in its original. Signs, and how much each is worth, are data; that they mean anything is common
practice, no source. A sign is never proof, and nothing here authenticates a card.

>>> from cardref.identification.cards import By, card_table
>>> from cardref.identification.reading import read
>>> from cardref.reference import load
>>> cards = card_table(load().index, "tidewrack", By.BACK)
>>> glossy = {"surface-sheen": read(cards.signs["surface-sheen"].feature, "glossy")}
>>> copy, = beside(cards, ["tidewrack/quay-marl/b-018"], glossy)
>>> copy.title, copy.of_name, copy.bits > 1, [sign.seen for sign in copy.signs if sign.seen]
('The glossy 25', 'quay-marl 25C', True, ['glossy'])
"""

from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from cardref.errors import UsageError
from cardref.facts.cautions import care_with
from cardref.facts.features import states_of, states_of_originals
from cardref.identification.cards import LEAST_MISREAD, By, CardTable
from cardref.identification.feature import Feature
from cardref.identification.reading import Reading
from cardref.identification.session import Session
from cardref.identification.sights import Sight, name_of, rooted
from cardref.identification.table import Aside, Table
from cardref.model.evidence import Standing
from cardref.model.feature import NOT_APPLICABLE
from cardref.model.reproduction import Extent, Reproduction
from cardref.text import clip

__all__ = ["CopyBeside", "CopySign", "beside", "signs_read"]


@frozen
class CopySign:
    """A look by which a copy can give itself away, or that says something about copies in general.

    Attributes:
        feature: its name.
        title, where, how, tool: what it is, where and how to look, and with what.
        cautions: what to take care of while looking.
        on_originals: states of original cards; empty where nothing says.
        on_copy: states of the copy; empty for a general sign.
        why: why it means something; empty where only this copy is known by it.
        reliability: how much it is worth by itself: weak, fair, strong; empty where nothing says.
        seen: what was read; empty where nobody looked.
        agrees: whether that is as on the copy (for a general sign: as on originals); None where nothing says.
        bits: what looking would settle, 1 for everything; 0 where it was looked at.
    """

    feature: str
    title: str
    where: str
    how: str
    tool: str
    cautions: tuple[str, ...]
    on_originals: tuple[str, ...]
    on_copy: tuple[str, ...]
    why: str
    reliability: str
    seen: str = ""
    agrees: bool | None = None
    bits: float = 0.0


@frozen
class CopyBeside:
    """A known copy of a printing that it may be.

    Attributes:
        id: full id of its record.
        title: what collectors call it.
        extent: which parts are modern.
        of, of_name: the candidate that it copies, the most probable of them; empty where it copies nothing.
        bits: how strongly the looks speak for the copy rather than for the original (logarithm of the ratio
            of likelihoods, base 2); below 0 against it.
        signs: what tells the two apart: what was looked at first, then what would settle most.
        note: what else is worth telling.
        sources: full ids.
    """

    id: str
    title: str
    extent: tuple[str, ...]
    of: str
    of_name: str
    bits: float
    signs: tuple[CopySign, ...]
    note: str
    sources: tuple[str, ...]

    @property
    def settling(self) -> CopySign | None:
        """The look that would settle it best; None where nothing recorded would."""
        return next((sign for sign in self.signs if sign.bits > 0.0), None)


def beside(
    cards: CardTable, candidates: Sequence[str], readings: Mapping[str, Reading]
) -> tuple[CopyBeside, ...]:
    """The known copies of ``candidates``, those first for which the looks speak.

    Args:
        cards: the table.
        candidates: the candidates that remain, the most probable first.
        readings: everything that was read, signs and other features.
    """
    found = []
    for copy in cards.index.reproductions.values():
        if copy.standing is Standing.REFUTED or not copy.id.startswith(f"{cards.line}/"):
            continue
        original = next((one for one in candidates if _copies(cards, copy, one)), "")
        never = Extent.NEVER_EXISTED in copy.extent
        if not original and not never:
            continue
        compared = _compared(cards, copy, original or candidates[0], readings)
        # What copies no recorded card might be anything: it is told where more than one look speaks for it.
        if original or (compared.bits >= 1.0 and sum(bool(sign.agrees) for sign in compared.signs) > 1):
            found.append(compared if original else _without_original(compared))
    found.sort(key=lambda one: -max(one.bits, 0.0))
    return tuple(found)


def _without_original(copy: CopyBeside) -> CopyBeside:
    return CopyBeside(
        copy.id, copy.title, copy.extent, "", "", copy.bits, copy.signs, copy.note, copy.sources
    )


def _copies(cards: CardTable, copy: Reproduction, candidate: str) -> bool:
    """Whether a candidate is what is copied: of each kind of record that is named, one of its own."""
    index = cards.index
    mine = _records(cards, candidate)
    named: dict[str, bool] = {}
    for full in copy.copies:
        kind = index.kind(full)
        own = full in mine
        if cards.by is By.BACK and kind != "back":
            on = index.cards_by_face.get(full, ()) if kind == "face" else (full,)
            own = any(card in index.cards and index.cards[card].back == candidate for card in on)
        named[kind] = named.get(kind, False) or own
    return bool(named) and all(named.values())


def _records(cards: CardTable, candidate: str) -> tuple[str, ...]:
    if cards.by is By.BACK:
        return (candidate,)
    card = cards.index.cards[candidate]
    return candidate, card.face, card.back


def _compared(
    cards: CardTable, copy: Reproduction, original: str, readings: Mapping[str, Reading]
) -> CopyBeside:
    """A copy beside one original, as a table of these two."""
    index = cards.index
    records = _original_records(cards, copy, original)
    known = {**cards.sights, **cards.signs}
    sights: dict[str, Sight] = {}
    its: dict[str, tuple[str, ...]] = {}
    originals: dict[str, tuple[str, ...]] = {}
    for slug, states in states_of(index, copy.id).items():
        sight = known.get(name_of(slug))
        if sight is None or not _sound(sight.feature, states):
            continue
        sights[sight.id] = sight
        its[sight.id] = states
        originals[sight.id] = states_of_originals(index, slug, records)
    if not sights:
        return _told(cards, copy, original, 0.0, ())
    features = rooted({name: sight.feature for name, sight in sights.items()})
    table = Table(
        features.values(),
        {original: {name: states for name, states in originals.items() if _sound(features[name], states)}},
        beside={copy.id: Aside(its, (original,))},
        least_misread=LEAST_MISREAD,
    )
    session = Session(table)
    for name, reading in readings.items():
        if name in features and (reading.states or reading.lengths):
            session = session.observe(name, reading)
    (found,) = session.beside
    fits = {fit.feature: fit for fit in found.fits}
    worth = {look.feature: look.bits for look in found.looks}
    signs = [
        _sign(
            cards, name, originals[name], its[name],
            seen=fits[name].seen if name in fits else "",
            agrees=fits[name].agrees if name in fits else None,
            bits=worth.get(name, 0.0),
        )
        for name in sights
        if name in worth or (name in fits and set(its[name]) != set(originals[name]))
    ]  # fmt: skip
    signs.sort(key=lambda sign: (not sign.seen, -sign.bits / sights[sign.feature].feature.effort))
    return _told(cards, copy, original, found.bits, tuple(signs))


def _original_records(cards: CardTable, copy: Reproduction, original: str) -> tuple[str, ...]:
    """The records that say what the original is like: the candidate's own, and what is named as copied."""
    named = (full for full in copy.copies if cards.index.kind(full) in ("back", "face", "card"))
    return tuple(dict.fromkeys((*_records(cards, original), *named)))


def _sound(feature: Feature, states: tuple[str, ...]) -> bool:
    """Whether the engine can take these states; what it cannot, the checker tells."""
    if not states or NOT_APPLICABLE in states:
        return False
    try:
        for state in states:
            feature.state(state)
    except UsageError:
        return False
    return True


def _told(
    cards: CardTable, copy: Reproduction, original: str, bits: float, signs: tuple[CopySign, ...]
) -> CopyBeside:
    return CopyBeside(
        copy.id,
        clip(copy.title, 80),
        tuple(part.value for part in copy.extent),
        original,
        cards.table.titles[original],
        bits,
        signs,
        clip(copy.note, 300),
        copy.sources,
    )


def signs_read(cards: CardTable, candidate: str, readings: Mapping[str, Reading]) -> tuple[CopySign, ...]:
    """The general signs that were read, beside what is known of originals of a candidate's maker."""
    return tuple(_read(cards, candidate, readings))


def _read(cards: CardTable, candidate: str, readings: Mapping[str, Reading]) -> Iterator[CopySign]:
    for name, reading in readings.items():
        sight = cards.signs.get(name)
        if sight is None or not (reading.states or reading.lengths):
            continue
        slug = cards.slugs[name]
        originals = states_of_originals(cards.index, slug, _records(cards, candidate))
        agrees = any(state in originals for state in reading.states) if originals else None
        yield _sign(cards, name, originals, (), seen=str(reading), agrees=agrees)


def _sign(
    cards: CardTable,
    name: str,
    originals: tuple[str, ...],
    its: tuple[str, ...],
    *,
    seen: str,
    agrees: bool | None,
    bits: float = 0.0,
) -> CopySign:
    sight: Sight = cards.signs.get(name) or cards.sights[name]
    feature = cards.rows.catalogue[cards.slugs[name]]
    sign = feature.sign
    return CopySign(
        name,
        sight.feature.name,
        clip(sight.where, 120),
        clip(sight.how, 300),
        sight.tool,
        care_with(feature),
        originals,
        its,
        clip(sign.why, 300) if sign else "",
        sign.reliability.value if sign else "",
        seen,
        agrees,
        bits,
    )
