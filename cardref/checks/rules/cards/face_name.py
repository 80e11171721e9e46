"""The name on a face is none that its figure bears."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name, listed, some
from cardref.facts.naming import folded_names, named_by
from cardref.facts.witnesses import figure_witnesses
from cardref.finding import Severity
from cardref.model.face import Face
from cardref.notation.folding import fold
from cardref.notation.nearest import distance
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    witnesses = figure_witnesses(index)
    printed, named = folded_names(index), named_by(index)
    for entry, face in corpus.records("face", Face):
        name = printed.get(face.id)
        if not name:
            continue
        others = named.get((face.id.partition("/")[0], name), ())
        if face.figure in others or (face.id in witnesses and witnesses[face.id].meant):
            continue
        figure = index.figures.get(face.figure)
        if figure is None:
            continue
        known = [text for one in figure.names for text in (one.text, one.latin) if text]
        if others:
            why = f"which is the name of {some(index, others, 3)}"
        else:
            near = [text for text in known if distance(fold(text)[:60], name[:60]) <= 2]
            why = (
                f"very near to {quoted(near[0])}"
                if near
                else f"but its names are {listed(map(quoted, known))}"
            )
        yield Hit(
            entry,
            f"{called(index, face.id)} is called {quoted(face.name)}, {why}: correct the name, or add it to "
            f"the names of {figure_name(index, face.figure)} if it is printed so",
            ("name",),
            value=face.name,
            also=side(corpus, face.figure, "its names", "names"),
        )


RULE = Rule(
    id="face-name",
    family="cards",
    severity=Severity.ERROR,
    summary="The name on a face is none that its figure is recorded to bear.",
    rationale=(
        "Names are what people search for. A name that no record of the figure has is a slip of the pen, or "
        "a variant that others will want to find too."
    ),
    check=_check,
    needs=("figure",),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "name: Salt Porter", "name: SALT PORTER"),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "name: Salt Porter",
        "name: Salt Portr",
        "lanternfish/pell-orrin/f-009",
        "name",
    ),
)
