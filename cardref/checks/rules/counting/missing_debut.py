"""A maker sells a figure that no wave of its debuts."""

from collections.abc import Iterator

from cardref.checks.blame import sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import faces
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.counting import range_differences
from cardref.facts.timing import debut_waves
from cardref.facts.witnesses import figure_witnesses
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.card import Made
from cardref.model.evidence import Standing
from cardref.model.face import Face
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    debuts = debut_waves(index)
    told = {(one.wave.maker, figure) for one in range_differences(index) for figure in one.undebuted}
    doubted = figure_witnesses(index)
    with_waves = {key for key, waves in index.waves_by_maker.items() if any(wave.debuts for wave in waves)}
    found: dict[tuple[str, str], list[Face]] = {}
    for _, face in corpus.records("face", Face):
        line, short, _ = face.id.split("/")
        maker = f"maker/{short}"
        key = (maker, face.figure)
        if (line, maker) not in with_waves or key in debuts or key in told or face.id in doubted:
            continue
        if face.figure in index.figures and face.standing is not Standing.REFUTED and _sold(corpus, face.id):
            found.setdefault(key, []).append(face)
    for (maker, figure), own in found.items():
        name = figure_name(index, figure)
        more = f" and {count_of(len(own) - 1, 'more face')}" if len(own) > 1 else ""
        yield Hit(
            corpus.by_id[own[0].id],
            f"{called(index, own[0].id)}{more} shows {name}, but no wave of {called(index, maker)} debuts "
            f"{name}: add it to the wave that did, or correct the figure",
            ("figure",),
            value=figure,
            also=(
                *sides(corpus, _waves(index, maker, own[0]), f"does not debut {name}", ("debuts",)),
                *sides(corpus, (face.id for face in own[1:]), f"another face of {name}", ("figure",)),
            ),
        )


def _waves(index: Index, maker: str, face: Face) -> Iterator[str]:
    """The maker's waves (full ids) that may have debuted the figure of a face, those of its series first."""
    waves = index.waves_by_maker[face.id.split("/")[0], maker]
    yield from (wave.id for wave in waves if wave.series == face.series)
    yield from (wave.id for wave in waves if wave.series != face.series)


def _sold(corpus: Corpus, face: str) -> bool:
    """Whether a card with this face was sold, as far as is known: proofs and announcements debut nothing."""
    index = corpus.index
    cards = [index.cards[card] for card in index.cards_by_face.get(face, ())]
    return not cards or any(
        card.made is Made.PRODUCTION and card.standing is not Standing.REFUTED for card in cards
    )


def _more(figure: str) -> str:
    return f"""
        - id: f-019
          figure: {figure}
          series: lanternfish
          languages: [fr]
          codes: unread
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="missing-debut",
    family="counting",
    severity=Severity.WARNING,
    summary="A maker sells a figure that no wave of its debuts.",
    rationale=(
        "Who sold what, and from when on, is read from the waves. A figure that no wave has is either "
        "missing there or was never sold by this maker, and then the face is of another figure."
    ),
    check=_check,
    needs=("wave",),
    good=faces(_more("tide-clerk"), maker="morvane"),
    bad=faces(_more("gull-warden"), "lanternfish/morvane/f-019", "figure", maker="morvane"),
)
