"""The name on a face is one that its figure bears elsewhere: in another series or language, or by others."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.naming import folded_names, names_of
from cardref.facts.territories import main_language
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.face import Face
from cardref.model.figure import Name
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    printed, known = folded_names(index), names_of(index)
    for entry, face in corpus.records("face", Face):
        name = printed.get(face.id)
        names = known[face.figure].get(name, ()) if name and face.figure in known else ()
        if not names or any(_plainly(one, face) for _, one in names):
            continue
        faults = [(place, _fault(index, face, name)) for place, name in names]
        if faults and all(fault for _, fault in faults):
            place, fault = faults[0]
            yield Hit(
                entry,
                f"{called(index, face.id)} is called {quoted(face.name)}, {fault}: correct the name, or "
                "where that name is used",
                ("name",),
                value=face.name,
                also=side(corpus, face.figure, "the name", "names", place),
            )


def _plainly(name: Name, face: Face) -> bool:
    """Whether a name fits at a glance: used by all, and in the one language of the face."""
    return not name.maker and not name.series and face.languages == (name.language,)


def _fault(index: Index, face: Face, name: Name) -> str:
    """Why a name of the figure does not fit the face, a clause; "" where it does."""
    if name.maker and name.maker != f"maker/{face.maker}":
        return f"which only {called(index, name.maker)} is recorded to use"
    if name.series and name.series != face.series:
        own = called(index, face.series)
        return f"which is recorded for {called(index, name.series)}, and the face is of {own}"
    if face.languages and main_language(name.language) not in map(main_language, face.languages):
        return f"which is its name in {name.language}, and the face is in {', '.join(face.languages)}"
    return ""


RULE = Rule(
    id="name-elsewhere",
    family="cards",
    severity=Severity.WARNING,
    summary="The name on a face is one that its figure bears in another series or language, or by others.",
    rationale=(
        "Renamed figures and translated fronts are told by their names. One with the name of another series "
        "or country is mistyped, or rare enough to be written down as what it is."
    ),
    check=_check,
    good=changed("lines/lanternfish/faces/morvane.yaml", "name: Pilote du récif", "name: PILOTE DU RÉCIF"),
    bad=changed(
        "lines/lanternfish/faces/morvane.yaml",
        "name: Pilote du récif",
        "name: Reef Pilot",
        "lanternfish/morvane/f-001",
        "name",
    ),
)
