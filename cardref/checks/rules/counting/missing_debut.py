"""A maker sells a figure that no wave of its debuts."""

from collections.abc import Iterator

from cardref.checks.blame import sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.codes import figure_witnesses
from cardref.facts.counting import range_differences
from cardref.facts.timing import debut_waves
from cardref.finding import Severity
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
        if face.figure in index.figures and _sold(corpus, face.id):
            found.setdefault(key, []).append(face)
    for (maker, figure), faces in found.items():
        name = figure_name(index, figure)
        yield Hit(
            corpus.by_id[faces[0].id],
            f"{called(index, faces[0].id)} is {count_of(len(faces), 'face')} of {name} by "
            f"{called(index, maker)}, but no wave of theirs debuts {name}: add it to the wave that did, or "
            "correct the figure",
            ("figure",),
            value=figure,
            also=sides(corpus, (face.id for face in faces[1:]), f"another face of {name}", ("figure",)),
        )


def _sold(corpus: Corpus, face: str) -> bool:
    """Whether a card with this face was sold, as far as is recorded: proofs and announcements debut nothing."""
    index = corpus.index
    cards = [index.cards[card] for card in index.cards_by_face.get(face, ())]
    return any(card.made is Made.PRODUCTION and card.standing is not Standing.REFUTED for card in cards)


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
    good=changed("lines/lanternfish/faces/morvane.yaml", "number: M-3", "number: M-4"),
    bad=changed(
        "lines/lanternfish/faces/morvane.yaml",
        "figure: brine-smith\n    series: lanternfish\n    languages: [fr]\n    name: Forgeron du sel\n"
        "    number: M-3\n    codes: [2043-8]",
        "figure: gull-warden\n    series: lanternfish\n    languages: [fr]\n    name: Gull Warden\n"
        "    number: M-3\n    codes: unread",
        "lanternfish/morvane/f-003",
        "figure",
    ),
)
