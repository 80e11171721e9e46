"""What specimens tell that the dataset lacks, gathered before anything is edited.

>>> from cardref.reference import load
>>> from cardref.specimens.collection import Held
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> one = Specimen(id="7", figure="tidewrack/figure/sounding-tam", back="tidewrack/quay-marl/b-019",
...                code="7K 2113/031")
>>> news = gathered(index, [Held(one, placed(index, one))])
>>> [(card.face, card.back) for card in news.cards]
[('tidewrack/quay-marl/f-061', 'tidewrack/quay-marl/b-019')]
>>> two = Specimen(id="8", figure="tidewrack/figure/sounding-tam")
>>> gathered(index, [Held(two, placed(index, two))]).held
['8: which back it is, is not written down']
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import TypeAlias

from attrs import define, field

from cardref.facts.answer import Verdict
from cardref.facts.called import called, listed
from cardref.facts.cards import can_stand
from cardref.facts.features import as_length, features_of_line, overlap, state_fault, states_of
from cardref.facts.kept import kept
from cardref.index import Index
from cardref.model.face import UNREAD_CODE
from cardref.model.feature import NOT_APPLICABLE, Feature, FeatureKind, Side
from cardref.model.kinds import short_id
from cardref.model.specimen import Specimen
from cardref.specimens.collection import Held
from cardref.specimens.meaning import RECORDS, clashes
from cardref.text import clip, quoted

__all__ = ["NewCard", "News", "gathered"]

Mine: TypeAlias = Held[Specimen]


@define(eq=False)
class NewCard:
    """A card that no record has.

    Attributes:
        face, back: full ids.
        features: what was seen of bubble, board and figure.
        specimens: of which specimens.
    """

    face: str
    back: str
    features: dict[str, str] = field(factory=dict)
    specimens: list[Mine] = field(factory=list)


@define(eq=False)
class News:
    """What a dataset lacks.

    Attributes:
        sightings: card -> specimens of it.
        cards: cards that are not recorded.
        states: back, face or card -> feature -> the state, and the specimen that shows it.
        codes: face of which nobody read the code -> code -> the specimen.
        held: what is not taken over, and why, a line each.
    """

    sightings: dict[str, list[Mine]] = field(factory=dict)
    cards: list[NewCard] = field(factory=list)
    states: dict[str, dict[str, tuple[str, Mine]]] = field(factory=dict)
    codes: dict[str, dict[str, Mine]] = field(factory=dict)
    held: list[str] = field(factory=list)


def gathered(index: Index, specimens: Iterable[Mine]) -> News:
    """What the specimens tell that is not recorded. What contradicts a record is held back, and told."""
    news = News()
    for held in specimens:
        for told in _take(index, news, held):
            news.held.append(f"{clip(held.record.id, 40)}: {told}")
    return news


def _take(index: Index, news: News, held: Mine) -> Iterator[str]:
    """Add what one specimen tells to the news; yields why something is held back."""
    where = held.where
    if not where.figure or not where.back:
        yield f"which {'back' if where.figure else 'figure'} it is, is not written down"
        return
    if len(where.cards) > 1:
        yield f"it may be {listed(map(short_id, where.cards))}: write down which card it is"
        return
    against = list(_against(index, held))
    if against:
        yield from against
        return
    new = None
    if where.card:
        face = index.cards[where.card].face
        news.sightings.setdefault(where.card, []).append(held)
    else:
        face, why = _face(index, held)
        if not face:
            yield why
            return
        new = next((one for one in news.cards if (one.face, one.back) == (face, where.back)), None)
        if new is None:
            new = NewCard(face, where.back)
            news.cards.append(new)
        new.specimens.append(held)
    yield from _readings(index, news, held, face, new)
    yield from _code(index, news, held, face)


# --- contradictions --------------------------------------------------------------------------------------


def _against(index: Index, held: Mine) -> Iterator[str]:
    """What contradicts the records: it is another printing then, or one side errs."""
    where = held.where
    parts = {name: getattr(held.record, name) for name in RECORDS}
    yield from (why for _, why in clashes(index, parts))
    features = features_of_line(index, where.line)
    shown = [where.back, *((index.cards[where.card].face, where.card) if where.card else ())]
    for full in shown:
        known = states_of(index, full)
        for slug, seen in held.record.readings.items():
            feature = features.get(slug)
            if feature is None or slug not in known:
                continue
            if not any(overlap(feature, one, other) for one in seen for other in known[slug]):
                said = f"{slug} was seen as {listed(seen)}, but {called(index, full)} has"
                yield (
                    f"{said} {listed(known[slug])}: look again; where the record is wrong, --dispute {full} "
                    "--why TEXT"
                )
    if not where.card:
        answer = can_stand(index, where.figure, where.back)
        if answer.verdict is Verdict.NO:
            yield f"{answer.because}: look again, or record the card by hand with its exception"


# --- fronts ----------------------------------------------------------------------------------------------


def _face(index: Index, held: Mine) -> tuple[str, str]:
    """The front of a card that is not recorded, where it is sure which; else "" and why not."""
    where, specimen = held.where, held.record
    faces = [index.faces[one] for one in index.faces_by_figure.get(where.figure, ())]
    if specimen.face:
        known = specimen.face in {face.id for face in faces}
        return (specimen.face, "") if known else ("", f"{quoted(specimen.face)} is no recorded front of it")
    own = [face for face in faces if f"maker/{face.maker}" == where.maker]
    if specimen.code:
        own = [face for face in own or faces if specimen.code in face.printed_codes]
    if len(own) == 1:
        return own[0].id, ""
    if own:
        return "", f"its front may be {listed(face.id for face in own)}: write down which, under face"
    by = f"with the code {quoted(specimen.code)}" if specimen.code else f"by {short_id(where.maker)}"
    return "", f"no front of that figure {by} is recorded: add the face to the dataset first"


# --- readings and codes ----------------------------------------------------------------------------------


def _readings(index: Index, news: News, held: Mine, face: str, new: NewCard | None) -> Iterator[str]:
    where = held.where
    features = features_of_line(index, where.line)
    for slug, seen in held.record.readings.items():
        feature = features.get(slug)
        if feature is None:
            yield f"there is no feature {quoted(slug)}"
            continue
        kind = _kind_of(index, feature, where.line)
        target = {"back": where.back, "face": face, "card": where.card}[kind]
        if target and slug in states_of(index, target):
            continue
        fault = next((fault for state in seen if (fault := state_fault(feature, state))), "")
        if fault or len(seen) > 1:
            yield f"{slug}: {fault or f'it may be {listed(seen)}, which is not sure'}"
            continue
        state = _recorded_as(feature, seen[0])
        if not target:
            if new is not None:
                new.features.setdefault(slug, state)
            continue
        first, other = news.states.setdefault(target, {}).setdefault(slug, (state, held))
        if first != state:
            yield f"{slug} is {state} here and {first} on {clip(other.record.id, 40)}: look at both again"


def _recorded_as(feature: Feature, seen: str) -> str:
    """A reading as a record writes it: a length as the range that it may be."""
    if feature.kind is not FeatureKind.LENGTH or seen == NOT_APPLICABLE:
        return seen
    length = as_length(seen)
    return seen if length is None else f"{float(length.low):g}-{float(length.high):g} mm"


def _kind_of(index: Index, feature: Feature, line: str) -> str:
    """The kind of record that a feature's states stand on. A board's are where most of the line's are."""
    if feature.side is not Side.BOARD:
        return {Side.BACK: "back", Side.FRONT: "face"}.get(feature.side, "card")
    backs, cards = (_uses(index).get((line, kind, short_id(feature.id)), 0) for kind in ("back", "card"))
    return "card" if cards > backs else "back"


@kept
def _uses(index: Index) -> Mapping[tuple[str, str, str], int]:
    """Line, kind of record and feature -> how many records have a state of it."""
    found: dict[tuple[str, str, str], int] = {}
    for kind, table in (("back", index.backs), ("card", index.cards)):
        for full, record in table.items():
            for slug in record.features:
                key = (full.partition("/")[0], kind, slug)
                found[key] = found.get(key, 0) + 1
    return found


def _code(index: Index, news: News, held: Mine, face: str) -> Iterator[str]:
    code, record = held.record.code, index.faces.get(face)
    if not code or record is None or code in record.printed_codes:
        return
    if record.codes is None or record.codes == UNREAD_CODE:
        news.codes.setdefault(face, {}).setdefault(code, held)
        return
    known = listed(record.printed_codes) if record.printed_codes else "none printed"
    yield (
        f"its code is {quoted(code)}, but {called(index, face)} has {clip(known, 60)}: another front, or a "
        "misread sign"
    )
