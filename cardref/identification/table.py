"""The table: candidates by features, and what is recorded of each.

>>> table = Table(
...     [Feature("colour", "choice", ("red", "blue")), Feature("tens", "count")],
...     {"one": {"colour": "red", "tens": 10},
...      "two": {"colour": ["red", "blue"]},
...      "three": {"colour": "blue"}},
... )
>>> table.column("colour").cell(table.number("two"))
(('blue', 0.5), ('red', 0.5))
>>> [(column.feature.id, len(column.classes)) for column in table.columns]  # that nothing is recorded is one
[('colour', 3), ('tens', 2)]
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from attrs import evolve, frozen

from cardref.errors import UsageError
from cardref.identification.belief import Belief, Parts, bit_set, everyone, members
from cardref.identification.channel import Cell, Channel, Known
from cardref.identification.feature import Feature, Span, State, finite, meant
from cardref.identification.reading import COULD_NOT_SEE, DOES_NOT_APPLY, Blank
from cardref.identification.worth import Split
from cardref.lazy import cached_property
from cardref.model.feature import NOT_APPLICABLE, FeatureKind
from cardref.text import clip, quoted

__all__ = ["Aside", "Column", "Table", "differ"]


@frozen
class Aside:
    """A candidate kept beside the belief, such as a known copy: see ``Table(beside=...)``.

    Attributes:
        cells: what is recorded of it, by feature.
        of: the candidates that it could be taken for; any where empty.
    """

    cells: Mapping[str, Any]
    of: tuple[str, ...] = ()


@frozen
class Column:
    """One feature of a table.

    Attributes:
        channel: how it is read.
        classes: the different cells, each with the bit set of those that have it; the largest set last.
        parent: the number of the parent feature, or -1.
        when: the outcomes of the parent with which this feature applies.
        children: the numbers of the features whose parent this is.
    """

    channel: Channel
    classes: tuple[tuple[int, Cell], ...]
    parent: int
    when: frozenset[int]
    children: tuple[int, ...]

    @property
    def feature(self) -> Feature:
        """The feature itself."""
        return self.channel.feature

    def cell(self, number: int) -> Cell:
        """What is recorded of a candidate."""
        return next(cell for bits, cell in self.classes if bits >> number & 1)


class Table:
    """Candidates and features, with everything worked out that does not depend on what was seen. Immutable.

    Args:
        features: the features, in the order in which equals are proposed.
        rows: by candidate: what is recorded, by feature. A cell is a state; several in a list, tuple or set
            (each as common as another, a state given twice is twice as common) or in a mapping from state to
            share; :data:`~cardref.identification.reading.DOES_NOT_APPLY` or "not-applicable"; or left out,
            which is "not recorded". Where its parent says that a feature cannot be, the parent is believed.
        prior: how common each candidate is, any positive numbers; all alike where left out.
        beside: candidates that are told about apart and never take part in the belief.
        unrecorded: how probable it is beforehand that the thing is none of the candidates. Assumed; common
            practice, no source.
        least_misread: no feature is taken to be misread less often than this, whatever it says of itself: for
            people who look less closely than those who recorded it.
        titles: what to call candidates and those beside in a sentence; their ids where left out.
        where: asked for where a cell comes from, when somebody wants to know: called with a candidate (or one
            beside) and a feature. What it gives is handed on unread.

    Raises:
        UsageError: a feature, state, parent or candidate that does not exist, or nothing to choose from.

    Attributes:
        candidates: the candidates, in the order of the table.
        asides: those beside, in order; their bits come after the candidates'.
        columns: the features with what is recorded.
        roots: for each feature, the number of the one on which it hangs in the end; itself where on none.
        number_of: the number of each candidate and aside.
        feature_number: the number of each feature.
        parts: how likely some readings are, as far as somebody made them.
        splits: how a first look at each feature splits the candidates, as far as somebody wanted to know.
    """

    def __init__(
        self,
        features: Iterable[Feature],
        rows: Mapping[str, Mapping[str, Any]],
        *,
        prior: Mapping[str, float] | None = None,
        beside: Mapping[str, Aside] | None = None,
        unrecorded: float = 0.01,
        least_misread: float = 0.0,
        titles: Mapping[str, str] | None = None,
        where: Callable[[str, str], object] | None = None,
    ) -> None:
        beside = beside or {}
        catalogue = tuple(_misread_at_least(feature, least_misread) for feature in features)
        if not rows:
            raise UsageError("there are no candidates to choose from")
        if not 0.0 <= finite(unrecorded, "the share of what is not recorded") < 1.0:
            raise UsageError(f"the share of what is not recorded must be from 0 to below 1, not {unrecorded}")
        self.candidates: tuple[str, ...] = tuple(rows)
        self.asides: tuple[str, ...] = tuple(beside)
        self.imitates: tuple[tuple[str, ...], ...] = tuple(tuple(aside.of) for aside in beside.values())
        self.unrecorded = float(unrecorded)
        self.number_of: dict[str, int] = {name: n for n, name in enumerate((*self.candidates, *self.asides))}
        self.feature_number: dict[str, int] = {feature.id: n for n, feature in enumerate(catalogue)}
        self.titles: Mapping[str, str] = dict(titles or {})
        self._where = where
        self.splits: dict[int, Split] = {}
        self.parts: dict[tuple[int, Any], Parts] = {}
        if len(self.number_of) < len(rows) + len(beside):
            raise UsageError(f"both a candidate and beside: {_some(rows.keys() & beside.keys())}")
        if len(self.feature_number) < len(catalogue):
            raise UsageError("two features have one name")
        for name in (name for names in self.imitates for name in names):
            if self.number(name) >= len(self.candidates):
                raise UsageError(
                    f"{quoted(name)} is beside as well: only candidates can be taken for something"
                )
        self.prior: tuple[float, ...] | None = None if prior is None else self._weights(prior)
        self.columns: tuple[Column, ...] = self._columns(
            catalogue, [*rows.values(), *(aside.cells for aside in beside.values())]
        )
        self.roots: tuple[int, ...] = tuple(self._root(n) for n in range(len(catalogue)))

    def _weights(self, prior: Mapping[str, float]) -> tuple[float, ...]:
        if odd := prior.keys() ^ set(self.candidates):
            raise UsageError(f"a prior needs one number for each candidate; not so for {_some(odd)}")
        weights = tuple(finite(prior[name], f"the prior of {quoted(name)}") for name in self.candidates)
        if min(weights) <= 0.0:
            raise UsageError("a prior must be above 0: leave out a candidate that is out of the question")
        return weights

    # --- making the columns

    def _root(self, number: int) -> int:
        while self.columns[number].parent >= 0:
            number = self.columns[number].parent
        return number

    def _columns(self, features: tuple[Feature, ...], rows: list[Mapping[str, Any]]) -> tuple[Column, ...]:
        parents = [self._parent(feature) for feature in features]
        holders = self._holders(features, rows)
        columns = dict[int, Column]()
        for number in _parents_first(features, parents):
            feature, parent, by_cell = features[number], parents[number], holders[number]
            recorded = 0
            for bits in by_cell.values():
                recorded |= bits
            by_cell[None] = by_cell.get(None, 0) | (everyone(len(rows)) & ~recorded)
            when = frozenset[int]()
            if parent >= 0:
                above = columns[parent]
                when = frozenset(above.channel.outcome(above.feature.state(state)) for state in feature.when)
                out = _not_applying(above, when)
                by_cell = {cell: bits & ~out for cell, bits in by_cell.items()}
                by_cell[DOES_NOT_APPLY] = by_cell.get(DOES_NOT_APPLY, 0) | out
            classes = [(bits, cell) for cell, bits in by_cell.items() if bits]
            classes.sort(key=lambda pair: pair[0].bit_count())
            candidates = everyone(len(self.candidates))
            weights = [self._share(bits & candidates) for bits, _ in classes]
            channel = Channel.of(feature, [cell for _, cell in classes], weights)
            children = tuple(child for child, above_it in enumerate(parents) if above_it == number)
            columns[number] = Column(channel, tuple(classes), parent, when, children)
        return tuple(columns[number] for number in range(len(features)))

    def _share(self, bits: int) -> float:
        if self.prior is None:
            return float(bits.bit_count())
        return sum(self.prior[n] for n in members(bits))

    def _parent(self, feature: Feature) -> int:
        if not feature.parent:
            return -1
        if feature.parent not in self.feature_number:
            raise UsageError(
                f"{quoted(feature.id)} hangs on {quoted(feature.parent)}, which is no feature"
                + meant(feature.parent, self.feature_number)
            )
        return self.feature_number[feature.parent]

    def _holders(self, features: tuple[Feature, ...], rows: list[Mapping[str, Any]]) -> list[dict[Cell, int]]:
        """For each feature, who has which cell. Equal values are taken apart only once."""
        raw: list[dict[Any, list[int]]] = [{} for _ in features]
        odd: list[list[tuple[Cell, int]]] = [[] for _ in features]  # what cannot be a key, such as a list
        for number, row in enumerate(rows):
            for name, value in row.items():
                at = self.feature_number.get(name, -1)
                if at < 0:
                    self.column(name)  # raises, and says which features there are
                # True equals 1 and must not be taken for it.
                key = value if type(value) is str or type(value) is int else (type(value), value)
                try:
                    raw[at].setdefault(key, []).append(number)
                except TypeError:
                    odd[at].append((_cell(features[at], value), number))
        holders: list[dict[Cell, int]] = []
        for feature, groups, others in zip(features, raw, odd, strict=True):
            lists = dict[Cell, list[int]]()
            for key, numbers in groups.items():
                value = key[1] if type(key) is tuple else key
                lists.setdefault(_cell(feature, value), []).extend(numbers)
            for cell, number in others:
                lists.setdefault(cell, []).append(number)
            holders.append({cell: bit_set(numbers) for cell, numbers in lists.items()})
        return holders

    # --- looking things up

    def column(self, feature: str) -> Column:
        """The column of a feature.

        Raises:
            UsageError: there is none of that name; says what was probably meant.
        """
        at = self.feature_number.get(feature)
        if at is None:
            shown = clip(str(feature), 60)
            raise UsageError(f"no feature is called {quoted(shown)}{meant(shown, self.feature_number)}")
        return self.columns[at]

    def number(self, candidate: str) -> int:
        """The number of a candidate.

        Raises:
            UsageError: there is none of that name; says what was probably meant.
        """
        at = self.number_of.get(candidate)
        if at is None:
            shown = clip(str(candidate), 60)
            raise UsageError(f"no candidate is called {quoted(shown)}{meant(shown, self.candidates)}")
        return at

    def name(self, number: int) -> str:
        """The candidate, or the one beside, with that number."""
        size = len(self.candidates)
        return self.candidates[number] if number < size else self.asides[number - size]

    def where(self, candidate: str, feature: str) -> object:
        """Where a cell comes from, as the maker of the table tells it; None where it does not."""
        return None if self._where is None else self._where(candidate, feature)

    @property
    def everyone(self) -> int:
        """The set of all candidates and all beside."""
        return everyone(len(self.number_of))

    @cached_property
    def belief(self) -> Belief:
        """The belief before anything was seen."""
        return Belief.even(len(self.candidates)) if self.prior is None else Belief.given(self.prior)


def _misread_at_least(feature: Feature, rate: float) -> Feature:
    return feature if feature.error >= rate else evolve(feature, misread=rate)


def differ(one: Cell, other: Cell) -> bool:
    """Whether two cells surely differ: both recorded, and nothing that both could be."""
    if one is None or other is None:
        return False
    if one is DOES_NOT_APPLY or other is DOES_NOT_APPLY:
        # Where one applies and the other does not, it is the parent that tells them apart.
        return False
    assert isinstance(one, tuple)  # noqa: S101 - said for the type checker: a cell is nothing else
    assert isinstance(other, tuple)  # noqa: S101 - the same
    return not any(_meet(a, b) for a, _ in one for b, _ in other)


def _meet(a: State | Blank, b: State | Blank) -> bool:
    """Whether two states can be one thing. Ranges that only touch, such as those of 1 mm and 2 mm, cannot."""
    if a == b or not isinstance(a, Span) or not isinstance(b, Span):
        return a == b
    low, high = max(a.low, b.low), min(a.high, b.high)
    return low < high or (low == high and (a.low == a.high or b.low == b.high))


def _not_applying(above: Column, when: frozenset[int]) -> int:
    """Who surely lacks what applies only ``when`` the feature ``above`` is in one of these states."""
    out = 0
    for bits, cell in above.classes:
        if cell is DOES_NOT_APPLY or (
            isinstance(cell, tuple) and not any(above.channel.outcome(state) in when for state, _ in cell)
        ):
            out |= bits
    return out


def _cell(feature: Feature, value: Any) -> Cell:
    if value is None or value is COULD_NOT_SEE:
        return None
    if _is_lacking(value):
        return _lacking(feature)
    if isinstance(value, Mapping):
        shares = {state: finite(share, f"a share of {quoted(feature.id)}") for state, share in value.items()}
    elif isinstance(value, list | tuple | set | frozenset):
        shares = dict[Any, float]()
        for state in value:
            shares[state] = shares.get(state, 0.0) + 1.0
    else:
        return ((feature.state(value), 1.0),)
    if not shares or min(shares.values()) <= 0.0:
        raise UsageError(
            f"{quoted(feature.id)} needs states with shares above 0; leave out what is not recorded"
        )
    known = dict[State | Blank, float]()
    for state, share in shares.items():
        if not _is_lacking(state):
            of = feature.state(state)
            known[of] = known.get(of, 0.0) + share
        elif not feature.parent:  # else the parent's cell tells how often
            known[DOES_NOT_APPLY] = share
    total = sum(known.values())
    return tuple((state, known[state] / total) for state in sorted(known, key=_order)) or _lacking(feature)


def _is_lacking(state: object) -> bool:
    return isinstance(state, str) and state in (DOES_NOT_APPLY, NOT_APPLICABLE)


def _lacking(feature: Feature) -> Cell:
    if feature.parent:
        return DOES_NOT_APPLY
    if feature.kind is FeatureKind.LENGTH:
        raise UsageError(
            f"{quoted(feature.id)} is a length that does not apply to all: give it a parent feature"
        )
    known: Known = ((DOES_NOT_APPLY, 1.0),)
    return known


def _order(state: State | Blank) -> tuple[Any, ...]:
    return isinstance(state, Blank), state


def _parents_first(features: tuple[Feature, ...], parents: list[int]) -> list[int]:
    """The numbers of the features, every parent before its children."""
    order: list[int] = []
    placed = set[int]()
    while len(order) < len(parents):
        ready = [n for n, p in enumerate(parents) if n not in placed and (p < 0 or p in placed)]
        if not ready:
            loop = [feature.id for n, feature in enumerate(features) if n not in placed]
            raise UsageError(f"features that hang on one another in a circle: {_some(loop)}")
        order += ready
        placed.update(ready)
    for n, parent in enumerate(parents):
        if parent >= 0 and features[parent].kind is FeatureKind.LENGTH:
            raise UsageError(f"{quoted(features[n].id)} hangs on a length: only states can be its parent's")
    return order


def _some(names: Iterable[str]) -> str:
    known = sorted(names)
    rest = f" and {len(known) - 5} more" if len(known) > 5 else ""
    return ", ".join(quoted(name) for name in known[:5]) + rest
