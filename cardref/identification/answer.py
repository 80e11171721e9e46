"""What a session answers: values to show or to send on, each with where it comes from.

>>> Look("rope", "rope", 0.5, 2.0).per_effort
0.25
"""

import enum
from collections.abc import Callable
from typing import Any, Generic, TypeVar

from attrs import field, frozen

from cardref.text import clip

__all__ = ["Beside", "Candidate", "Conclusion", "Ending", "Fit", "Look", "Pair", "percent"]

T = TypeVar("T")


def percent(probability: float) -> str:
    """A probability as a person says it: never quite certain.

    >>> percent(0.97), percent(0.9999), percent(0.001)
    ('97 %', 'over 99 %', 'under 1 %')
    """
    if probability >= 0.995:
        return "over 99 %"
    return "under 1 %" if probability < 0.005 else f"{100.0 * probability:.0f} %"


@frozen
class _Known(Generic[T]):
    """Stands for what would be worked out, in an answer that is sent on without the table and the records."""

    value: T

    def __call__(self, *_: str) -> T:
        return self.value


@frozen
class Fit:
    """One thing that was seen, beside what is recorded of one candidate.

    Attributes:
        candidate, feature: whose cell it is.
        title: what to call the feature.
        seen: what was read, in words.
        recorded: what is recorded, in words.
        agrees: whether the two agree; None where nothing is recorded or the feature does not apply.
        by: the features whose readings told it, where this one was not read itself.
    """

    candidate: str
    feature: str
    title: str
    seen: str
    recorded: str
    agrees: bool | None
    by: tuple[str, ...] = ()
    _source: Callable[[str, str], object] = field(default=lambda *_: None, repr=False, eq=False)

    @property
    def where(self) -> object:
        """Where the recorded state comes from, as the maker of the table tells it."""
        return self._source(self.candidate, self.feature)

    def __reduce__(self) -> tuple[Any, ...]:
        told = (self.candidate, self.feature, self.title, self.seen, self.recorded, self.agrees, self.by)
        return type(self), (*told, _Known(self.where))

    def __str__(self) -> str:
        seen = f"{self.title}: {self.seen}"
        if self.by:
            seen += f" (by {', '.join(clip(name, 40) for name in self.by)})"
        return seen if self.agrees else f"{seen}, recorded: {self.recorded}"


@frozen
class Candidate:
    """A candidate with its probability, provided that it is one of the recorded ones at all.

    Attributes:
        id: which one.
        posterior: its probability.
        title: what its table calls it; may be empty.
    """

    id: str
    posterior: float
    title: str = ""
    _fits: Callable[[str], tuple[Fit, ...]] = field(default=lambda _: (), repr=False, eq=False)

    @property
    def name(self) -> str:
        """What to call it in a sentence, safe to print."""
        return clip(self.title or self.id, 80)

    @property
    def fits(self) -> tuple[Fit, ...]:
        """Everything seen beside what is recorded of this candidate, in the order of the features."""
        return self._fits(self.id)

    @property
    def matches(self) -> tuple[Fit, ...]:
        """What speaks for it."""
        return tuple(fit for fit in self.fits if fit.agrees)

    @property
    def misfits(self) -> tuple[Fit, ...]:
        """What speaks against it: each of these was misread, or is recorded wrongly, if it is the one."""
        return tuple(fit for fit in self.fits if fit.agrees is False)

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self.id, self.posterior, self.title, _Known(self.fits))

    def __str__(self) -> str:
        return f"{self.name} ({percent(self.posterior)})"


@frozen
class Look:
    """A feature that was not looked at yet, and what a look would be worth.

    Attributes:
        feature: its id.
        title: what to call it.
        bits: expected information on which candidate it is.
        effort: cost of the look, relative to a glance (1).
    """

    feature: str
    title: str
    bits: float
    effort: float

    @property
    def per_effort(self) -> float:
        """Bits by effort: the order in which looks are proposed."""
        return self.bits / self.effort

    def __str__(self) -> str:
        return f"{self.title} ({self.bits:.2f} bit)"


@frozen
class Pair:
    """Two candidates that nothing left to look at tells apart.

    Attributes:
        one, other: their ids.
        tried: the features that do tell them apart, all looked at already: could not be seen, were read too
            coarsely, or speak against what else was seen. Empty where no recorded feature does.
    """

    one: str
    other: str
    tried: tuple[str, ...] = ()


class Ending(enum.StrEnum):
    """How far the looks have led."""

    IDENTIFIED = "identified"
    OPEN = "open"
    ALIKE = "cannot be told apart"
    UNRECORDED = "probably not recorded"


@frozen
class Conclusion:
    """What can be said now, and whether to go on.

    Attributes:
        ending: identified; open (some remain, and ``looks`` would split them); cannot be told apart by what
            is left to look at (``pairs`` says which, and why); or probably not recorded.
        remaining: the most probable candidates, as many as it takes to reach the threshold, at most 20.
        count: how many those are when all are counted.
        looks: what would be worth looking at, best first.
        pairs: for "cannot be told apart": the pairs among ``remaining``. Not transitive where something is
            not recorded: one may be told from neither of two that are told apart.
    """

    ending: Ending
    remaining: tuple[Candidate, ...]
    count: int
    looks: tuple[Look, ...]
    pairs: tuple[Pair, ...] = ()


@frozen
class Beside:
    """What the looks say of a candidate kept beside, such as a known copy. It takes no part in the belief.

    Attributes:
        id, name: which one, and what to call it.
        of, of_name: the candidate it is compared with: the most probable of those that it could be taken for.
        bits: how strongly the looks speak for it rather than for ``of``; below 0 against it; 0 where nothing
            looked at tells the two apart. (Logarithm of the ratio of likelihoods, base 2.)
        fits: everything seen beside what is recorded of it.
        looks: what would settle it, best first; a look with 1 bit would settle it entirely. Empty where
            nothing recorded would.
    """

    id: str
    name: str
    of: str
    of_name: str
    bits: float
    fits: tuple[Fit, ...]
    looks: tuple[Look, ...]
