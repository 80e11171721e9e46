"""Whether a specimen is what is wanted: yes, no, or unknown where too little is written down of it.

>>> from cardref.reference import load
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> want = Want(id="w", figure="tidewrack/figure/lamp-diver", back="tidewrack/quay-marl/b-017")
>>> wanted = Held(want, placed(index, want))
>>> for mine in (Specimen(id="1", card="tidewrack/quay-marl/c-0213"), Specimen(id="2", figure=want.figure)):
...     print(want_met(wanted, Held(mine, placed(index, mine))))
True
None
"""

from collections.abc import Iterable

from attrs import frozen

from cardref.model.specimen import Specimen, Want
from cardref.specimens.collection import Held
from cardref.specimens.meaning import Placed

__all__ = ["Wanted", "met_by", "want_met"]


@frozen
class Wanted:
    """A want, and the owned specimens that meet it already, by id; surely or perhaps."""

    want: Held[Want]
    met: tuple[str, ...] = ()
    perhaps: tuple[str, ...] = ()


def met_by(want: Held[Want], owned: Iterable[Held[Specimen]]) -> Wanted:
    """A want with those of the owned specimens that meet it."""
    met, perhaps = [], []
    for held in owned:
        fits = want_met(want, held)
        if fits:
            met.append(held.record.id)
        elif fits is None:
            perhaps.append(held.record.id)
    return Wanted(want, tuple(met), tuple(perhaps))


def want_met(want: Held[Want], held: Held[Specimen]) -> bool | None:
    """Whether a specimen is what is wanted; None where too little is known of it to tell."""
    unsure = False
    record, wanted, has = want.record, want.where, held.where
    if record.card:
        if not has.cards or set(has.cards).isdisjoint(wanted.cards):
            return None if _open(wanted, has) else False
        return True if set(has.cards) <= set(wanted.cards) else None
    for name in ("figure", "back", "maker"):
        if not getattr(record, name):
            continue
        asked, there = getattr(wanted, name), getattr(has, name)
        if not asked:
            return None
        if not there:
            unsure = True
        elif asked != there:
            return False
    if not (record.figure or record.back):
        return False
    return None if unsure else True


def _open(wanted: Placed, has: Placed) -> bool:
    """Whether a specimen of which the card is not known may be the one."""
    if has.cards:
        return False
    sure = has.figure or has.back
    return bool(sure) and has.figure in ("", wanted.figure) and has.back in ("", wanted.back)
