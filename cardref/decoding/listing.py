"""What running text, such as a listing's title, says of a card: with the names that a dataset knows.

>>> from cardref.reference import load
>>> for hit in load().read("Quay and Marl Lamp Divr 25-B back unpunched, $25"):
...     print(hit.kind, hit.value, hit.span)
maker ('maker/quay-marl',) (0, 13)
figure ('tidewrack/figure/lamp-diver',) (14, 23)
designation 25B (24, 33)
condition unpunched (34, 43)
"""

from collections.abc import Iterator

from cardref.index import Index
from cardref.notation.names import Hit, NameIndex
from cardref.notation.running import findall

__all__ = ["read"]


def read(index: Index, text: str) -> tuple[Hit, ...]:
    """Everything recognised in ``text``, in order, with spans: what :func:`cardref.findall` finds, codes of
    the recorded schemes, and names of figures, makers, series and lines in every recorded language. The value
    of a name is the tuple of full ids that bear it.
    """
    return findall(text, schemes=index.schemes.values(), names=index.derived(_name_index))


def _name_index(index: Index) -> NameIndex:
    return NameIndex(_names(index))


def _names(index: Index) -> Iterator[tuple[str, str, str]]:
    for figure in index.figures.values():
        yield from (("figure", figure.id, form) for form in figure.forms)
    for maker in index.makers.values():
        yield from (("maker", maker.id, form) for form in maker.forms)
    for series in index.series.values():
        yield from (("series", series.id, form) for form in series.forms)
    for line in index.lines.values():
        yield from (("line", line.id, form) for form in line.forms)
