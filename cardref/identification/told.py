"""What an identification of a card says beyond the engine's words: what to look at next, copies, cautions.

>>> next_look(CardLook("rope", "Rope", 0.5, 3.0, "length", "lower left", "Measure it.", "ruler"), Ending.OPEN)
['Look next at: Rope (ruler): lower left. Measure it.']
"""

from collections.abc import Iterable, Mapping

from cardref.facts.answer import Answer
from cardref.facts.cautions import NO_PROOF
from cardref.facts.features import states_of
from cardref.facts.separation import separation
from cardref.identification.answer import Candidate, Ending, Fit, Pair
from cardref.identification.cards import CardTable
from cardref.identification.copies import CopyBeside, CopySign
from cardref.identification.sights import CardLook, name_of
from cardref.identification.typed import CODE, Entry
from cardref.model.feature import Tool
from cardref.text import clip

__all__ = [
    "CAUTION",
    "by_signs",
    "card",
    "copies",
    "copy",
    "fits",
    "next_look",
    "sign",
    "tooled",
    "worth_telling",
]

CAUTION = (
    "It is about the printing. Nothing here authenticates a card: have it inspected in hand by experienced "
    "people."
)
"""Goes with every identification."""

CONTENDER = 0.25
"""A copy of a printing less probable than this is told only where the looks speak for the copy."""


def fits(candidate: Candidate, entries: Mapping[str, Entry]) -> tuple[list[str], list[str], list[str]]:
    """What speaks for a candidate, what against it, and what is not recorded of it; each a few words.

    A code is told as it was typed, and its segments only where they do not fit.
    """
    code = entries.get(CODE)
    of_code = set(code.values) | {"code-printed"} if code is not None else set()
    good, bad, silent = [], [], []
    code_agrees = False
    for fit in candidate.fits:
        if fit.agrees is False:
            bad.append(_against(fit))
        elif fit.feature in of_code:
            code_agrees = code_agrees or fit.agrees is True
        elif fit.agrees is None:
            silent.append(fit.title)
        elif not fit.by:  # what follows from other readings is told with these
            good.append(f"{fit.title} {fit.seen}")
    if code is not None and code_agrees:
        good.append(f"code {clip(code.typed, 40)}")
    return good, bad, silent


def _against(fit: Fit) -> str:
    by = f" (by {', '.join(clip(name, 40) for name in fit.by)})" if fit.by else ""
    return f"{fit.title} {fit.seen}{by}, recorded {fit.recorded}"


def by_signs(cards: CardTable, alike: Iterable[Pair]) -> list[str]:
    """What tells backs apart that nothing else does, but is a sign of copies and does not count."""
    lines: dict[str, None] = {}
    for pair in alike:
        one, other = cards.backs[pair.one], cards.backs[pair.other]
        for separator in separation(cards.index, one, other).by if one != other else ():
            sight = cards.signs.get(name_of(separator.feature))
            if sight is not None:
                states = [
                    f"{cards.index.backs[back].label} "
                    + " or ".join(
                        clip(state, 40) for state in states_of(cards.index, back)[separator.feature]
                    )
                    for back in (one, other)
                ]
                title = sight.feature.name
                lines[
                    f"{title} differs ({', '.join(states)}), but is a sign of copies and does not count."
                ] = None
    return list(lines)[:4]


def tooled(look: CardLook | CopySign) -> str:
    """What to look at, and with what where the eye is not enough."""
    return look.title if look.tool == Tool.EYE else f"{look.title} ({look.tool})"


def next_look(look: CardLook | None, ending: Ending) -> list[str]:
    """The look worth most now; nothing where none is worth it."""
    if look is None:
        return []
    begin = {Ending.IDENTIFIED: "To be surer, look at", Ending.UNRECORDED: "Or look at"}
    lines = [f"{begin.get(ending, 'Look next at')}: {tooled(look)}: {look.where.rstrip('.')}. {look.how}"]
    if look.cautions:
        lines.append(f"Take care: {'; '.join(look.cautions)}.")
    return lines


def card(recorded: Answer | None) -> list[str]:
    """Whether the figure that was read is recorded on the most probable back."""
    return [] if recorded is None else [f"The card: {clip(recorded.because, 200)}."]


def worth_telling(known: Iterable[CopyBeside], shares: Mapping[str, float]) -> list[CopyBeside]:
    """The copies for which the looks speak, and those of the most probable printings."""
    return [one for one in known if one.bits >= 1.0 or shares.get(one.of, 0.0) >= CONTENDER]


def copies(known: Iterable[CopyBeside], signs: Iterable[CopySign]) -> list[str]:
    """What the looks say of known copies, and of signs of copies in general; last, that none is proof."""
    lines = [line for one in known for line in copy(one)]
    lines += [sign(one) for one in signs]
    return [*lines, NO_PROOF] if lines else []


def copy(one: CopyBeside) -> list[str]:
    """What the looks say of one known copy, and what would settle it."""
    of = f", a copy of {clip(one.of_name, 80)}" if one.of else ""
    name = f"{one.title}{of} ({', '.join(one.extent)})"
    if one.bits >= 1.0:
        says = "the looks speak for the copy"
    elif one.bits <= -1.0:
        says = "the looks speak against the copy"
    else:
        says = "nothing seen tells the two apart"
    seen = [f"{each.title} {each.seen}" for each in one.signs if each.seen and abs(one.bits) >= 1.0]
    by = f" ({'; '.join(seen[:4])})" if seen else ""
    lines = [f"Known copy: {name}: {says}{by}."]
    look = one.settling
    if look is not None:
        mine = f"; on originals {' or '.join(look.on_originals)}" if look.on_originals else ""
        lines.append(
            f"To settle it, look at: {tooled(look)}: {look.where.rstrip('.')}. {look.how} "
            f"On the copy {' or '.join(look.on_copy)}{mine}."
        )
        lines += [f"Take care: {caution}" for caution in look.cautions]
    return lines


def sign(one: CopySign) -> str:
    """What a general sign says that was read."""
    if one.agrees is None:
        return f"Sign: {one.title} {one.seen}; what originals of this maker have is not recorded."
    if one.agrees:
        return f"Sign: {one.title} {one.seen}, as on originals."
    says = [f"Sign: {one.title} {one.seen}; on originals of this maker {' or '.join(one.on_originals)}."]
    if one.reliability:
        says.append(f"{one.why} A {one.reliability} sign by itself.")
    return " ".join([*says, *one.cautions[:1]])
