"""What figures are called, and which of their names stands on a face.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> figures_named(Index({kind: {} for kind in KINDS}), "tidewrack", "Lamp Diver")
()
"""

from collections.abc import Mapping

from cardref.facts.kept import kept
from cardref.index import Index
from cardref.model.figure import Name
from cardref.notation.folding import fold

__all__ = ["figures_named", "folded_names", "named_by", "names_of"]


@kept
def folded_names(index: Index) -> Mapping[str, str]:
    """Face id -> the printed name as people compare it; only faces whose name is recorded."""
    known: dict[str, str] = {}  # the same name stands on many faces
    found: dict[str, str] = {}
    for face in index.faces.values():
        name = face.name
        if name:
            if name not in known:
                known[name] = fold(name)
            found[face.id] = known[name]
    return found


@kept
def names_of(index: Index) -> Mapping[str, Mapping[str, tuple[tuple[int, Name], ...]]]:
    """Figure id -> folded name -> the names of the figure that read so, each with its place in the record."""
    found: dict[str, Mapping[str, tuple[tuple[int, Name], ...]]] = {}
    for figure in index.figures.values():
        names: dict[str, tuple[tuple[int, Name], ...]] = {}
        for place, name in enumerate(figure.names):
            for text in dict.fromkeys(map(fold, name.forms)):
                names[text] = (*names.get(text, ()), (place, name))
        found[figure.id] = names
    return found


@kept
def named_by(index: Index) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """``(line, folded name)`` -> the figures that bear it, in any language."""
    found: dict[tuple[str, str], list[str]] = {}
    for figure, names in names_of(index).items():
        line = figure.partition("/")[0]
        for name in names:
            found.setdefault((line, name), []).append(figure)
    return {key: tuple(ids) for key, ids in found.items()}


def figures_named(index: Index, line: str, name: str) -> tuple[str, ...]:
    """Full ids of the figures of a line that bear a name, in any language, case and accents apart."""
    return named_by(index).get((line, fold(name)), ())
