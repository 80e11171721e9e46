"""Before buying: does what a seller says agree with itself and with what is known?

>>> from cardref.reference import load
>>> index = load().index
>>> vetting = vet(index, fields=[("maker", "quay-marl"), ("figure", "lamp-diver"), ("back", "25B"),
...                              ("back-count", 28)])
>>> vetting.verdict.value, vetting.contradicted[0].because
('no', 'back quay-marl 25B (b-017) pictures 25 figures')
>>> vet(index, "Lamp Diver Tidewrack 21A back unpunched $40").because
'a card like this is recorded, seen once'
"""

from collections.abc import Iterable, Iterator

from cardref.errors import UsageError
from cardref.facts.answer import Verdict
from cardref.facts.called import called, how_often, listed
from cardref.facts.cautions import NO_PROOF
from cardref.index import Index
from cardref.model.card import Made
from cardref.text import uncapitalised
from cardref.vetting.asking import Ask, asks, chance_of
from cardref.vetting.claim import Claim, given
from cardref.vetting.copies import KnownCopy, Sign, against_by, known_copies, sign_maker, signs
from cardref.vetting.fields import title_of
from cardref.vetting.on_card import values_on
from cardref.vetting.result import Difference, Nearest, Vetting
from cardref.vetting.scene import Scene, is_sure
from cardref.vetting.statement import Statement, Status
from cardref.vetting.stating import statements
from cardref.vetting.words import asks_for, conflicts

__all__ = ["vet"]

_BROAD = 20
"""A claim that more recorded cards fit says little."""


def vet(index: Index, words: str = "", fields: Iterable[tuple[str, object]] = ()) -> Vetting:
    """Vet what is claimed of a card, by a listing's words, by fields, or by both; fields go first.

    Errors: UsageError for a field that does not exist, a value that its field cannot have, or nothing at all;
    TypeError where ``words`` is no string.
    """
    if not isinstance(words, str):
        raise TypeError(f"a listing is a text, not {type(words).__name__}")
    pairs = tuple(fields)
    if not pairs and not words.strip():
        raise UsageError("nothing is claimed: give fields such as back='21A', or a listing's words")
    claim = given(index, pairs, words)
    if not claim.parts:
        return _nothing(claim)
    scene = Scene(index, claim)
    said = (*conflicts(claim.condition), *statements(scene))
    copies, general = known_copies(scene), signs(scene)
    verdict, because = _judged(scene, said, against_by(general, copies))
    return Vetting(
        claim=claim,
        verdict=verdict,
        because=because,
        statements=said,
        whole=scene.whole,
        open=scene.fitting,
        backs=_backs(scene),
        nearest=_nearest(scene),
        asks=_asks(scene, copies),
        copies=copies,
        signs=general,
        sign_maker=sign_maker(scene),
    )


def _nothing(claim: Claim) -> Vetting:
    asked = "ask for the maker, the figure, a photo of the whole reverse and one of the package code"
    if claim.condition:
        because = f"only words of condition were recognised ({listed(claim.condition, 4)}): {asked}"
    elif claim.words:
        because = f"nothing in these words was recognised: {asked}"
    else:
        because = "the fields say nothing that could be compared: what was not seen is no claim"
    return Vetting(
        claim, Verdict.UNKNOWN, because, conflicts(claim.condition), asks=asks_for(claim.condition)
    )


def _backs(scene: Scene) -> tuple[str, ...]:
    """The backs that the claim leaves: of the cards that fit, else those that it names."""
    found = dict.fromkeys(scene.index.cards[full].back for full in scene.whole or scene.fitting)
    return tuple(full for full in scene.index.backs if full in found) if found else scene.backs


def _nearest(scene: Scene) -> tuple[Nearest, ...]:
    """Where no card fits, the cards that differ in the fewest parts."""
    if scene.fitting or not scene.telling:
        return ()
    groups = scene.by_misfits
    least = min(map(len, groups), default=0)
    if least == len(scene.telling):
        return ()
    index, found = scene.index, []
    for fields, cards in groups.items():
        if len(fields) > least:
            continue
        # Of equals, the one that somebody is sure of, and that was seen most often.
        full = min(cards, key=lambda card: (not is_sure(index, card), -index.cards[card].seen))
        differences = []
        for field in fields:
            part = scene.claim.part(field)
            recorded = listed(dict.fromkeys(values_on(index, field, full)), 3)
            differences.append(Difference(field, part.shown if part is not None else "", recorded))
        seen = index.cards[full].seen
        found.append(Nearest(full, called(index, full), tuple(differences), seen, len(cards) - 1))
    # What is seldom claimed wrongly is seldom what differs.
    return tuple(sorted(found, key=lambda near: -chance_of(one.field for one in near.differences)))


def _asks(scene: Scene, copies: tuple[KnownCopy, ...]) -> tuple[Ask, ...]:
    """What to ask for: what tells printings apart, what the seller's words call for, what tells copies."""
    found = [*asks(scene), *asks_for(scene.claim.condition)]
    if not found:
        found.append(
            Ask(
                "the whole reverse and the package code, straight on and sharp",
                (),
                why="they tell the printing",
            )
        )
    photos: dict[str, list[str]] = {}
    for copy in copies:
        for sign in copy.signs:
            if sign.photo and not sign.seen:
                photos.setdefault(sign.photo, []).append(uncapitalised(sign.title))
    for photo, titles in list(photos.items())[:2]:
        why = f"{listed(dict.fromkeys(titles), 3)} may tell a known copy"
        found.append(Ask(photo, (), why=why, cautions=(NO_PROOF,)))
    return tuple(found)


def _judged(scene: Scene, said: tuple[Statement, ...], against: tuple[Sign, ...]) -> tuple[Verdict, str]:
    """The verdict and its reason. A sign alone never makes it no, and keeps it from being yes."""
    doubts = list(_doubts(scene, against))
    contradicted = [one.title for one in said if one.status is Status.CONTRADICTED]
    if contradicted:
        reason = f"{listed(dict.fromkeys(contradicted), 3)} cannot be as claimed"
        return Verdict.NO, "; and ".join((reason, *doubts))
    verdict, reason = _recorded(scene, said)
    if doubts:
        return Verdict.UNKNOWN, f"{reason}; but {' and '.join(doubts)}"
    return verdict, reason


def _doubts(scene: Scene, against: tuple[Sign, ...]) -> Iterator[str]:
    """What keeps a claim from being settled, although nothing contradicts it."""
    if scene.claim.altered:
        yield f"the seller says {listed(scene.claim.altered, 3)}: ask what was done"
    if against:
        word = "a sign" if len(against) == 1 else "signs"
        yield f"{listed((uncapitalised(sign.title) for sign in against), 3)}: {word} of a copy or a repair"


def _recorded(scene: Scene, said: tuple[Statement, ...]) -> tuple[Verdict, str]:
    """The verdict on what nothing contradicts, by the recorded cards alone, and its reason."""
    sure = [full for full in scene.whole if is_sure(scene.index, full)]
    if not sure:
        return Verdict.UNKNOWN, _unsure(scene, said)
    if len(sure) > _BROAD:
        return Verdict.YES, f"{len(sure)} recorded cards fit, so the claim says little yet"
    what = "a card like this is" if len(sure) == 1 else f"{len(sure)} cards like this are"
    if any(part.clash for part in scene.claim.parts):
        return Verdict.UNKNOWN, f"{what} recorded, but several are named: which is offered?"
    seen = sum(scene.index.cards[full].seen for full in sure)
    return Verdict.YES, f"{what} recorded{how_often(seen)}"


def _unsure(scene: Scene, said: tuple[Statement, ...]) -> str:
    if scene.whole:
        first = scene.index.cards[scene.whole[0]]
        word = first.standing.value if first.made is Made.PRODUCTION else first.made.value
        return f"such a card is recorded only as {word}"
    if scene.fitting:
        fields = (title_of(field) for full in scene.fitting for field in scene.open(full))
        return (
            f"nothing contradicts it, but nobody recorded {listed(dict.fromkeys(fields), 4)} for such a card"
        )
    if any(one.status is Status.UNRECORDED for one in said):
        return "nothing contradicts it, but no recorded card has all of it"
    return "nothing recorded says either way"
