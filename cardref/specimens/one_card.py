r"""One card beside a collection: do I have it, and is this one better?

>>> from cardref.reference import load
>>> from cardref.model.condition import ConditionReport
>>> from cardref.specimens.collection import Collection, Held
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> one = Specimen(id="7", card="tidewrack/quay-marl/c-0213", condition=ConditionReport(bubble="dented"))
>>> mine = Collection((Held(one, placed(index, one)),))
>>> answer = beside(index, mine, "lamp diver quay-marl 25B", ConditionReport(bubble="whole"))
>>> print("\n".join(told(index, answer)))
yes, you have Lamp Diver on quay-marl 25B: 7
beside 7
  better here: bubble (dented, here whole)
no score: part by part, and only as far as both are told. Nothing here authenticates a card.
"""

from collections.abc import Iterator
from typing import Any, Final

from attrs import frozen

from cardref.decoding.listing import read as read_listing
from cardref.errors import AmbiguousRecord, UnknownRecord
from cardref.facts.answer import Verdict
from cardref.facts.called import listed
from cardref.facts.condition import Change, ConditionChanges, compare_conditions, hurting
from cardref.index import Index
from cardref.model.condition import ConditionReport
from cardref.model.specimen import Specimen, Want
from cardref.schema.pieces import TEXT, TEXTS, answer_schema, exactly, list_of, one_of
from cardref.specimens.collection import Collection, Held
from cardref.specimens.meaning import How, meaning, placed
from cardref.specimens.telling import on_back
from cardref.specimens.wanting import want_met
from cardref.text import clip

__all__ = ["Beside", "OneCard", "as_json", "beside", "schema", "told"]

_NO_SCORE: Final = (
    "no score: part by part, and only as far as both are told. Nothing here authenticates a card."
)


@frozen
class Beside:
    """An owned specimen beside the one at hand; ``changes`` go from mine to this one."""

    specimen: Specimen
    changes: ConditionChanges | None


@frozen
class OneCard:
    """One card beside a collection.

    Attributes:
        card, figure, back: what was asked for, full ids; "" where not told.
        have: owned specimens of it.
        perhaps: owned specimens of which too little is known to tell.
        other: owned specimens of the same figure on other backs.
        wanted: ids of the wants that it meets.
        beside: each of ``have`` beside the one at hand.
    """

    card: str
    figure: str
    back: str
    have: tuple[Held[Specimen], ...]
    perhaps: tuple[Held[Specimen], ...]
    other: tuple[Held[Specimen], ...]
    wanted: tuple[str, ...]
    beside: tuple[Beside, ...]

    @property
    def verdict(self) -> Verdict:
        """Whether it is owned already."""
        if self.have:
            return Verdict.YES
        return Verdict.UNKNOWN if self.perhaps else Verdict.NO


def beside(index: Index, mine: Collection, text: str, condition: ConditionReport | None = None) -> OneCard:
    """Whether the card that ``text`` names is in the collection, and how it compares.

    Args:
        index: the reference.
        mine: the collection.
        text: a card's id, or a figure, a back or both in words: ``lamp diver quay-marl 25B``.
        condition: the state of the one at hand, where it is told.

    Errors: UnknownRecord where nothing recorded is named; AmbiguousRecord where several backs are.
    """
    asked = _asked(index, text)
    want = Held(asked, placed(index, asked))
    fits = [(held, want_met(want, held)) for held in mine.owned]
    have = tuple(held for held, fit in fits if fit)
    figure = want.where.figure
    this = Held(Specimen(id="this", card=asked.card, figure=asked.figure, back=asked.back), want.where)
    return OneCard(
        card=want.where.card if asked.card else "",
        figure=figure,
        back=want.where.back,
        have=have,
        perhaps=tuple(held for held, fit in fits if fit is None),
        other=tuple(held for held, fit in fits if fit is False and figure and held.where.figure == figure),
        wanted=tuple(one.record.id for one in mine.wants if want_met(one, this)),
        beside=tuple(Beside(held.record, _compared(held.record, condition)) for held in have),
    )


def _compared(mine: Specimen, this: ConditionReport | None) -> ConditionChanges | None:
    return None if this is None else compare_conditions(mine.condition or ConditionReport(), this)


def _asked(index: Index, text: str) -> Want:
    found = meaning(index, "card", text)
    if len(found.ids) == 1:
        return Want(id="asked", card=found.ids[0])
    if found.how is How.RETIRED and found.ids:
        raise AmbiguousRecord(text, found.ids)
    back, figure = (meaning(index, kind, text).ids for kind in ("back", "figure"))
    if len(back) == 1:
        return Want(id="asked", back=back[0])
    if len(figure) == 1:
        return Want(id="asked", figure=figure[0])
    hits = read_listing(index, text)
    figures = {full for hit in hits if hit.kind == "figure" for full in hit.value}
    makers = [full for hit in hits if hit.kind == "maker" for full in hit.value]
    designations = [hit.value for hit in hits if hit.kind == "designation"]
    lines = {full.partition("/")[0] for full in figures}
    backs = [
        back.id
        for back in index.backs.values()
        for designation in designations
        if designation.covers(back.designation)
        and (not makers or f"maker/{back.maker}" in makers)
        and (not lines or back.id.partition("/")[0] in lines)
    ]
    if len(figures) > 1:
        raise AmbiguousRecord(text, sorted(figures))
    if len(backs) > 1:
        raise AmbiguousRecord(text, [index.backs[back].label for back in backs])
    if designations and not backs:
        near = index.suggest(str(designations[0]), "back")
        raise UnknownRecord(text, "back", near, "`cardref list backs` lists them")
    if not figures and not backs:
        there = "write an id, or figure and back such as 'lamp diver 25B'"
        raise UnknownRecord(text, "card", index.suggest(text, "card"), there)
    return Want(id="asked", figure=next(iter(figures), ""), back=backs[0] if backs else "")


# --- text ------------------------------------------------------------------------------------------------


def told(index: Index, answer: OneCard) -> Iterator[str]:
    """The answer as lines, safe to print."""
    name = on_back(index, answer.figure, answer.back)
    if answer.have:
        yield f"yes, you have {name}: {_ids(answer.have)}"
    elif answer.perhaps:
        yield f"perhaps: {name} may be {_ids(answer.perhaps)}, of which too little is written down"
    else:
        yield f"no, you do not have {name}"
    if answer.have and answer.perhaps:
        yield f"perhaps also {_ids(answer.perhaps)}, of which too little is written down"
    if answer.wanted:
        yield f"you look for it: {listed((clip(one, 40) for one in answer.wanted), 6)}"
    if answer.other:
        shown = [f"{_back(index, held)} ({clip(held.record.id, 40)})" for held in answer.other]
        yield f"the same figure on other backs: {listed(shown, 6)}"
    for one in answer.beside:
        yield from _beside(one)
    if answer.have:
        if all(one.changes is None for one in answer.beside):
            yield 'is this one better? Tell its state: --condition "bubble=whole; seal=holds"'
        yield _NO_SCORE


def _ids(held: tuple[Held[Specimen], ...]) -> str:
    return listed((clip(one.record.id, 40) for one in held), 6)


def _back(index: Index, held: Held[Specimen]) -> str:
    back = index.backs.get(held.where.back)
    return back.label if back is not None else "back not known"


_TITLES: Final = (
    (Change.BETTER, "better here"),
    (Change.WORSE, "worse here"),
    (Change.OTHER, "other here, and neither is better"),
)


def _beside(one: Beside) -> Iterator[str]:
    name = clip(one.specimen.id, 40)
    if one.changes is None:
        yield _look_for(one.specimen)
        return
    yield f"beside {name}"
    both = False
    for change, title in _TITLES:
        parts = [
            f"{part.title} ({_word(part.before)}, here {_word(part.after)})"
            for part in one.changes.of(change)
        ]
        both = both or bool(parts)
        if parts:
            yield f"  {title}: {', '.join(parts)}"
    same = [part.title for part in one.changes.of(Change.SAME)]
    if same:
        yield f"  the same: {', '.join(same)}"
    if not both and not same:
        yield "  nothing is told of both"
    unknown = [part.title for part in one.changes.of(Change.UNKNOWN) if part.before and not part.after]
    if unknown:
        yield f"  look here as well: {', '.join(unknown)}"


def _look_for(mine: Specimen) -> str:
    """What of the owned one hurts: there this one could be better."""
    name = clip(mine.id, 40)
    if mine.condition is None:
        return f"the condition of {name} is not written down, so nobody can say whether this one is better"
    hurts = [f"{part.title} ({_word(word)})" for part, word in hurting(mine.condition)]
    if not hurts:
        return f"nothing that hurts is written down of {name}"
    return f"{name} is hurt there, so look: {', '.join(hurts)}"


def _word(state: str) -> str:
    return clip(state.replace("-", " "), 40) or "defects apart"


# --- JSON ------------------------------------------------------------------------------------------------


def as_json(answer: OneCard) -> dict[str, Any]:
    """The answer as plain values; every id is full."""
    return {
        "card": answer.card,
        "figure": answer.figure,
        "back": answer.back,
        "verdict": answer.verdict.value,
        "have": [held.record.id for held in answer.have],
        "perhaps": [held.record.id for held in answer.perhaps],
        "other": [{"id": held.record.id, "back": held.where.back} for held in answer.other],
        "wanted": list(answer.wanted),
        "beside": [
            {
                "id": one.specimen.id,
                "parts": [
                    {
                        "part": part.part,
                        "change": part.change.value,
                        "mine": part.before,
                        "this": part.after,
                    }
                    for part in (one.changes.parts if one.changes is not None else ())
                    if part.before or part.after
                ],
            }
            for one in answer.beside
        ],
        "caution": _NO_SCORE,
    }


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of ``cardref own report --card ID --format json``."""
    part = exactly(part=TEXT, change=one_of(Change), mine=TEXT, this=TEXT)
    answer = exactly(
        card=TEXT,
        figure=TEXT,
        back=TEXT,
        verdict=one_of(Verdict),
        have=TEXTS,
        perhaps=TEXTS,
        other=list_of(exactly(id=TEXT, back=TEXT)),
        wanted=TEXTS,
        beside=list_of(exactly(id=TEXT, parts=list_of(part))),
        caution=TEXT,
    )
    return answer_schema("own-card", "cardref own report --card ID --format json", card=answer)
