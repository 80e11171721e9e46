"""A card or face is older than the debut of its figure."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.counting import disputed_by_maker
from cardref.facts.timing import debut_waves, surely_before
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.wave import Wave
from cardref.notation.edtf import Date
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _dated(corpus: Corpus) -> Iterator[tuple[Entry, Face, Pointer, Date, str]]:
    """Cards with a date of their own, and faces of a series that was over at some time."""
    index = corpus.index
    faces, series, doubt = index.faces, index.series, doubted(corpus)
    for entry, card in corpus.records("card", Card):
        face = faces.get(card.face)
        if card.released is not None and face is not None:
            yield entry, face, ("released",), card.released, f"was released {card.released}"
    for entry, face in corpus.records("face", Face):
        of = series.get(face.series)
        if of is not None and of.years is not None and of.id not in doubt:
            yield (
                entry,
                face,
                ("series",),
                of.years,
                f"is of {called(index, of.id)}, which was sold {of.years}",
            )


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    debuts, doubt, disputed = debut_waves(index), doubted(corpus), disputed_by_maker(index)
    clashes: list[tuple[str, tuple[Entry, Face, Pointer, Date, str, Wave]]] = []
    checked: dict[str, int] = {}
    for entry, face, pointer, date, said in _dated(corpus):
        waves = debuts.get((f"maker/{face.maker}", face.figure))
        if not waves or waves[0].date is None or waves[0].id in doubt:
            continue
        key = f"{waves[0].id} {face.figure}"
        checked[key] = checked.get(key, 0) + 1
        if (f"maker/{face.maker}", face.figure) in disputed:
            continue
        told = doubt.get(entry.id, "before-debut") == "before-debut"
        if told and surely_before(date, waves[0].date):
            clashes.append((key, (entry, face, pointer, date, said, waves[0])))
    for shared in by_shared(clashes, checked):
        entry, face, pointer, date, said, wave = shared.items[0]
        name = figure_name(index, face.figure)
        place = _debut(wave, face.figure)
        if shared.at_fault and wave.id in corpus.by_id:
            yield Hit(
                corpus.by_id[wave.id],
                f"{called(index, wave.id)} debuts {name} {wave.date}, but {called(index, entry.id)} {said}, "
                f"and it is not the only one: correct the date, or let an earlier wave debut {name}",
                place,
                value=face.figure,
                also=sides(corpus, (one[0].id for one in shared.items), f"older than {wave.date}"),
            )
            continue
        for one in shared.items:
            entry, face, pointer, date, said, wave = one
            what = "date" if pointer[0] == "released" else "series"
            yield Hit(
                entry,
                f"{called(index, entry.id)} {said}, but {name} debuted with {called(index, wave.maker)} in "
                f"{called(index, wave.id)}, {wave.date}: correct the {what}, or where {name} debuted",
                pointer,
                value=str(date),
                also=side(corpus, wave.id, f"debuts {name}, {wave.date}", *place),
            )


def _debut(wave: Wave, figure: str) -> Pointer:
    return ("debuts", wave.debuts.index(figure)) if figure in wave.debuts else ("debuts",)


def _more(date: str) -> str:
    return f"""
        - id: c-019
          face: f-006
          back: b-003
          stickers: [whistle-offer]
          released: {date}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="before-debut",
    family="time",
    severity=Severity.ERROR,
    summary="A card or face is older than the debut of its figure.",
    rationale=(
        "Nobody sold a figure before it came out. Either the date is wrong, or the figure is, or there was "
        "an earlier wave that nobody wrote down; whoever dates a card by it goes wrong."
    ),
    check=_check,
    good=cards(_more("1982-05")),
    bad=cards(_more("1981-05"), CARD, "released"),
)
