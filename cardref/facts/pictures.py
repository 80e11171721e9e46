"""The figures that a back pictures, by derivation from earlier backs.

>>> from cardref.model.back import Back, Pictures
>>> from cardref.notation.designation import Designation
>>> first = Back(id="l/m/b-1", designation=Designation(1), series="l/series/s", count=1,
...              pictures=Pictures(plus=("l/figure/a",)))
>>> second = Back(id="l/m/b-2", designation=Designation(2), series="l/series/s", count=2,
...               pictures=Pictures(based_on="l/m/b-1", plus=("l/figure/b",)))
>>> pictured({"l/m/b-1": first, "l/m/b-2": second}, second).figures
('l/figure/a', 'l/figure/b')
"""

from collections.abc import Mapping

from attrs import frozen

from cardref.facts.answer import Answer
from cardref.facts.called import called, figure_name
from cardref.facts.kept import kept
from cardref.index import Index
from cardref.model.back import Back, Slip

__all__ = ["Pictured", "backs_picturing", "can_picture", "leaves_out", "pictured", "pictures_of", "shown_on"]


@frozen
class Pictured:
    """What a back pictures.

    Attributes:
        figures: each figure once, in the order in which they were added.
        silhouettes: those of them that are blacked out on this very back.
        slips: printer's slips on this very back.
        steps: ids of the backs the derivation went through, this one first.
    """

    figures: tuple[str, ...]
    silhouettes: frozenset[str]
    slips: tuple[Slip, ...]
    steps: tuple[str, ...]

    @property
    def shown(self) -> int:
        """How many pictures a person would count: a figure shown twice counts twice."""
        return len(self.figures) + sum(slip.times - 1 for slip in self.slips)


def pictured(backs: Mapping[str, Back], back: Back) -> Pictured | None:
    """What ``back`` pictures; None where that is not recorded, leads to an unknown back, or in a circle.

    Silhouettes and slips belong to one printing: they are not carried on to backs derived from it.
    For all backs of a dataset :func:`pictures_of` is quicker.
    """
    return _derived(backs, back, {})


@kept
def pictures_of(index: Index) -> Mapping[str, Pictured | None]:
    """Back id -> what it pictures (:func:`pictured`), for every back."""
    known: dict[str, Pictured | None] = {}
    for back in index.backs.values():
        _derived(index.backs, back, known)
    return known


def _derived(backs: Mapping[str, Back], back: Back, known: dict[str, Pictured | None]) -> Pictured | None:
    """What ``back`` pictures, by the nearest known back of its derivation; all on the way are known then."""
    way: list[Back] = []
    on_way: set[str] = set()
    at: Back | None = back
    base: Pictured | None = None
    broken = False
    while at is not None:
        if at.id in known:
            base = known[at.id]
            broken = base is None
            break
        if at.pictures is None or at.id in on_way:
            broken = True
            break
        way.append(at)
        on_way.add(at.id)
        if not at.pictures.based_on:
            break
        at = backs.get(at.pictures.based_on)
    else:
        broken = True
    if not way:
        known.setdefault(back.id, None)
        return known[back.id]
    figures: dict[str, None] = dict.fromkeys(base.figures) if base else {}
    steps = base.steps if base else ()
    for step in reversed(way):
        change = step.pictures
        if broken or change is None:
            known[step.id] = None
            continue
        for figure in change.minus:
            figures.pop(figure, None)
        figures.update(dict.fromkeys(change.plus))
        steps = (step.id, *steps)
        known[step.id] = Pictured(tuple(figures), frozenset(change.silhouettes), change.slips, steps)
    return known[back.id]


@kept
def shown_on(index: Index) -> Mapping[str, frozenset[str]]:
    """Back id -> the figures it pictures, silhouettes among them; only backs of which that is known."""
    return {back: frozenset(seen.figures) for back, seen in pictures_of(index).items() if seen is not None}


@kept
def _by_figure(index: Index) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, list[str]] = {}
    for back in index.backs:
        for figure in shown_on(index).get(back, ()):
            found.setdefault(figure, []).append(back)
    return {figure: tuple(backs) for figure, backs in found.items()}


def backs_picturing(index: Index, figure: str) -> tuple[str, ...]:
    """Ids of the backs that picture ``figure`` (full id), in the order of ``index.backs``."""
    return _by_figure(index).get(figure, ())


def leaves_out(index: Index, back: str, figure: str) -> bool:
    """Whether a back (full id) is known to picture others and not ``figure``; a blank one leaves out none."""
    shown = shown_on(index).get(back)
    return bool(shown) and figure not in (shown or ())


def can_picture(index: Index, back: str, figure: str) -> Answer:
    """Whether ``back`` pictures ``figure`` (full ids): the derivation says so, or nobody recorded it.

    A silhouette is a picture; the reason says that it is one.
    """
    seen = pictures_of(index).get(back)
    name, printed = figure_name(index, figure), called(index, back)
    if seen is None:
        return Answer.unknown(
            f"what {printed} pictures is not recorded", (back,) if back in index.backs else ()
        )
    sources = index.sources_of(seen.steps)
    if figure not in seen.figures:
        return Answer.no(f"{printed} does not picture {name}", seen.steps, sources)
    how = "shows a silhouette of" if figure in seen.silhouettes else "pictures"
    return Answer.yes(f"{printed} {how} {name}", seen.steps, sources)
