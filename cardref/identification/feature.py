"""A feature as the engine sees it: what can be read off it, how often that goes wrong, what a look costs.

>>> colour = Feature("colour", "choice", ("red", "blue"), misread=0.02, effort=2)
>>> colour.state("red"), colour.error
('red', 0.02)
>>> colour.state("blu")
Traceback (most recent call last):
    ...
cardref.errors.UsageError: 'colour' cannot be 'blu'; did you mean blue? There are: red, blue
"""

import math
from collections.abc import Iterable
from typing import Any

from attrs import field, frozen

from cardref.errors import UsageError
from cardref.model.feature import MISREAD, PRESENCE, FeatureKind
from cardref.text import clip, closest, quoted

__all__ = ["LEAST_ERROR", "Feature", "Span", "State", "finite", "meant"]

LEAST_ERROR = 1e-12
"""A misread rate below this is taken as this: nothing read is impossible, so a belief is always defined."""


@frozen(order=True)
class Span:
    """A recorded length: anything from ``low`` to ``high``, in mm."""

    low: float
    high: float

    def __str__(self) -> str:
        return f"{self.low:g} mm" if self.low == self.high else f"{self.low:g}-{self.high:g} mm"


State = str | int | Span
"""What a cell can hold: a word for presence and choice, a whole number for a count, a span for a length."""


def meant(word: str, options: Iterable[str], most: int = 12) -> str:
    """The end of a message about a ``word`` that is none of ``options``: what was meant, what there is."""
    known = list(options)
    near = closest(word.casefold(), known)
    hint = f"; did you mean {' or '.join(clip(name, 40) for name in near)}?" if near else "."
    shown = ", ".join(clip(name, 40) for name in known[:most]) or "none"
    rest = f" and {len(known) - most} more" if len(known) > most else ""
    return f"{hint} There are: {shown}{rest}"


def finite(value: object, what: str) -> float:
    """``value`` as a finite float; else a UsageError that says ``what`` it was to be."""
    if not isinstance(value, bool) and not isinstance(value, str):
        try:
            number = float(value)  # type: ignore[arg-type] # Decimal and Fraction are welcome, others end below
        except (TypeError, ValueError, OverflowError):
            number = math.nan
        if math.isfinite(number):
            return number
    raise UsageError(f"{what} must be a finite number, not {quoted(str(value))}")


def _kind(kind: str) -> FeatureKind:
    try:
        return FeatureKind(kind)
    except ValueError:
        raise UsageError(
            f"no kind of feature is called {quoted(str(kind))}{meant(str(kind), FeatureKind)}"
        ) from None


def _words(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(words)


def _states(states: Any) -> tuple[State, ...]:
    return (states,) if isinstance(states, str | int) else tuple(states)


@frozen
class Feature:
    """One thing that can be seen, counted or measured.

    Args:
        id: its name, in tables and readings.
        kind: ``presence``, ``choice``, ``count`` or ``length``.
        states: the states of a choice, at least one; left out for the other kinds.
        misread: share of looks that go wrong, 0 to 0.5; that of its kind where it is not said.
        effort: what a look costs, relative to a glance (1).
        parent: the feature without which this one is not there; empty for none.
        when: the state or states of the parent in which this feature can be seen.
        resolution: divisions of the ruler that most people have, in mm; only to judge what a look is worth.
        title: what to call it in a sentence; the id where empty.
        given: whether it belongs to the circumstances: what a candidate allows, such as the company that it
            is found in, rather than what it is like. Reading it speaks against the candidates that do not
            allow it, and prefers none of the others, however much else these allow. No such look is
            proposed, for nobody knows how common the circumstances are.

    Raises:
        UsageError: any of these makes no sense.
    """

    id: str
    kind: FeatureKind = field(converter=_kind)
    states: tuple[str, ...] = field(default=(), converter=_words)
    misread: float | None = None
    effort: float = 1.0
    parent: str = ""
    when: tuple[State, ...] = field(default=(), converter=_states)
    resolution: float = 1.0
    title: str = ""
    given: bool = False

    def __attrs_post_init__(self) -> None:
        name = quoted(self.id)
        if self.misread is not None and not 0.0 <= finite(self.misread, f"the misread rate of {name}") <= 0.5:
            raise UsageError(f"the misread rate of {name} must be from 0 to 0.5, not {self.misread}")
        for what in ("effort", "resolution"):
            if finite(getattr(self, what), f"the {what} of {name}") <= 0.0:
                raise UsageError(f"the {what} of {name} must be above 0, not {getattr(self, what)}")
        if self.kind is FeatureKind.CHOICE:
            if not self.states or len(set(self.states)) < len(self.states):
                raise UsageError(f"{name} is a choice: it needs its states, each once")
        elif self.states:
            raise UsageError(f"{name} is a {self.kind}: its states are not listed")
        if self.given and self.kind is FeatureKind.LENGTH:
            raise UsageError(f"{name} is a length: only states can be given by the circumstances")
        if bool(self.parent) != bool(self.when):
            raise UsageError(
                f"{name} needs both a parent and the states of it in which it applies, or neither"
            )

    @property
    def error(self) -> float:
        """The misread rate that counts: the feature's own, else its kind's."""
        return max(LEAST_ERROR, MISREAD[self.kind] if self.misread is None else self.misread)

    @property
    def name(self) -> str:
        """What to call it in a sentence, safe to print."""
        return clip(self.title or self.id, 60)

    def state(self, value: object) -> State:
        """The state that ``value`` stands for: ``True``, ``"present"``, ``25``, ``"25"``, ``"4 mm"`` ...

        A length may be a :class:`Span`, a text, or any value with ``low`` and ``high`` in mm.

        Raises:
            UsageError: this feature has no such state; says which there are.
            NotationError: a text that is no length.
        """
        if self.kind is FeatureKind.COUNT:
            return self._count(value)
        if self.kind is FeatureKind.LENGTH:
            return self._span(value)
        if self.kind is FeatureKind.PRESENCE and isinstance(value, bool):
            return PRESENCE[not value]
        known = self.states or PRESENCE
        if isinstance(value, str) and value in known:
            return str(value)
        shown = clip(str(value), 60)
        raise UsageError(f"{quoted(self.id)} cannot be {quoted(shown)}{meant(shown, known)}")

    def _count(self, value: object) -> int:
        if isinstance(value, str) and value.isdecimal() and len(value) <= 9:
            value = int(value)
        if isinstance(value, int) and not isinstance(value, bool) and 0 <= value < 10**9:
            return int(value)
        raise UsageError(
            f"{quoted(self.id)} is a count: give a whole number from 0, not {quoted(str(value))}"
        )

    def _span(self, value: object) -> Span:
        if isinstance(value, str):
            from cardref.notation.length import Length  # noqa: PLC0415 - only a length given as text needs it

            value = Length.parse(value)
        low, high = getattr(value, "low", None), getattr(value, "high", None)
        if low is None or high is None:
            raise UsageError(f"{quoted(self.id)} is a length: give its range in mm, not {quoted(str(value))}")
        span = Span(*(finite(end, f"the length of {quoted(self.id)}") for end in (low, high)))
        if not 0.0 <= span.low <= span.high:
            raise UsageError(
                f"{quoted(self.id)} cannot be {span}: a range goes from the smaller to the larger"
            )
        return span
