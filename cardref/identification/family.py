"""Features that hang on others: a strap has a colour only where there is a strap.

Who looks at a child looks at its parent as well: the child is read only where the parent is *read* as one of
the states in which the child applies. So a clash is counted once, at the parent: a candidate without a strap
is charged with one misread of the strap, however many details of the strap were read. A reading of a child
says something about a parent that nobody read, and so does "does not apply".

The likelihood of all readings of one family is a sum over the ways in which the unread parents may have been
read. It is exact, and worked out on whole sets of candidates at once, from the children up.

Readings of which one must be wrong, such as no strap and a red one, cannot be explained together. Then the
parent's reading stands, and the child's is *loose*: it is compared with those candidates for which the child
is recorded, and says nothing about its parent.

>>> from cardref.identification.feature import Feature
>>> from cardref.identification.reading import read
>>> strap = Feature("strap", "presence")
>>> hue = Feature("hue", "choice", ("red", "blue"), parent="strap", when="present")
>>> table = Table([strap, hue], {"a": {"strap": "present", "hue": "red"}, "b": {"strap": "absent"}})
>>> Family.of(table, 1, {1: read(hue, "red")}).implied()  # a hue was seen: there is a strap (outcome 0)
{0: (frozenset({0}), (1,))}
>>> list(Family.of(table, 1, {0: read(strap, "absent"), 1: read(hue, "red")}).loose)
[1]
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Final, Literal

from attrs import frozen

from cardref.identification.belief import Parts
from cardref.identification.channel import Row, entropy_of
from cardref.identification.reading import DOES_NOT_APPLY, Blank, Reading
from cardref.identification.table import Column, Table
from cardref.identification.worth import Split

__all__ = ["Family", "likelihood_parts"]

# What is known of one feature of a family: outcomes, or a reading; that it applies or does not.
_Given = frozenset[int] | Reading | Literal["applies"] | Blank
_APPLIES: Final = "applies"


def likelihood_parts(column: Column, given: frozenset[int] | Reading) -> Parts:
    """The candidates by how likely a reading of this feature is, its parents left aside."""
    parts = dict[float, int]()
    for bits, cell in column.classes:
        if isinstance(given, Reading):
            likelihood = column.channel.likelihood(cell, given)
        else:
            likelihood = column.channel.probability(cell, given)
        parts[likelihood] = parts.get(likelihood, 0) | bits
    return [(bits, likelihood) for likelihood, bits in parts.items()]


MOST_REMEMBERED = 256
"""So many readings of a table are remembered with their likelihoods."""


def _remembered(table: Table, number: int, given: frozenset[int] | Reading) -> Parts:
    """The same for the feature with this number; proposing looks asks for the same again and again."""
    parts = table.parts.get((number, given))
    if parts is None:
        if len(table.parts) >= MOST_REMEMBERED:
            table.parts.clear()
        parts = table.parts[number, given] = likelihood_parts(table.columns[number], given)
    return parts


@frozen
class Family:
    """The readings of one family, sorted out. Made by :meth:`of`.

    Attributes:
        table: the table.
        root: the feature on which all others hang.
        members: all features of the family, parents first.
        given: the readings that fit together.
        loose: the readings that contradict those of their parents.
    """

    table: Table
    root: int
    members: tuple[int, ...]
    given: Mapping[int, _Given]
    loose: Mapping[int, Reading]

    @classmethod
    def of(cls, table: Table, number: int, readings: Mapping[int, Reading]) -> "Family":
        """The family of a feature with those of ``readings`` that belong to it."""
        root = table.roots[number]
        members = [root]
        for member in members:
            members.extend(table.columns[member].children)
        family = cls(table, root, tuple(members), {}, {})
        loose = dict[int, Reading]()
        for member in members:
            reading = readings.get(member)
            if reading is None or reading.blank is Blank.COULD_NOT_SEE:
                continue
            given: _Given = reading
            if reading.blank is DOES_NOT_APPLY and table.columns[member].parent >= 0:
                given = DOES_NOT_APPLY
            elif not reading.lengths:
                given = table.columns[member].channel.outcomes_of(reading)
            more = family.with_given(member, given)
            if len(members) == 1 or more.is_possible:
                family = more
            else:
                loose[member] = reading
        return cls(table, root, family.members, family.given, loose)

    def with_given(self, member: int, given: _Given) -> "Family":
        """The same family with one more thing known."""
        return Family(self.table, self.root, self.members, {**self.given, member: given}, self.loose)

    @property
    def parts(self) -> Parts:
        """The candidates by the likelihood of all readings that fit together."""
        return self._from_children_up(self.root)[0]

    @property
    def factors(self) -> list[Parts]:
        """What the belief is multiplied with for this family; nothing where nothing was seen."""
        factors = [self.parts] if self.given else []
        for member, reading in self.loose.items():
            if reading.blank is None:
                factors.append(_remembered(self.table, member, reading))
        return factors

    @property
    def is_possible(self) -> bool:
        """Whether what is given can be explained by one way of reading the parents."""
        return any(likelihood > 0.0 for _, likelihood in self.parts)

    def _has_given(self, member: int) -> bool:
        return member in self.given or any(map(self._has_given, self.table.columns[member].children))

    def _active_children(self, member: int) -> list[int]:
        return [child for child in self.table.columns[member].children if self._has_given(child)]

    def _patterns(self, member: int, children: Iterable[int]) -> dict[tuple[bool, ...], set[int]]:
        """The outcomes of a parent, by which of its children apply with them."""
        whens = [self.table.columns[child].when for child in children]
        patterns = dict[tuple[bool, ...], set[int]]()
        for outcome in range(self.table.columns[member].channel.size):
            patterns.setdefault(tuple(outcome in when for when in whens), set()).add(outcome)
        return patterns

    def _from_children_up(self, member: int) -> tuple[Parts, float]:
        """The likelihood of all given from ``member`` down: where it was read as applying, and where not."""
        everyone = self.table.everyone
        given = self.given.get(member)
        children = self._active_children(member)
        below = [self._from_children_up(child) for child in children]
        lacking = 1.0 if given is None or given is DOES_NOT_APPLY else 0.0
        for _, without in below:
            lacking *= without
        if given is DOES_NOT_APPLY:
            return [(everyone, 0.0)], lacking
        if not below:
            if given is None or given == _APPLIES:
                return [(everyone, 1.0)], lacking
            return _remembered(self.table, member, given), lacking  # type: ignore[arg-type] # blanks are dealt with above
        parts: Parts = [(everyone, 0.0)]
        for pattern, outcomes in self._patterns(member, children).items():
            allowed = outcomes & given if isinstance(given, frozenset) else outcomes
            if not allowed:
                continue
            term = _remembered(self.table, member, frozenset(allowed))
            for (applying, without), applies in zip(below, pattern, strict=True):
                term = _combined(term, applying if applies else [(everyone, without)], float.__mul__)
            parts = _combined(parts, term, float.__add__)
        return parts, lacking

    def implied(self) -> dict[int, tuple[frozenset[int], tuple[int, ...]]]:
        """What the readings of children say of parents that nobody read.

        By parent: the outcomes that it can have been read as, and the children that say so. A parent that may
        be anything is left out.
        """
        found = dict[int, tuple[frozenset[int], tuple[int, ...]]]()
        for member in self.members:
            children = self._active_children(member)
            if member in self.given or not children:
                continue
            feasible = set[int]()
            patterns = self._patterns(member, children)
            for outcomes in patterns.values():
                if self.with_given(member, frozenset(outcomes)).is_possible:
                    feasible |= outcomes
            if len(feasible) < self.table.columns[member].channel.size:
                found[member] = (frozenset(feasible), tuple(children))
        return found

    def split(self, member: int) -> Split:
        """How a look at ``member``, which nobody read, would split the candidates, given all readings."""
        column = self.table.columns[member]
        channel = column.channel
        if column.parent < 0 and not self.given:
            return Split.of(channel.size, [(bits, channel.row(cell)) for bits, cell in column.classes])
        lacking = (
            self.with_given(member, DOES_NOT_APPLY).parts
            if column.parent >= 0
            else [(self.table.everyone, 0.0)]
        )
        if not self._active_children(member):
            applying = self.with_given(member, _APPLIES).parts
            classes = dict[tuple[float, object], tuple[int, Row]]()
            for some, share in _combined(applying, lacking, _first_share):
                for bits, cell in column.classes:
                    if both := some & bits:
                        # Cells that nobody recorded and those that do not apply are read alike.
                        key = (share, cell if isinstance(cell, tuple) else None)
                        had, row = classes.get(key) or (
                            0,
                            _row_if_applying(share, channel.row(cell), channel.size),
                        )
                        classes[key] = (had | both, row)
            return Split.of(channel.size + 1, classes.values())
        vectors: list[tuple[int, tuple[float, ...]]] = [(self.table.everyone, ())]
        for outcome in range(channel.size):
            vectors = _joined(vectors, self.with_given(member, frozenset({outcome})).parts)
        vectors = _joined(vectors, lacking)
        return Split.of(channel.size + 1, [(bits, _row_of(vector)) for bits, vector in vectors])


def _combined(one: Parts, other: Parts, combine: Callable[[float, float], float]) -> Parts:
    parts = dict[float, int]()
    for bits, a in one:
        for more, b in other:
            if both := bits & more:
                value = combine(a, b)
                parts[value] = parts.get(value, 0) | both
    return [(bits, value) for value, bits in parts.items()]


def _joined(
    vectors: list[tuple[int, tuple[float, ...]]], parts: Parts
) -> list[tuple[int, tuple[float, ...]]]:
    joined = dict[tuple[float, ...], int]()
    for bits, vector in vectors:
        for more, value in parts:
            if both := bits & more:
                longer = (*vector, value)
                joined[longer] = joined.get(longer, 0) | both
    return [(bits, vector) for vector, bits in joined.items()]


def _first_share(one: float, other: float) -> float:
    return one / (one + other) if one + other > 0.0 else 0.0


def _row_if_applying(share: float, row: Row, size: int) -> Row:
    """A look at a child that applies with this probability; its last outcome is "does not apply"."""
    base = share * row.base
    extras = (*tuple((n, share * extra) for n, extra in row.extras), (size, 1.0 - share - base))
    return Row(base, extras, entropy_of(base, (extra for _, extra in extras), size + 1))


def _row_of(vector: tuple[float, ...]) -> Row:
    total = sum(vector)
    extras = tuple((n, value / total) for n, value in enumerate(vector)) if total > 0.0 else ((0, 1.0),)
    return Row(0.0, extras, entropy_of(0.0, (extra for _, extra in extras), len(vector)))
