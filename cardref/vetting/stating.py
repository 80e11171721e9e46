"""Every statement on a claim: what contradicts itself, each part beside the reference, each two parts.

A recorded card on which two parts hold says that they go together. Where there is none they are compared
through what follows from the records (:mod:`cardref.vetting.pairing`), which may contradict them. What
nothing contradicts is *unrecorded*, or *unknown* where the cards that could tell were not looked at for it.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("maker", "quay-marl"), ("back", "25B"), ("back-count", 28)]))
>>> for statement in statements(scene):
...     if len(statement.about) == 2:
...         print(statement.about, statement.status.value)
('maker', 'back') agreed
('maker', 'back-count') agreed
('back', 'back-count') contradicted
"""

from itertools import chain, combinations

from attrs import evolve

from cardref.facts.answer import Verdict
from cardref.facts.called import listed
from cardref.text import clip, count_of
from cardref.vetting.alone import alone, cards_say
from cardref.vetting.claim import Part
from cardref.vetting.on_card import values_on
from cardref.vetting.pairing import by_facts
from cardref.vetting.scene import Scene
from cardref.vetting.statement import Statement, Status, stated

__all__ = ["statements"]


def statements(scene: Scene) -> tuple[Statement, ...]:
    """Every statement: parts that contradict themselves, each part, then each pair."""
    parts = scene.claim.parts
    return (
        *(_clash(part) for part in parts if part.clash),
        *(alone(scene, part) for part in parts),
        *(_pair(scene, one, other) for one, other in combinations(parts, 2)),
    )


def _clash(part: Part) -> Statement:
    said = listed((clip(said.value, 40) for said in part.said), 4)
    because = f"the claim says {count_of(len(part.said), 'thing')} of one card: {said}"
    if all(said.span is not None for said in part.said):
        # Running text may speak of several cards, or of something else: that is no contradiction yet.
        return Statement(
            (part.field, part.field), Status.UNKNOWN, f"the words name several ({said}); which is offered?"
        )
    return Statement((part.field, part.field), Status.CONTRADICTED, because)


# --- two parts beside each other -------------------------------------------------------------------------


def _pair(scene: Scene, one: Part, other: Part) -> Statement:
    found = _compared(scene, one, other)
    if not scene.signs.isdisjoint(found.about):
        # About copies nothing is said without its caution, and no sign contradicts.
        status = Status.UNRECORDED if found.status is Status.CONTRADICTED else found.status
        return evolve(found, status=status, because=f"{found.because}; a sign is not proof")
    date = one if one.field == "date" else other
    if date.field != "date" or date.said[0].span is None or found.status is Status.AGREED:
        return found
    # Sellers write the year of the copyright: in running text a year says too little to contradict.
    because = found.because
    if found.status is Status.CONTRADICTED:
        because += f"; {date.shown} may be the copyright's year"
    return evolve(found, status=Status.UNKNOWN, because=because)


def _compared(scene: Scene, one: Part, other: Part) -> Statement:
    about = (one.field, other.field)
    first, second = scene.truth[one.field], scene.truth[other.field]
    both = scene.both(one.field, other.field)
    cards = cards_say(about, scene, both) if both else None
    if cards is not None and cards.status is Status.AGREED:
        return cards
    answer = by_facts(scene, one, other)
    if answer is not None and answer.verdict is not Verdict.UNKNOWN:
        return stated(about, answer)
    if cards is not None:
        return cards
    for part in (one, other):
        if part.problem and not part.ids:
            return Statement(
                about, Status.UNKNOWN, f"{part.title} is not recorded, so nothing can be compared"
            )
    # Could the cards tell that everything else claimed holds of?
    pool = _pool(scene, one, other)
    silent = any(first[full] is not False and second[full] is not False for full in pool)
    status = Status.UNKNOWN if silent else Status.UNRECORDED
    instead = _instead(scene, pool, one, other)
    if answer is not None:
        found = stated(about, answer, status)
        return evolve(found, because=f"{found.because}{instead}")
    if silent:
        return Statement(about, status, f"nobody recorded {other} for the cards of {one}")
    return Statement(about, status, f"no recorded card has both {one} and {other}{instead}")


def _pool(scene: Scene, one: Part, other: Part) -> tuple[str, ...]:
    """The cards of which nothing but these two parts is recorded otherwise; all where there is none."""
    apart = {one.field, other.field}
    groups = (cards for misfits, cards in scene.by_misfits.items() if apart.issuperset(misfits))
    return tuple(chain.from_iterable(groups)) or scene.cards


def _instead(scene: Scene, pool: tuple[str, ...], one: Part, other: Part) -> str:
    """What the cards of the one have in place of the other, where that is short to tell."""
    values: dict[str, None] = {}
    for full in pool:
        if scene.truth[one.field][full]:
            values.update(dict.fromkeys(values_on(scene.index, other.field, full)))
            if len(values) > 3:
                return ""
    return f"; recorded there: {listed(values, 3)}" if values else ""
