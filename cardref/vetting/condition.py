"""A condition report as an honest description: what hurts, what is merely age, what was not looked at.

Two reports of one specimen are compared by :func:`cardref.facts.condition.compare_conditions`.

>>> from cardref.model.condition import ConditionReport
>>> from cardref.reference import load
>>> report = ConditionReport(bubble="whole", seal="holds", price_sticker="sits", bubble_colour="straw")
>>> print(describe(report, load().index, "maker/quay-marl"))
As it should be
  bubble: whole, not dented, cracked or scratched
  seal of the bubble: holding all round, as far as can be seen
Merely age
  colour of the bubble: straw, known on originals of Quay & Marl Playworks
  price sticker: sitting whole
Not looked at, so ask: board (flatness), veins and creases, edges and corners, litho (picture on the front), \
hang tab, proof of purchase, stickers, accessory, extras in the bubble, figure's position.
What hurts and what is merely age is common practice, no source.
A sign is not proof, and nothing here authenticates a card: have it inspected in hand by experienced people.
"""

from collections.abc import Iterator

from attrs import frozen

from cardref.errors import UsageError
from cardref.facts.called import maker_name
from cardref.facts.cautions import AGE, NO_PROOF
from cardref.facts.condition import colour_feature, defect_told, state_of, titles_of
from cardref.facts.features import states_allowed
from cardref.index import Index
from cardref.model.condition import NOT_SEEN, PARTS, ConditionReport, Defect, Effect, Part
from cardref.text import clip, closest, quoted

__all__ = ["Description", "Told", "describe"]

_SEAL_SEEN = "as far as can be seen"


@frozen
class Told:
    """What a report tells of one part.

    Attributes:
        part: its name.
        state: the word that the report has.
        says: what that means.
        effect: whether it hurts or is merely age (common practice, no source); None where that depends on a
            maker of which nothing is recorded.
        defects: what is told of it one by one.
        doubt: what does not go together in what is told, "" where nothing.
    """

    part: str
    state: str
    says: str
    effect: Effect | None
    defects: tuple[Defect, ...] = ()
    doubt: str = ""

    @property
    def title(self) -> str:
        """What to call the part in a sentence."""
        return PARTS[self.part].title


@frozen
class Description:
    """A report as a buyer wants to read it. ``str()`` of it is the text.

    Attributes:
        told: part by part.
        not_looked_at: names of the parts of which nothing is told.
        head: when it was looked at and by whom, "" where that is not told.
        note: what else was worth telling.
        cautions: what goes with it.
    """

    told: tuple[Told, ...]
    not_looked_at: tuple[str, ...]
    head: str = ""
    note: str = ""
    cautions: tuple[str, ...] = (AGE, NO_PROOF)

    def __str__(self) -> str:
        return "\n".join(self._lines())

    def _lines(self) -> Iterator[str]:
        if self.head:
            yield self.head
        groups: tuple[tuple[str, Effect | None], ...] = (
            ("What hurts", Effect.HURTS),
            ("As it should be", Effect.NONE),
            ("Merely age", Effect.AGE),
            ("Not judged", None),
        )
        for title, effect in groups:
            rows = [
                one for one in self.told if one.effect is effect and (one.state != NOT_SEEN or one.defects)
            ]
            if rows:
                yield title
            for one in rows:
                yield f"  {one.title}: {one.says}"
                for defect in one.defects:
                    yield f"    {defect_told(defect)}"
                if one.doubt:
                    yield f"    but {one.doubt}"
        unseen = [one.title for one in self.told if one.state == NOT_SEEN and not one.defects]
        if unseen:
            yield f"Could not be seen, so ask: {', '.join(unseen)}."
        if self.not_looked_at:
            yield f"Not looked at, so ask: {titles_of(self.not_looked_at)}."
        if self.note:
            yield f"Note: {clip(self.note, 500)}"
        yield from self.cautions


def describe(report: ConditionReport, index: Index | None = None, maker: str = "") -> Description:
    """What a report says, what of it hurts and what is merely age.

    Args:
        report: the report.
        index: what is recorded; needed to judge the colour of a bubble.
        maker: full id of the specimen's maker, "" where it is not known.

    Errors: UsageError for a state that the part does not have; says what was probably meant.
    """
    told = []
    for part in PARTS.values():
        word = report.state(part.name)
        defects = tuple(defect for defect in report.defects if defect.part == part.name)
        if not word and not defects:
            continue
        if part.name == "bubble-colour":
            says, effect = _colour(word, index, maker)
        else:
            state = state_of(part, word)
            says, effect = (state.says, state.effect) if state else ("its state is not told", None)
        if part.name == "seal" and effect is Effect.NONE and word != NOT_SEEN:
            says += f", {_SEAL_SEEN}"
        if word == NOT_SEEN and defects:
            effect = None
        told.append(Told(part.name, word, says, effect, defects, _doubt(part, word, defects)))
    known = {one.part for one in told}
    head = ", ".join(
        word for word in (f"Seen {report.date}" if report.date else "", clip(report.by, 80)) if word
    )
    return Description(
        tuple(told), tuple(part for part in PARTS if part not in known), head, clip(report.note, 500)
    )


def _doubt(part: Part, word: str, defects: tuple[Defect, ...]) -> str:
    state = part.states.get(word)
    if state is None or not defects or word == NOT_SEEN:
        return "that is told of a part that was not seen" if defects and word == NOT_SEEN else ""
    best = max((one.rank for one in part.states.values() if one.rank is not None), default=None)
    if state.rank is not None and state.rank == best:
        return f"{quoted(word)} and a defect of it do not go together: ask which is right"
    return ""


def _colour(word: str, index: Index | None, maker: str) -> tuple[str, Effect | None]:
    if not word:
        return "its colour is not told", None
    if word == NOT_SEEN:
        return "not seen", Effect.NONE
    feature = colour_feature(index) if index is not None else None
    if feature is None or index is None:
        return f"{clip(word, 60)}; what is usual is not recorded", None
    states = states_allowed(feature)
    if word not in states:
        near = closest(word, states, 1)
        hint = f"did you mean {near[0]}?" if near else f"it can be {', '.join(states)}"
        raise UsageError(f"the colour of a bubble cannot be {quoted(word)}; {hint}")
    record = index.makers.get(maker)
    usual = feature.sign.genuine.get(maker, ()) if feature.sign is not None else ()
    if record is None or not usual:
        whose = "without its maker it" if record is None else f"for {maker_name(index, maker)} it"
        return f"{word}; {whose} cannot be judged", None
    if word not in usual:
        return (
            f"{word}, not known on originals of {maker_name(index, maker)} ({' or '.join(usual)})",
            Effect.HURTS,
        )
    return f"{word}, known on originals of {maker_name(index, maker)}", Effect.AGE if len(
        usual
    ) > 1 else Effect.NONE
