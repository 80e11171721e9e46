"""What tells two backs apart: features in states that cannot be one, and facts of the backs themselves.

>>> from cardref.reference import load
>>> index = load().index
>>> pair = separation(index, "tidewrack/quay-marl/b-017", "tidewrack/quay-marl/b-018")
>>> [one.feature for one in pair.by]
['rope-length']
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from attrs import frozen

from cardref.facts.features import features_of_line, followed, gap_between, misread_of, resolution_of
from cardref.facts.kept import kept
from cardref.facts.pictures import pictures_of
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.evidence import Standing
from cardref.model.feature import NOT_APPLICABLE, Feature, FeatureKind

__all__ = ["MOST_SIBLINGS", "Separation", "Separator", "Siblings", "separation", "siblings"]

_INTRINSIC_MISREAD: Final = 0.05
"""The share of looks at a fact of the back itself that go wrong. Assumed; common practice, no source."""

MOST_SIBLINGS: Final = 60
"""Of a larger group only so many are compared: nobody has seen so many, and pairs grow by squares."""


@frozen
class Separator:
    """One thing by which two backs differ.

    Attributes:
        feature: slug of a feature, or a fact of the back itself: ``series``, ``languages``, ``pictures`` ...
        misread: share of looks that go wrong.
        gap: for a length how far apart the ranges are, in mm.
    """

    feature: str
    misread: float
    gap: float | None = None


@frozen
class Separation:
    """What tells two backs apart.

    Attributes:
        one, other: full ids.
        by: what separates them for sure, most reliable first.
        close: lengths that differ by less than their tool can tell.
        unknown: features that are recorded for only one of the two.
    """

    one: str
    other: str
    by: tuple[Separator, ...]
    close: tuple[Separator, ...]
    unknown: tuple[str, ...]


def separation(index: Index, one: str, other: str) -> Separation:
    """Which recorded features tell back ``one`` from back ``other`` (full ids), and which might."""
    by: list[Separator] = []
    close: list[Separator] = []
    unknown: list[str] = []
    line = one.partition("/")[0]
    features = features_of_line(index, line)
    first, second = _visible(index)[one], _visible(index)[other]
    for slug in dict.fromkeys((*first, *second)):
        if slug not in first or slug not in second:
            unknown.append(slug)
            continue
        feature = features.get(slug)
        if feature is None:
            if first[slug] != second[slug]:
                by.append(Separator(slug, _INTRINSIC_MISREAD))
            continue
        gap = _apart(feature, first[slug], second[slug])
        if gap is None:
            continue
        separator = Separator(slug, misread_of(feature), gap or None)
        far = feature.kind is not FeatureKind.LENGTH or gap >= resolution_of(feature)
        (by if far else close).append(separator)
    by.sort(key=lambda separator: separator.misread)
    return Separation(one, other, tuple(by), tuple(close), tuple(unknown))


def _apart(feature: Feature, one: Sequence[str], other: Sequence[str]) -> float | None:
    """None where the states may be one; else how far apart they are, in mm for a length, 0 for others."""
    if NOT_APPLICABLE in one or NOT_APPLICABLE in other:
        return None  # the difference is the parent's, and is counted there
    if feature.kind is not FeatureKind.LENGTH:
        return None if not set(one).isdisjoint(other) else 0.0
    gaps = [gap_between(a, b) for a in one for b in other]
    least = min((0.0 if gap is None else gap for gap in gaps), default=0.0)
    return least or None


@kept
def _visible(index: Index) -> Mapping[str, Mapping[str, tuple[str, ...]]]:
    """Back id -> all states by which it can be told: features, and facts of its own by other names."""
    found: dict[str, Mapping[str, tuple[str, ...]]] = {}
    for full, back in index.backs.items():
        states = followed(features_of_line(index, full.partition("/")[0]), back.features)
        states.update(_intrinsic(index, back))
        found[full] = states
    return found


def _intrinsic(index: Index, back: Back) -> Iterator[tuple[str, tuple[str, ...]]]:
    yield "series", (back.series,)
    if back.languages:
        yield "languages", tuple(sorted(back.languages))
    if back.claimed is not None:
        yield "claimed total", (str(back.count if back.claimed == "same" else back.claimed),)
    seen = pictures_of(index)[back.id]
    if seen is not None:
        slips = sorted(f"{slip.figure}*{slip.times}" for slip in seen.slips)
        yield "pictures", (*sorted(seen.figures), *slips)
        yield "silhouettes", tuple(sorted(seen.silhouettes))


@frozen
class Siblings:
    """Backs of one line, maker and count, and the pairs of them that are hard to tell apart.

    Attributes:
        backs: full ids, by designation.
        alike: pairs that nothing recorded separates, although everything is recorded for both.
        open: pairs that nothing recorded separates, where something is recorded for only one of them.
        thin: pairs that one feature alone separates.
        close: pairs that something separates, but also a length by less than its tool can tell.
    """

    backs: tuple[str, ...]
    alike: tuple[Separation, ...]
    open: tuple[Separation, ...]
    thin: tuple[Separation, ...]
    close: tuple[Separation, ...]


@kept
def siblings(index: Index) -> tuple[Siblings, ...]:
    """Every group of two or more backs of one line, maker and count; refuted ones do not count.

    Of a larger group the first :data:`MOST_SIBLINGS` are compared.
    """
    found = []
    for ids in index.backs_by_group.values():
        group = [full for full in ids if index.backs[full].standing is not Standing.REFUTED]
        if len(group) < 2:
            continue
        alike: list[Separation] = []
        unsure: list[Separation] = []
        thin: list[Separation] = []
        close: list[Separation] = []
        for number, one in enumerate(group[:MOST_SIBLINGS]):
            for other in group[number + 1 : MOST_SIBLINGS]:
                pair = separation(index, one, other)
                if not pair.by:
                    (unsure if pair.unknown else alike).append(pair)
                    continue
                if len(pair.by) == 1:
                    thin.append(pair)
                if pair.close:
                    close.append(pair)
        found.append(Siblings(tuple(group), tuple(alike), tuple(unsure), tuple(thin), tuple(close)))
    return tuple(found)
