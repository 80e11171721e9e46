"""Which figure stands on which back: what is recorded, what could be, what is missing.

*Not recorded* is not *cannot be*: no is said only where a recorded fact excludes it.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> exists(Index({kind: {} for kind in KINDS}), "l/figure/a", "l/m/b-1").verdict.value
'unknown'
"""

from collections.abc import Iterator, Mapping

from attrs import frozen

from cardref.facts.answer import Answer, Verdict
from cardref.facts.called import called, figure_name
from cardref.facts.kept import kept
from cardref.facts.pictures import can_picture, leaves_out, pictures_of, shown_on
from cardref.facts.timing import debut
from cardref.index import Index
from cardref.model.card import Card, Made
from cardref.model.evidence import Standing
from cardref.model.maker import BackPolicy
from cardref.text import clip, count_of

__all__ = ["Missing", "can_stand", "cards_with", "exists", "missing", "recorded", "uses_generic_backs"]


@kept
def _by_figure_and_back(index: Index) -> Mapping[tuple[str, str], tuple[str, ...]]:
    found: dict[tuple[str, str], list[str]] = {}
    for card in index.cards.values():
        face = index.faces.get(card.face)
        if face is not None:
            found.setdefault((face.figure, card.back), []).append(card.id)
    return {key: tuple(cards) for key, cards in found.items()}


def cards_with(index: Index, figure: str, back: str) -> tuple[Card, ...]:
    """The recorded cards of a figure on a back (full ids), refuted ones among them."""
    return tuple(index.cards[full] for full in _by_figure_and_back(index).get((figure, back), ()))


_BEST_FIRST = (
    Standing.CONFIRMED, Standing.REPORTED, Standing.DISPUTED, Standing.UNVERIFIED, Standing.REFUTED,
)  # fmt: skip


def recorded(index: Index, figure: str, back: str) -> Answer:
    """What the cards recorded for a figure on a back (full ids) say; unknown where there is none.

    Yes for confirmed and reported cards, no where all are refuted.
    """
    cards = sorted(cards_with(index, figure, back), key=lambda card: _BEST_FIRST.index(card.standing))
    pair = f"{figure_name(index, figure)} on {called(index, back)}"
    if not cards:
        return Answer.unknown(f"no card of {pair} is recorded; nobody may have written it down")
    best = cards[0].standing
    same = [card for card in cards if card.standing is best]
    records = tuple(card.id for card in same)
    sources = index.sources_of(records)
    seen = sum(card.seen for card in same)
    said = f"{pair} is {best.value}" + (f", {count_of(seen, 'specimen')} seen" if seen else "")
    if best is Standing.REFUTED:
        return Answer.no(said, records, sources)
    if best in (Standing.CONFIRMED, Standing.REPORTED):
        if all(card.made is not Made.PRODUCTION for card in same):
            return Answer.unknown(f"{said}, but only as {same[0].made.value}", records, sources)
        return Answer.yes(said, records, sources, seen)
    return Answer.unknown(said, records, sources)


@kept
def _generic(index: Index) -> frozenset[str]:
    return frozenset(
        full.partition("/")[2] for full, maker in index.makers.items() if maker.backs is BackPolicy.GENERIC
    )


def uses_generic_backs(index: Index, back: str) -> bool:
    """Whether the maker of a back (full id) puts figures on backs that do not picture them."""
    return back.split("/")[1] in _generic(index)


def can_stand(index: Index, figure: str, back: str) -> Answer:
    """Whether a figure could stand on a back (full ids): pictured, or allowed by policy or exception."""
    for card in cards_with(index, figure, back):
        if card.exception and card.standing is not Standing.REFUTED:
            return Answer.yes(
                f"{called(index, card.id)}: {clip(card.exception, 200)}", (card.id,), card.sources
            )
    answer = can_picture(index, back, figure)
    if answer.verdict is Verdict.NO and not leaves_out(index, back, figure):
        return Answer.unknown(
            f"{called(index, back)} is blank, so it tells nothing of the figure", answer.records
        )
    if answer.verdict is not Verdict.NO or not uses_generic_backs(index, back):
        return answer
    maker = f"maker/{back.split('/')[1]}"
    policy = f"{called(index, maker)} sells many figures on one generic back"
    sold = debut(index, figure, maker)
    if sold is None:
        return Answer.unknown(f"{policy}, but no wave of theirs has this figure", (back, maker))
    return Answer.yes(policy, (back, maker, sold.wave), index.makers[maker].sources)


def exists(index: Index, figure: str, back: str) -> Answer:
    """Whether the figure on that back exists (full ids): by records, else no where it could not."""
    answer = recorded(index, figure, back)
    if answer.records:
        return answer
    could = can_stand(index, figure, back)
    return could if could.verdict is Verdict.NO else answer


@frozen
class Missing:
    """A figure on a back that could be, and is recorded neither as existing nor as refuted.

    Attributes:
        figure, back: full ids.
        faces: faces of the figure by the back's maker and in its series, which could be its front.
    """

    figure: str
    back: str
    faces: tuple[str, ...]


def missing(index: Index, line: str = "", maker: str = "") -> Iterator[Missing]:
    """The cards that could exist and are not recorded, back by back; of a line or maker (short names) only.

    Only what a back plainly pictures is counted: generic backs and silhouettes would add guesses.
    """
    known = _by_figure_and_back(index)
    for full, figures in shown_on(index).items():
        of_line, of_maker, _ = full.split("/")
        if (line and line != of_line) or (maker and maker != of_maker):
            continue
        back, seen = index.backs[full], pictures_of(index)[full]
        if back.standing is Standing.REFUTED or seen is None:
            continue
        for figure in seen.figures:
            if figure in figures and figure not in seen.silhouettes and (figure, full) not in known:
                faces = tuple(
                    face
                    for face in index.faces_by_figure.get(figure, ())
                    if index.faces[face].maker == of_maker and index.faces[face].series == back.series
                )
                yield Missing(figure, full, faces)
