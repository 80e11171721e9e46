"""A reading: what somebody saw for a feature, with its uncertainty.

A state, one of several states, a length with the ruler's resolution, or why there is neither.

>>> colour = Feature("colour", "choice", ("red", "blue", "green"))
>>> str(read(colour, "red")), str(read(colour, {"green", "red"})), str(read(colour, "red|blue"))
('red', 'red or green', 'red or blue')
>>> str(read(colour, "?")), str(read(colour, DOES_NOT_APPLY))
('could not see', 'does not apply')
>>> read(Feature("rope", "length"), "4 mm").lengths
(Measured(value=4.0, slack=1.0, uncertainty=0.4082482904638631),)
"""

import enum
from collections.abc import Mapping
from collections.abc import Set as AbstractSet
from typing import Any, Final

from attrs import frozen

from cardref.errors import UsageError
from cardref.identification.feature import Feature, State, finite
from cardref.identification.ruler import rectangular_uncertainty, ruler_uncertainty
from cardref.model.feature import NOT_APPLICABLE, PRESENCE, FeatureKind
from cardref.text import clip, quoted

__all__ = ["BLANKS", "COULD_NOT_SEE", "DOES_NOT_APPLY", "Blank", "Measured", "Reading", "read"]

MOST_STATES = 1000
"""So many states a reading may name; more is a mistake, and would make work without end."""


class Blank(enum.StrEnum):
    """Why a look gave no state."""

    COULD_NOT_SEE = "could not see"
    DOES_NOT_APPLY = "does not apply"


COULD_NOT_SEE: Final = Blank.COULD_NOT_SEE
DOES_NOT_APPLY: Final = Blank.DOES_NOT_APPLY

# Lengths written as bounds: their resolution is the whole width, not the divisions of a ruler.
_BOUNDS = frozenset({"range", "tolerance"})

BLANKS: Final[Mapping[str, Blank]] = {
    "?": COULD_NOT_SEE,
    "-": DOES_NOT_APPLY,
    NOT_APPLICABLE: DOES_NOT_APPLY,
} | {str(blank): blank for blank in Blank}
"""How it is typed and written in files that a look gave no state."""


@frozen
class Measured:
    """A length read in mm: the value, how far off it can be at most, and its standard uncertainty."""

    value: float
    slack: float
    uncertainty: float

    def __str__(self) -> str:
        return f"{self.value:g} mm"


@frozen
class Reading:
    """What was seen. Made by :func:`read`.

    Attributes:
        states: the state seen, or the several that it may have been; for presence, choice and count.
        lengths: the length read, or the several that it may have been.
        blank: set when there is neither.
    """

    states: tuple[State, ...] = ()
    lengths: tuple[Measured, ...] = ()
    blank: Blank | None = None

    def __str__(self) -> str:
        if self.blank is not None:
            return str(self.blank)
        return " or ".join(clip(str(one), 40) for one in (*self.states, *self.lengths))


def read(feature: Feature, value: object) -> Reading:
    """The reading of ``feature`` that ``value`` stands for.

    Args:
        feature: what was looked at.
        value: a state; for a length a text such as ``"4 mm"``, or any value in mm that has ``value`` and
            ``resolution``, or ``low`` and ``high``. Several of these in a set, list or tuple, or joined by
            ``|`` in a text. ``"?"`` or :data:`COULD_NOT_SEE`; ``"-"`` or :data:`DOES_NOT_APPLY`. A Reading.

    Raises:
        UsageError: the feature cannot be read so; says how it can.
        NotationError: a text that is no length.
    """
    if isinstance(value, Reading):
        return value
    if isinstance(value, str):
        if value in BLANKS:
            return Reading(blank=BLANKS[value])
        several: list[Any] = [part.strip() for part in value.split("|")]
    elif isinstance(value, AbstractSet | list | tuple):
        several = list(value)
    else:
        several = [value]
    if not 0 < len(several) <= MOST_STATES:
        raise UsageError(
            f"{quoted(feature.id)} was read as {len(several)} states: give 1 to {MOST_STATES}, "
            "or '?' where it could not be seen"
        )
    if feature.kind is FeatureKind.LENGTH:
        return Reading(lengths=tuple(sorted({_measured(feature, one) for one in several}, key=_by_value)))
    states = {feature.state(one) for one in several}
    order = feature.states or PRESENCE if feature.kind is not FeatureKind.COUNT else ()
    return Reading(states=tuple(state for state in order if state in states) or tuple(sorted(states)))


def _by_value(length: Measured) -> tuple[float, float]:
    return length.value, length.slack


def _measured(feature: Feature, value: object) -> Measured:
    if isinstance(value, Measured):
        return value
    name = f"the length of {quoted(feature.id)}"
    if isinstance(value, str):
        from cardref.notation.length import Length  # noqa: PLC0415 - only a length given as text needs it

        value = Length.parse(value)
    low, high = getattr(value, "low", None), getattr(value, "high", None)
    if (resolution := getattr(value, "resolution", None)) is not None and hasattr(value, "value"):
        length, slack = finite(value.value, name), finite(resolution, f"the ruler's divisions for {name}")
        if length < 0.0 or slack <= 0.0:
            raise UsageError(f"{name} cannot be {length:g} mm on a ruler divided by {slack:g} mm")
        if getattr(value, "form", "reading") not in _BOUNDS:
            # Each end is off by half a division at most, so the two together by one.
            return Measured(length, slack, ruler_uncertainty(slack))
        low, high = length - slack / 2.0, length + slack / 2.0
    if low is not None and high is not None:
        low, high = finite(low, name), finite(high, name)
        if not 0.0 <= low < high:
            raise UsageError(
                f"{name} cannot be {low:g} to {high:g} mm: a range goes from the smaller to the larger"
            )
        half = (high - low) / 2.0
        return Measured(low + half, half, rectangular_uncertainty(half))
    raise UsageError(
        f"{name} needs a unit and tells the ruler's divisions by its digits, such as '4 mm' or '4.0 mm'; "
        f"{quoted(str(value))} does not"
    )
