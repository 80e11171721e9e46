"""Everything printed on a face tells of another figure than it is recorded for."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import figure_name, listed
from cardref.facts.witnesses import figure_witnesses
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.face import Face
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for full, witnesses in figure_witnesses(index).items():
        entry = corpus.by_id.get(full)
        if not witnesses.meant or entry is None:
            continue
        face = index.faces[full]
        voices = [
            what
            for what, figures in (
                (f"the name {quoted(face.name)}", witnesses.by_name),
                ("the code", witnesses.by_code),
                ("the product number", witnesses.by_number),
            )
            if witnesses.meant in figures
        ]
        meant = figure_name(index, witnesses.meant)
        yield Hit(
            entry,
            f"face {face.maker} {full.rpartition('/')[2]} is recorded for "
            f"{figure_name(index, face.figure)}, but {listed(voices)} say {meant}: correct the figure",
            ("figure",),
            value=face.figure,
            also=(
                *((Also(entry, "the name as printed", ("name",)),) if witnesses.name_disagrees else ()),
                *side(corpus, _other(index, face, witnesses.meant), f"a face of {meant}", "figure"),
            ),
        )


def _other(index: Index, face: Face, figure: str) -> str:
    """Another face of the figure that was meant, by the same maker."""
    for full in index.faces_by_figure.get(figure, ()):
        if index.faces[full].maker == face.maker:
            return full
    return ""


RULE = Rule(
    id="face-figure",
    family="cards",
    severity=Severity.ERROR,
    summary="Name, code or number on a face tell of another figure than it is recorded for.",
    rationale=(
        "When two things that are printed on a front agree against the figure that it is filed under, it is "
        "filed wrongly, and all its cards with it."
    ),
    check=_check,
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "name: Bell Ringer", "name: BELL RINGER"),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "figure: bell-ringer",
        "figure: kelp-weaver",
        "lanternfish/pell-orrin/f-007",
        "figure",
    ),
)
