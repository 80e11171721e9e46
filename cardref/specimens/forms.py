"""What is wrong with the form of a user's record, in words that say what was probably meant.

>>> told, = shape_faults("specimen", {"id": "7", "price": "12,50 EUR"})
>>> told.rule, told.message, told.meant
('decimal-comma', "'12,50 EUR' has a comma; did you mean 12.50 EUR?", '12.50 EUR')
"""

from collections.abc import Iterator
from typing import Any

from attrs import frozen

from cardref.errors import NotationError
from cardref.finding import Related, Severity
from cardref.location import Pointer
from cardref.model.forms import FORMS
from cardref.notation.edtf import Date
from cardref.notation.money import SIGNS, Money, probable
from cardref.schema.explain import Problem, problems
from cardref.specimens.dates import readings_of
from cardref.text import quoted

__all__ = ["Told", "shape_faults"]


@frozen
class Told:
    """What is wrong with a value of a record.

    Attributes:
        rule: the rule's id.
        message: what is wrong and what to do; where it stands is put in front of it.
        pointer: from the record to the value.
        value: the offending value as text.
        on_key: the key itself is at fault.
        meant: what should stand there, where one thing is likely.
        safe: whether it can be nothing else.
        severity: where it is not the rule's own.
        related: other places.
    """

    rule: str
    message: str
    pointer: Pointer = ()
    value: str = ""
    on_key: bool = False
    meant: str = ""
    safe: bool = False
    severity: Severity | None = None
    related: tuple[Related, ...] = ()


def shape_faults(kind: str, raw: Any) -> Iterator[Told]:
    """Every fault of form in a record of ``kind`` that does not fit the model."""
    found = problems(kind, raw) or [Problem("wrong-value", f"this is no {kind} that can be read")]
    for problem in found:
        yield _told(raw, problem)


def _told(raw: Any, problem: Problem) -> Told:
    pointer = problem.pointer
    field = str(pointer[-1]) if pointer else ""
    value = raw
    for step in () if problem.on_key else pointer:
        value = value[step]
    if field in ("price", "most") and not problem.on_key:
        return _price(pointer, value)
    if field == "date" and isinstance(value, str):
        return _date(pointer, value)
    # Where it stands is told in front of every message.
    lead = ".".join(step for step in pointer if isinstance(step, str))
    message = problem.message.removeprefix(f"{lead} is ")
    if field == "trade":
        message = f"{quoted(str(value))} is neither yes nor no"
    return Told(problem.rule, message, pointer, problem.value, problem.on_key, problem.meant)


def _price(pointer: Pointer, value: Any) -> Told:
    if not isinstance(value, str):
        message = f"{quoted(str(value))} has no currency: write an amount and its code, such as 12.50 EUR"
        return Told("unknown-currency", message, pointer, str(value))
    meant = probable(value)
    one = meant[0] if len(meant) == 1 else ""
    hint = f"; did you mean {' or '.join(meant)}?" if meant else ""
    problem = "it is no price"
    try:
        Money.parse(value)
    except NotationError as error:
        problem = error.problem
    hint = hint or f": write {FORMS['money'].noun}"
    if "," in value:
        message = f"{quoted(value)} has a comma{hint}"
        sure = one[-3:] in value  # the currency was not guessed
        return Told("decimal-comma", message, pointer, value, meant=one, safe=sure)
    if problem.startswith(("there is no currency", "no currency")) or any(sign in value for sign in SIGNS):
        if problem == "no currency":
            problem = f"{quoted(value)} has no currency"
        return Told("unknown-currency", f"{problem}{hint}", pointer, value, meant=one)
    return Told("ill-formed", f"{quoted(value)} is no price{hint}", pointer, value, meant=one)


def _date(pointer: Pointer, value: str) -> Told:
    meant = readings_of(value)
    if len(meant) > 1:
        message = f"{quoted(value)} may mean {' or '.join(meant)}: write the one, year first"
        return Told("ambiguous-date", message, pointer, value)
    if meant:
        message = f"{quoted(value)} is written year first: {meant[0]}"
        return Told("ill-formed", message, pointer, value, meant=meant[0], safe=True)
    why = ""
    try:
        Date.parse(value)
    except NotationError as error:
        why = f" ({error.problem})"
    return Told("ill-formed", f"{quoted(value)}{why} must be {FORMS['edtf'].noun}", pointer, value)
