"""A length read off a ruler, with how finely it was read; exact, in millimetres.

A reading is a value and a resolution. The way of writing implies the resolution, unless it is stated:

>>> for text in ("3 mm", "1,5mm", "0.1 cm", '1/16"', "about 3 mm", "2-3 mm", "3 ± 0.5 mm"):
...     length = Length.parse(text)
...     print(f"{str(length):12} {length.value} mm, resolution {length.resolution} mm")
3 mm         3 mm, resolution 1 mm
1.5 mm       3/2 mm, resolution 1/10 mm
1 mm         1 mm, resolution 1 mm
1/16 in      127/80 mm, resolution 127/80 mm
about 3 mm   3 mm, resolution 2 mm
2-3 mm       5/2 mm, resolution 1 mm
3 ± 0.5 mm   3 mm, resolution 1 mm
>>> Length.parse("5 mm to the nearest 5 mm").high
Fraction(15, 2)

What is exactly taken (a blank before the unit may be left out, and so may those round ``±``)::

    reading      NUMBER UNIT                 3 mm      1.5mm     1,5 mm    1/16 in   1 1/2"
    stated       NUMBER UNIT to the nearest NUMBER UNIT        10 mm to the nearest 5 mm
    about        about, then one of the two                    about 3 mm
    range        NUMBER-NUMBER UNIT          2-3 mm    2–3 mm
    tolerance    NUMBER ± NUMBER UNIT        3 ± 0.5 mm        3 +/- 0.5 mm
    NUMBER       3   1.5   1,5   1/16   1 1/16
    UNIT         mm   cm   in   "

What is written implies:

- decimals: one of the last place (``3.0 mm`` was read to 0.1 mm, ``3 mm`` to 1 mm);
- a fraction: one of its parts (``2/16 in`` was read to 1/16 in, ``1/8 in`` to 1/8 in);
- ``about``: twice as coarse as without (our own convention);
- a range or a tolerance: its whole width.

A value *v* read with resolution *r* may be anything from *v* - *r*/2 to *v* + *r*/2 (JCGM 100:2008, F.2.2.1),
and nothing below 0. A comma before three digits is refused: ``1,500 mm`` is 1.5 mm to some, 1.5 m to others.
An inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

from fractions import Fraction
from functools import lru_cache
from typing import Final, Literal, NoReturn, Self, final

from cardref.errors import NotationError
from cardref.notation.value import Value, must_be_text

__all__ = ["LONGEST", "UNITS", "Form", "Length"]

Form = Literal["reading", "about", "range", "tolerance"]

UNITS: Final[dict[str, Fraction]] = {
    "mm": Fraction(1),
    "cm": Fraction(10),
    "in": Fraction(254, 10),
    '"': Fraction(254, 10),
}
"""How many millimetres a unit is."""

LONGEST: Final = 10_000
"""No length of more millimetres is taken: a card is not ten metres long."""

# Exactness needs a limit, or a number of a thousand digits would be carried through every sum.
_FINEST: Final = 10**9
_MOST_DIGITS: Final = 20
_DIGITS: Final = frozenset("0123456789")
_EXPECTED: Final = "a length with its unit, such as 3 mm, 1.5 cm, 1/16 in, 2-3 mm or about 3 mm"
_NEAREST: Final = " to the nearest "
_ABOUT: Final = "about "


@final
class Length(Value):
    """A length and how finely it was read. All numbers are exact, in millimetres.

    Equal lengths say the same thing in the same form: ``0.1 cm`` equals ``1 mm``, but not ``0.5-1.5 mm``.
    There is no ``<``: see :meth:`before`, and :attr:`sort_key` for a list in a settled order.

    Attributes:
        value: what was read; the middle of a range.
        resolution: how finely: the steps of the ruler, or the width of a range.
        form: ``"reading"``, ``"about"``, ``"range"`` or ``"tolerance"``.
        low: the least that it can be, never below 0.
        high: the most that it can be.

    Raises:
        NotationError: where a number is out of bounds.
        TypeError: where value or resolution is neither int nor Fraction.
        ValueError: where the form is none of the four.
    """

    __slots__ = ("form", "high", "low", "resolution", "value")

    value: Fraction
    resolution: Fraction
    form: Form
    low: Fraction
    high: Fraction

    def __init__(self, value: Fraction | int, resolution: Fraction | int, form: Form = "reading") -> None:
        for number in (value, resolution):
            # A float is not what was written, and a bool is no number here.
            if type(number) is not int and not isinstance(number, Fraction):
                raise TypeError(f"a length is made of int or Fraction, not {type(number).__name__}")
        if form not in ("reading", "about", "range", "tolerance"):
            raise ValueError("a length is a reading, about, a range or a tolerance")
        value, resolution = Fraction(value), Fraction(resolution)
        problem = _out_of_bounds(value, resolution, form)
        if problem:
            # The numbers may have thousands of digits, which are not shown.
            raise NotationError("", (0, 0), _EXPECTED, problem)
        put = object.__setattr__
        put(self, "value", value)
        put(self, "resolution", resolution)
        put(self, "form", form)
        put(self, "low", max(Fraction(0), value - resolution / 2))
        put(self, "high", value + resolution / 2)

    @classmethod
    def between(cls, low: Fraction | int, high: Fraction | int) -> Self:
        """The range from ``low`` to ``high``, in millimetres.

        >>> print(Length.between(2, 3))
        2-3 mm
        """
        return cls(Fraction(low + high) / 2, Fraction(high - low), "range")

    @classmethod
    def parse(cls, text: str) -> "Length":
        """The length that ``text`` writes, exactly in one of the forms above.

        Raises:
            NotationError: with the span at fault, and what was probably meant.
            TypeError: not a string.
        """
        must_be_text(text, "a length")
        # A subclass of str may have a hash of its own; a long text is wrong anyway.
        text = str.__str__(text)
        return _remembered(text) if len(text) <= 64 else _read(text)

    @classmethod
    def is_valid(cls, text: object) -> bool:
        """Whether :meth:`parse` would take it; never raises, whatever is given."""
        return isinstance(text, str) and _is_well_written(str.__str__(text))

    def before(self, other: "Length") -> bool | None:
        """Whether this is surely shorter than ``other``: True, False, or None where that is not known.

        >>> one, three = Length.parse("1 mm"), Length.parse("3 mm")
        >>> print(one.before(three), three.before(one), one.before(Length.parse("1.2 mm")))
        True False None
        """
        _must_be_length(other)
        if self.high < other.low:
            return True
        return False if self.low >= other.high else None

    def within(self, other: "Length") -> bool | None:
        """Whether this surely lies in the bounds of ``other``: True, False, or None where not known.

        >>> state = Length.parse("2-4 mm")
        >>> print(*(Length.parse(text).within(state) for text in ("3 mm", "7 mm", "4 mm")))
        True False None
        """
        _must_be_length(other)
        if other.low <= self.low and self.high <= other.high:
            return True
        return False if self.high < other.low or self.low > other.high else None

    @property
    def sort_key(self) -> tuple[Fraction, Fraction, str]:
        """A key that settles the order of a list: by value, then by resolution, then by form."""
        return self.value, self.resolution, self.form

    def __str__(self) -> str:
        half = self.resolution / 2
        if self.form == "range":
            return f"{_number(self.value - half)}-{_number(self.value + half)} mm"
        if self.form == "tolerance":
            return f"{_number(self.value)} ± {_number(half)} mm"
        if self.form == "about":
            return _ABOUT + _reading(self.value, half)
        return _reading(self.value, self.resolution)

    def __repr__(self) -> str:
        return f"Length({str(self)!r})"

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Length):
            return NotImplemented
        return self.sort_key == other.sort_key

    def __hash__(self) -> int:
        return hash(self.sort_key)

    def __reduce__(self) -> tuple[object, ...]:
        return Length, (self.value, self.resolution, self.form)


def _must_be_length(other: object) -> None:
    if not isinstance(other, Length):
        raise TypeError(f"a Length is compared with a Length, not {type(other).__name__}")


def _out_of_bounds(value: Fraction, resolution: Fraction, form: Form) -> str:
    """What is wrong with these numbers, or ""."""
    if value < 0 or (form == "range" and value < resolution / 2):
        return "a length is not negative"
    if resolution <= 0:
        if form == "range":
            return "the range runs backwards" if resolution else "a range has two different ends"
        return "every reading leaves some doubt"
    if value > LONGEST or resolution > LONGEST:
        return f"longer than {LONGEST} mm"
    if value.denominator > _FINEST or resolution.denominator > _FINEST:
        return "finer than any ruler"
    return ""


def _number(number: Fraction) -> str:
    """A number as exactly as it is: with decimals where a few will do, else as a fraction."""
    for places in range(10):
        scaled = number * 10**places
        if scaled.denominator == 1:
            return _decimal(scaled.numerator, places)
    return f"{number.numerator}/{number.denominator}"


def _decimal(count: int, places: int) -> str:
    """``count`` of the last of so many decimal places."""
    digits = f"{count:0{places + 1}}"
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits


def _reading(value: Fraction, resolution: Fraction) -> str:
    """A reading in the first unit whose way of writing implies the resolution, else with it stated."""
    steps = value / resolution
    for unit in ("mm", "cm", "in"):
        parts = UNITS[unit] / resolution
        if steps.denominator == parts.denominator == 1:
            places = len(str(parts.numerator)) - 1
            if parts == 10**places:
                return f"{_decimal(steps.numerator, places)} {unit}"
            # Only inches are commonly divided otherwise.
            if unit == "in":
                return f"{_in_parts(steps.numerator, parts.numerator)} {unit}"
    return f"{_number(value)} mm{_NEAREST}{_number(resolution)} mm"


def _in_parts(steps: int, parts: int) -> str:
    """``steps`` of so many parts to the unit, not reduced: the parts say how finely it was read."""
    whole, rest = divmod(steps, parts)
    return f"{whole} {rest}/{parts}" if whole and rest else f"{steps}/{parts}"


class _Reader:
    """Reads one length from the left; every step moves forward."""

    __slots__ = ("at", "text")

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0

    def fail(self, expected: str, problem: str = "", start: int | None = None) -> NoReturn:
        first = self.at if start is None else start
        last = self.at if start is not None and start < self.at else min(first + 1, len(self.text))
        raise NotationError(self.text, (first, last), expected, problem)

    def take(self, *signs: str) -> str:
        """The first of ``signs`` that stands here, which is passed; else ""."""
        for sign in signs:
            if self.text.startswith(sign, self.at):
                self.at += len(sign)
                return sign
        return ""

    def digits(self, *, leading_zero: bool = False) -> str:
        start = self.at
        stop = min(len(self.text), start + _MOST_DIGITS + 1)
        while self.at < stop and self.text[self.at] in _DIGITS:
            self.at += 1
        found = self.text[start : self.at]
        if not found:
            self.fail("a digit 0 to 9" if start else _EXPECTED)
        if len(found) > _MOST_DIGITS:
            self.fail("a number of a few digits", "too many digits", start)
        if found[0] == "0" and len(found) > 1 and not leading_zero:
            self.fail("no zero before the number", start=start)
        return found

    def number(self) -> tuple[Fraction, Fraction]:
        """A number and the step that its way of writing implies, both in its unit."""
        start = self.at
        whole = self.digits()
        mark = self.take(".", ",")
        if mark:
            decimals = self.digits(leading_zero=True)
            if mark == "," and len(decimals) == 3 and whole != "0" and len(whole) <= 3:
                problem = "a comma before three digits may be a decimal comma or a sign for thousands"
                self.fail("a full stop before decimals, no sign for thousands", problem, start)
            step = Fraction(1, 10 ** len(decimals))
            return int(whole + decimals) * step, step
        if self.take("/"):
            step = self.parts()
            return int(whole) * step, step
        if self.text.startswith(" ", self.at) and self.text[self.at + 1 : self.at + 2] in _DIGITS:
            self.at += 1
            top_at = self.at
            top = self.digits()
            if not self.take("/"):
                self.fail("a fraction behind the blank, such as 1 1/2")
            step = self.parts()
            if not 0 < int(top) < step.denominator:
                self.fail("a fraction between 0 and 1 behind a whole number", start=top_at)
            return int(whole) + int(top) * step, step
        return Fraction(int(whole)), Fraction(1)

    def parts(self) -> Fraction:
        """One of as many parts as the lower number of a fraction says."""
        start = self.at
        parts = int(self.digits())
        if not parts:
            self.fail("a number of parts", "nothing has zero parts", start)
        return Fraction(1, parts)

    def unit(self) -> Fraction:
        """The unit, in millimetres."""
        self.take(" ")
        name = self.take(*UNITS)
        if not name:
            self.fail('a unit: mm, cm, in or "')
        return UNITS[name]

    def read(self) -> Length:
        about = bool(self.take(_ABOUT))
        value, step = self.number()
        before_sign = self.at
        self.take(" ")
        sign = "" if about else self.take("-", "–", "±", "+/-")
        if sign in ("-", "–") and self.at != before_sign + 1:
            self.at = before_sign
            self.fail("no blank before the hyphen of a range")
        if sign:
            if sign in ("±", "+/-"):
                self.take(" ")
            second, _ = self.number()
            size = self.unit()
            self.end()
            if sign in ("±", "+/-"):
                return self.made(value * size, 2 * second * size, "tolerance")
            return self.made((value + second) / 2 * size, (second - value) * size, "range")
        self.at = before_sign
        size = self.unit()
        value, step = value * size, step * size
        if self.take(_NEAREST):
            stated, _ = self.number()
            step = stated * self.unit()
        self.end()
        return self.made(value, 2 * step, "about") if about else self.made(value, step, "reading")

    def end(self) -> None:
        if self.at < len(self.text):
            self.fail("the end of the length")

    def made(self, value: Fraction, resolution: Fraction, form: Form) -> Length:
        problem = _out_of_bounds(value, resolution, form)
        if problem:
            swapped = (str(Length(value, -resolution, form)),) if form == "range" and resolution < 0 else ()
            raise NotationError(self.text, (0, len(self.text)), _EXPECTED, problem, swapped)
        return Length(value, resolution, form)


def _read(text: str) -> Length:
    try:
        return _Reader(text).read()
    except NotationError as error:
        fault = error
    probably = fault.suggestions or _suggestions(text)
    raise NotationError(text, fault.span, fault.expected, fault.problem, probably) from None


# Datasets repeat their lengths: reading one again costs a look-up.
_remembered = lru_cache(maxsize=1024)(_read)


def _is_well_written(text: str) -> bool:
    try:
        _Reader(text).read()
    except NotationError:
        return False
    return True


_UNIT_NAMES: Final = (
    ("millimetres", "mm"), ("millimeters", "mm"), ("millimetre", "mm"), ("millimeter", "mm"),
    ("centimetres", "cm"), ("centimeters", "cm"), ("centimetre", "cm"), ("centimeter", "cm"),
    ("inches", "in"), ("inch", "in"), ("″", "in"), ("”", "in"), ("''", "in"),
)  # fmt: skip


def _suggestions(text: str) -> tuple[str, ...]:
    """What was probably meant by ways of writing that people have; only what is well written itself."""
    if len(text) > 40:
        return ()
    bare = " ".join(text.lower().split())
    for name, unit in _UNIT_NAMES:
        bare = bare.replace(name, unit)
    for word in ("approximately ", "approx. ", "circa ", "ca. ", "c. ", "~ ", "~"):
        if bare.startswith(word):
            bare = _ABOUT + bare[len(word) :]
    dashed = bare.replace("—", "-").replace(" - ", "-").replace(" – ", "-").replace(" to ", "-")
    options = [bare, dashed, f"{bare} mm", f"{dashed} mm", bare.removesuffix(".")]
    options += [dashed.replace(unit, "", 1).replace(" -", "-") for unit in UNITS]
    if bare.startswith("."):
        options.append("0" + bare)
    if "," in bare:
        options += [bare.replace(",", "."), bare.replace(",", "")]
    good = [option for option in dict.fromkeys(options) if option != text and _is_well_written(option)]
    return tuple(good[:3])
