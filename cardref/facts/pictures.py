"""The figures that a back pictures, by derivation from earlier backs.

>>> from cardref.index import Index
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

from cardref.model.back import Back, Slip

__all__ = ["Pictured", "pictured"]


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
    """
    if back.pictures is None:
        return None
    chain: list[Back] = []
    seen: set[str] = set()
    at: Back | None = back
    while True:
        if at is None or at.pictures is None or at.id in seen:
            return None
        seen.add(at.id)
        chain.append(at)
        if not at.pictures.based_on:
            break
        at = backs.get(at.pictures.based_on)
    figures: dict[str, None] = {}
    for step in reversed(chain):
        change = step.pictures
        if change is not None:
            for figure in change.minus:
                figures.pop(figure, None)
            figures.update(dict.fromkeys(change.plus))
    return Pictured(
        tuple(figures),
        frozenset(back.pictures.silhouettes),
        back.pictures.slips,
        tuple(step.id for step in chain),
    )
