"""Where a reference is blind, and which look would help most: a to-do list for contributors.

Backs are compared with those of the same line, maker and count, as :mod:`cardref.facts.separation` compares
them: everything else is told apart by counting the pictures. What recording an unknown state would separate
is an expectation: the state may turn out to be the same. It is taken to be distributed as it is on the
recorded backs of the maker (of the line, where fewer than three are recorded).

>>> from cardref.reference import load
>>> found = gaps(load().index, line="tidewrack", maker="quay-marl")
>>> found.pairs[0].one, found.pairs[0].other, found.pairs[0].kind.value
('tidewrack/quay-marl/b-011', 'tidewrack/quay-marl/b-012', 'nothing tells them apart')
"""

import enum
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from attrs import frozen

from cardref.errors import UsageError
from cardref.facts.cards import missing
from cardref.facts.features import features_of_line, overlap, states_of
from cardref.facts.separation import MOST_SIBLINGS, Separation, separation
from cardref.identification.sights import OWN
from cardref.index import Index
from cardref.model.evidence import Standing
from cardref.model.feature import NOT_APPLICABLE, Feature
from cardref.text import quoted

__all__ = ["SETTLED", "Gaps", "OpenCard", "Pair", "PairKind", "Unknown", "gaps"]

CLAIMED = "claimed-total"
"""What a back says in words is recorded in a field of its own, and is asked for like a feature."""

FEW = 3
"""With fewer recorded backs than this, a maker's own states say nothing about how they are distributed."""


SETTLED = (Standing.CONFIRMED, Standing.REFUTED)
"""A card of such a standing is no gap."""


class PairKind(enum.StrEnum):
    """How two backs stand to each other."""

    NEVER = "nothing tells them apart"
    SIGNS = "only signs of copies tell them apart"
    ONCE = "one look tells them apart"


@frozen
class Pair:
    """Two backs with one count that are hard to tell apart, or not at all.

    Attributes:
        kind: how hard.
        one, other: full ids.
        by: the features that tell them apart, the most reliable first.
        misread: how often the best of these goes wrong; 1 where there is none.
        close: lengths that differ by less than their tool can tell.
        unknown: features recorded for only one of the two, signs of copies left aside: looking at the other
            might tell.
    """

    kind: PairKind
    one: str
    other: str
    by: tuple[str, ...]
    misread: float
    close: tuple[str, ...]
    unknown: tuple[str, ...]


@frozen
class Unknown:
    """A state that nobody recorded, and what recording it would do.

    Attributes:
        back: full id.
        feature: its name; ``claimed-total`` for what the back says in words.
        title, where, how, tool, effort: what it is, where and how to look, with what, and at what cost.
        separates: how many pairs that nothing tells apart it is expected to separate.
        strengthens: how many pairs that hang on one look, or on signs of copies, it is expected to help.
        others: how many further pairs it is expected to separate once more.
        from_backs: the backs that it might be told from, and is not or hardly now.
        also: those of them of which it has to be recorded as well.
    """

    back: str
    feature: str
    title: str
    where: str
    how: str
    tool: str
    effort: float
    separates: float
    strengthens: float
    others: float
    from_backs: tuple[str, ...]
    also: tuple[str, ...]

    @property
    def rank(self) -> tuple[float, float, float, float]:
        """Smaller is to be recorded earlier."""
        return -self.separates, -self.strengthens, self.effort, -self.others


@frozen
class OpenCard:
    """A card neither confirmed nor refuted.

    Attributes:
        figure, back: full ids.
        standing: of the best record; None where none is recorded at all, although it could exist.
        cards: full ids of the records.
        faces: full ids of the fronts that it could have, where none is recorded.
    """

    figure: str
    back: str
    standing: Standing | None
    cards: tuple[str, ...] = ()
    faces: tuple[str, ...] = ()


@frozen
class Gaps:
    """What a reference cannot tell.

    Attributes:
        backs: how many backs were compared.
        compared: how many pairs of them.
        pairs: those that are hard to tell apart: the hopeless first, then the most fragile.
        unknown: states that nobody recorded, the most useful first.
        cards: cards neither confirmed nor refuted, by back.
    """

    backs: int
    compared: int
    pairs: tuple[Pair, ...]
    unknown: tuple[Unknown, ...]
    cards: tuple[OpenCard, ...]

    @property
    def next(self) -> Unknown | None:
        """The state that it would help most to record; None where recording none would help."""
        return next((one for one in self.unknown if one.separates or one.strengthens or one.others), None)


def gaps(index: Index, line: str = "", maker: str = "") -> Gaps:
    """The gaps of a dataset, or of one line or maker (short ids) of it.

    Errors: UsageError for a line or maker without backs, as a misspelt one is.
    """
    groups = [
        [full for full in ids if index.backs[full].standing is not Standing.REFUTED]
        for (of_line, of_maker, _), ids in index.backs_by_group.items()
        if line in ("", of_line) and maker in ("", of_maker)
    ]
    if not groups and (line or maker):
        asked = " of ".join(quoted(one) for one in (maker, line) if one)
        raise UsageError(f"no backs of {asked} are recorded: nothing was compared")
    pairs: list[Pair] = []
    unknown: list[Unknown] = []
    compared = 0
    catalogues = _Catalogues(index)
    for group in groups:
        siblings = group[:MOST_SIBLINGS]
        kinds: dict[frozenset[str], PairKind | None] = {}
        for number, one in enumerate(siblings):
            for other in siblings[number + 1 :]:
                compared += 1
                pair = _pair(index, separation(index, one, other))
                kinds[frozenset((one, other))] = pair.kind if pair else None
                if pair is not None:
                    pairs.append(pair)
        for back in siblings:
            unknown += _unknown(catalogues, back, siblings, kinds)
    order = list(PairKind)
    pairs.sort(key=lambda pair: (order.index(pair.kind), -pair.misread))
    unknown.sort(key=lambda one: one.rank)
    return Gaps(
        sum(map(len, groups)), compared, tuple(pairs), tuple(unknown), tuple(_cards(index, line, maker))
    )


def _pair(index: Index, apart: Separation) -> Pair | None:
    """What is to be said of two backs; None where more than one look tells them apart."""
    features = features_of_line(index, apart.one.partition("/")[0])
    telling = [one for one in apart.by if not _is_sign(features.get(one.feature))]
    if len(telling) > 1:
        return None
    if telling:
        kind, misread = PairKind.ONCE, telling[0].misread
    elif apart.by:
        kind, misread = PairKind.SIGNS, apart.by[0].misread
    else:
        kind, misread = PairKind.NEVER, 1.0
    ordered = [*telling, *(one for one in apart.by if one not in telling)]
    return Pair(
        kind,
        apart.one,
        apart.other,
        tuple(_FIELDS.get(one.feature, one.feature) for one in ordered),
        misread,
        tuple(one.feature for one in apart.close),
        tuple(_FIELDS.get(one, one) for one in apart.unknown if not _is_sign(features.get(one))),
    )


_FIELDS = {"claimed total": CLAIMED, "series": "series-back"}
"""What separates backs beside features, by the names under which people look at it."""


def _is_sign(feature: Feature | None) -> bool:
    return feature is not None and feature.sign is not None


# --- unknown states --------------------------------------------------------------------------------------


class _Catalogues:
    """The features that can be recorded of backs, and how their states are distributed."""

    def __init__(self, index: Index) -> None:
        self.index = index
        self._of_line: dict[str, dict[str, Feature]] = {}
        self._rates: dict[tuple[str, str], dict[str, dict[str, float]]] = {}

    def features(self, line: str) -> Mapping[str, Feature]:
        """Slug -> feature, those that some back of the line has a state of; no signs of copies."""
        if line not in self._of_line:
            there = {
                slug
                for full, back in self.index.backs.items()
                if full.startswith(f"{line}/")
                for slug in back.features
            }
            self._of_line[line] = {
                slug: feature
                for slug, feature in features_of_line(self.index, line).items()
                if slug in there and not _is_sign(feature)
            }
        return self._of_line[line]

    def states(self, full: str, slug: str) -> tuple[str, ...]:
        """What is recorded of a back, or follows; () where nothing is."""
        if slug == CLAIMED:
            back = self.index.backs[full]
            if back.claimed is None:
                return ()
            return ("same" if back.claimed == back.count else str(back.claimed),)
        return states_of(self.index, full).get(slug, ())

    def rates(self, full: str, slug: str) -> Mapping[str, float]:
        """How often each state is recorded among the backs of the maker, else of the line."""
        line, maker, _ = full.split("/")
        own = self._counted(line, maker).get(slug, {})
        if sum(own.values()) < FEW:
            own = self._counted(line, "").get(slug, {})
        total = sum(own.values())
        return {state: count / total for state, count in own.items()}

    def _counted(self, line: str, maker: str) -> Mapping[str, Mapping[str, float]]:
        key = line, maker
        if key not in self._rates:
            found: dict[str, Counter[str]] = {}
            for full in self.index.backs:
                if full.startswith(f"{line}/{maker}/" if maker else f"{line}/"):
                    for slug in (*self.features(line), CLAIMED):
                        states = self.states(full, slug)
                        for state in states:
                            if state != NOT_APPLICABLE:
                                found.setdefault(slug, Counter())[state] += 1
            self._rates[key] = {slug: dict(counts) for slug, counts in found.items()}
        return self._rates[key]


def _unknown(
    catalogues: _Catalogues,
    back: str,
    siblings: Sequence[str],
    kinds: Mapping[frozenset[str], PairKind | None],
) -> Iterator[Unknown]:
    """What is not recorded of one back, with what recording it would do among its siblings."""
    line, maker, _ = back.split("/")
    features: dict[str, Feature | None] = dict(catalogues.features(line))
    features[CLAIMED] = None
    for slug, feature in features.items():
        if feature is not None and feature.makers and f"maker/{maker}" not in feature.makers:
            continue
        if catalogues.states(back, slug):
            continue
        rates = catalogues.rates(back, slug)
        worth = dict.fromkeys((*PairKind, None), 0.0)
        hard: list[str] = []
        also: list[str] = []
        for other in siblings:
            if other == back:
                continue
            kind = kinds[frozenset((back, other))]
            known = catalogues.states(other, slug)
            chance = _chance(feature, rates, known)
            worth[kind] += chance
            if kind is not None and chance > 0.0:
                hard.append(other)
                if not known:
                    also.append(other)
        yield Unknown(
            back,
            slug,
            *_looked_at(feature),
            worth[PairKind.NEVER],
            worth[PairKind.ONCE] + worth[PairKind.SIGNS],
            worth[None],
            tuple(hard),
            tuple(also),
        )


def _looked_at(feature: Feature | None) -> tuple[str, str, str, str, float]:
    """What a feature is called, where and how to look, with what, and at what cost; None for the total."""
    if feature is not None:
        return feature.title, feature.where, feature.how, feature.tool.value, feature.effort
    total = OWN[CLAIMED]
    how = "Read how many figures it says there are; `none` where it says nothing."
    return total.feature.title, total.where, how, total.tool, total.feature.effort


def _chance(feature: Feature | None, rates: Mapping[str, float], known: tuple[str, ...]) -> float:
    """How probable it is that a state not yet recorded tells a back from one of which ``known`` is recorded.

    Where nothing is recorded of the other either, each of the two recordings is half of the work.
    """
    if NOT_APPLICABLE in known:
        return 0.0  # its parent tells
    if known:
        return sum(
            rate for state, rate in rates.items() if not any(_same(feature, state, one) for one in known)
        )
    both = sum(
        a * b for one, a in rates.items() for other, b in rates.items() if not _same(feature, one, other)
    )
    return both / 2.0


def _same(feature: Feature | None, one: str, other: str) -> bool:
    return one == other if feature is None else overlap(feature, one, other)


# --- cards -----------------------------------------------------------------------------------------------


def _cards(index: Index, line: str, maker: str) -> Iterator[OpenCard]:
    found: dict[str, list[OpenCard]] = {}
    settled: dict[tuple[str, str], Standing] = {}
    records: dict[tuple[str, str], list[str]] = {}
    for full, card in index.cards.items():
        of_line, of_maker, _ = full.split("/")
        face = index.faces.get(card.face)
        if face is None or line not in ("", of_line) or maker not in ("", of_maker):
            continue
        key = face.figure, card.back
        records.setdefault(key, []).append(full)
        settled[key] = min(settled.get(key, card.standing), card.standing, key=_BEST.index)
    for (figure, back), standing in settled.items():
        if standing not in SETTLED:
            cards = tuple(records[figure, back])
            found.setdefault(back, []).append(OpenCard(figure, back, standing, cards))
    for one in missing(index, line, maker):
        found.setdefault(one.back, []).append(OpenCard(one.figure, one.back, None, (), one.faces))
    for back in index.backs:
        yield from found.pop(back, ())
    for rest in found.values():  # on a back that is not recorded
        yield from rest


_BEST = [*SETTLED, Standing.REPORTED, Standing.DISPUTED, Standing.UNVERIFIED]
"""A pairing is settled by its best record: that another record of it is only reported changes nothing."""
