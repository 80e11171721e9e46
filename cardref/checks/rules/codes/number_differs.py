"""A product number or barcode that differs from those of the same figure."""

from collections.abc import Iterator

from cardref.checks.blame import sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import FACE, faces
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.witnesses import figure_witnesses
from cardref.finding import Severity
from cardref.model.face import Face
from cardref.notation.nearest import distance
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for field in ("number", "barcode"):
        for numbers in _groups(corpus, field):
            usual = max(numbers, key=lambda number: len(numbers[number]))
            for number, bearers in numbers.items():
                # One sign off is a slip; another number altogether is another number. Of two faces nobody
                # can tell which is wrong, nor whether one is.
                if number == usual or len(numbers[usual]) < 2 or len(bearers) > 1:
                    continue
                if distance(number[:40], usual[:40]) == 1:
                    yield _hit(corpus, field, bearers[0], numbers[usual])


def _groups(corpus: Corpus, field: str) -> Iterator[dict[str, list[Face]]]:
    """The faces of one figure by one maker, by what is printed on them, where that is not the same.

    A barcode may tell the series too, so these are held together within one.
    """
    groups: dict[tuple[str, str, str], dict[str, list[Face]]] = {}
    doubted = figure_witnesses(corpus.index)
    for _, face in corpus.records("face", Face):
        number = getattr(face, field)
        if number and face.id not in doubted:
            series = face.series if field == "barcode" else ""
            key = (face.id.rpartition("/")[0], series, face.figure)
            groups.setdefault(key, {}).setdefault(number, []).append(face)
    return (numbers for numbers in groups.values() if len(numbers) > 1)


def _hit(corpus: Corpus, field: str, face: Face, others: list[Face]) -> Hit:
    number, usual = getattr(face, field), getattr(others[0], field)
    what = "product number" if field == "number" else "barcode"
    index = corpus.index
    return Hit(
        corpus.by_id[face.id],
        f"{called(index, face.id)} has the {what} {quoted(number)}, but "
        f"{count_of(len(others), 'other face')} of {figure_name(index, face.figure)} by the same maker "
        f"{'has' if len(others) == 1 else 'have'} {quoted(usual)}: read the digits again",
        (field,),
        value=number,
        also=sides(corpus, (other.id for other in others), f"has {quoted(usual)}", (field,)),
    )


def _more(number: str) -> str:
    return f"""
        - id: f-019
          figure: reef-pilot
          series: lanternfish
          languages: [en]
          name: Reef Pilot
          number: "{number}"
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="number-differs",
    family="codes",
    severity=Severity.WARNING,
    summary="A product number is one digit off from that of the same figure.",
    rationale=(
        "A maker gives a figure one number. Two that differ by a digit are mostly one, "
        "mistyped, and a search for the right one misses the card."
    ),
    check=_check,
    good=faces(_more("3014")),
    bad=faces(_more("8014"), FACE, "number"),
)
