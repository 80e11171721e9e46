"""What to call a record in a sentence: what people say, and the id that finds it.

>>> from cardref.index import Index
>>> from cardref.model.back import Back
>>> from cardref.model.kinds import KINDS
>>> from cardref.notation.designation import Designation
>>> tables = {kind: {} for kind in KINDS}
>>> tables["back"] = {"l/quay-marl/b-017": Back(id="l/quay-marl/b-017", designation=Designation(25, "B"),
...                                             series="l/series/s", count=25)}
>>> called(Index(tables), "l/quay-marl/b-017")
'back quay-marl 25B (b-017)'
>>> called(Index(tables), "l/figure/unheard-of")
'figure unheard-of'
"""

from collections.abc import Iterable, Sequence

from cardref.index import Index
from cardref.model.kinds import kind_of, short_id
from cardref.text import clip

__all__ = ["called", "figure_name", "how_often", "listed", "maker_name", "some"]


def figure_name(index: Index, full: str) -> str:
    """The usual name of a figure, safe to print; its short id where it is not recorded."""
    figure = index.figures.get(full)
    return clip(figure.name, 60) if figure is not None else clip(short_id(full), 60)


def maker_name(index: Index, full: str) -> str:
    """A maker's name in Latin letters, safe to print; its short id where it is not recorded."""
    maker = index.makers.get(full)
    return clip(maker.latin or maker.name, 60) if maker is not None else clip(short_id(full), 60)


def called(index: Index, full: str) -> str:
    """A record as a sentence names it, with the id that finds it; safe to print."""
    short = clip(short_id(full), 70)
    back = index.backs.get(full)
    if back is not None:
        return f"back {back.label} ({short})"
    face = index.faces.get(full)
    if face is not None:
        return f"face {face.maker} {short} ({figure_name(index, face.figure)})"
    card = index.cards.get(full)
    if card is not None:
        return f"card {card.maker} {short} ({_on(index, card.face, card.back)})"
    kind = kind_of(full)
    if kind == "figure":
        return f"figure {short}" if full not in index.figures else f"{figure_name(index, full)} ({short})"
    return f"{kind} {short}" if kind else short


def _on(index: Index, face_id: str, back_id: str) -> str:
    face, back = index.faces.get(face_id), index.backs.get(back_id)
    front = figure_name(index, face.figure) if face else f"face {clip(short_id(face_id), 70)}"
    return f"{front} on {back.designation if back else clip(short_id(back_id), 70)}"


def listed(words: Iterable[str], most: int = 4) -> str:
    """Words as a list in a sentence: ``a, b and c``; of many the first few and how many more there are.

    >>> listed(["a", "b", "c"]), listed(map(str, range(9)))
    ('a, b and c', '0, 1, 2 and 6 more')
    """
    known: Sequence[str] = list(words)
    if len(known) > most:
        known = [*known[: most - 1], f"{len(known) - most + 1} more"]
    return " and ".join([", ".join(known[:-1]), known[-1]]) if len(known) > 1 else "".join(known)


def how_often(seen: int) -> str:
    """How often something was seen, to go on in a sentence; "" for never.

    >>> how_often(1), how_often(2), how_often(5), how_often(0)
    (', seen once', ', seen twice', ', seen 5 times', '')
    """
    return {0: "", 1: ", seen once", 2: ", seen twice"}.get(seen, f", seen {seen} times")


def some(index: Index, figures: Iterable[str], most: int = 4) -> str:
    """Figures by name, as a list in a sentence."""
    return listed((figure_name(index, figure) for figure in figures), most)
