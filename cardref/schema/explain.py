"""What is wrong with the shape of a record, in words: one problem for one mistake, at the right key.

>>> raw = {"id": "a", "kind": "catalog", "citation": "Spring list (invented)"}
>>> for problem in problems("source", raw):
...     print(problem.rule, problem.pointer, problem.message, sep=" | ")
wrong-value | ('kind',) | kind is 'catalog'; did you mean catalogue? Allowed: specimen, photograph, catalogue, papers, print, reference, interview, listing, hearsay
"""

import math
from collections.abc import Iterator
from functools import cache
from typing import Any

from attrs import frozen
from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import ValidationError

from cardref.errors import NotationError
from cardref.location import Pointer
from cardref.model.forms import FORMS
from cardref.notation.edtf import Date
from cardref.schema.generate import record_schema
from cardref.text import clip, closest, quoted

__all__ = ["Problem", "problems"]


@frozen
class Problem:
    """A fault of shape. ``pointer`` leads to it from the record; ``on_key`` when the key itself is at fault."""

    rule: str
    message: str
    pointer: Pointer = ()
    on_key: bool = False
    value: str = ""
    meant: str = ""
    """For a text that YAML read as something else, or a misspelt key: what was meant, if that is certain."""


_NOUNS = {
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "array": "a list",
    "object": "a mapping",
}


def _noun(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true or false"
    if isinstance(value, str):
        return "text"
    if isinstance(value, (int, float)):
        return "a number"
    return "a list" if isinstance(value, list) else "a mapping"


def _formats() -> FormatChecker:
    checker = FormatChecker(formats=())
    for name, form in FORMS.items():
        holds = form.holds
        checker.checks(name)(lambda value, holds=holds: not isinstance(value, str) or holds(value))
    return checker


def _is_integer(_: Any, value: object) -> bool:
    # JSON Schema takes 1.0 for an integer; we do not, and neither does the typed model.
    return isinstance(value, int) and not isinstance(value, bool)


@cache
def _validator(kind: str) -> Draft202012Validator:
    types = Draft202012Validator.TYPE_CHECKER.redefine("integer", _is_integer)
    strict = _extend(types)
    return strict(record_schema(kind), format_checker=_formats())


@cache
def _extend(types: Any) -> Any:
    from jsonschema.validators import extend  # noqa: PLC0415 - one function of a large module, used once

    return extend(Draft202012Validator, type_checker=types)


def _dotted(pointer: Pointer) -> str:
    words = ""
    for step in pointer:
        words += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if words else step
    return words or "the record"


def _shown(value: Any) -> str:
    if isinstance(value, str):
        return quoted(value)
    if isinstance(value, float) and not math.isfinite(value):
        return "not a number" if math.isnan(value) else "infinite"
    return _noun(value) if isinstance(value, (list, dict)) or value is None else clip(str(value).lower(), 40)


def _text_of(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else clip(str(value), 200)


def problems(kind: str, raw: Any) -> list[Problem]:
    """Every fault of shape in a record of ``kind`` as written (ids may be short), in the order of its keys."""
    found: dict[tuple[Pointer, str], Problem] = {}
    for error in _validator(kind).iter_errors(raw):
        for problem in _explain(error):
            # A value that misses its pattern and its format, or its type and its bounds, has one fault.
            found.setdefault(
                (
                    problem.pointer,
                    "" if problem.rule not in {"unknown-key", "missing-key"} else problem.message,
                ),
                problem,
            )
    return list(found.values())


def _explain(error: ValidationError) -> Iterator[Problem]:
    pointer: Pointer = tuple(error.absolute_path)
    name = _dotted(pointer)
    value = error.instance
    keyword = error.validator
    rule: Any = error.validator_value
    schema: Any = error.schema
    if keyword == "additionalProperties" and rule is False:
        known = schema["properties"]
        for key in value:
            if key not in known:
                near = closest(str(key), known, 1)
                unset = bool(near) and near[0] not in value
                hint = f"did you mean {near[0]}?" if near else f"the keys are {', '.join(known)}"
                where = "" if not pointer else f" in {name}"
                yield Problem(
                    "unknown-key",
                    f"there is no key {quoted(str(key))}{where}; {hint}",
                    (*pointer, key),
                    on_key=True,
                    value=str(key),
                    meant=near[0] if unset else "",
                )
    elif keyword == "required":
        for key in rule:
            if key not in value:
                about = schema["properties"][key].get("description", "")
                yield Problem(
                    "missing-key",
                    f"{key} is missing: {about[:1].lower()}{about[1:].rstrip('.')}",
                    pointer,
                    value=key,
                )
    elif keyword == "propertyNames":
        pass  # its inner errors carry the message
    elif keyword == "type":
        wanted = _NOUNS[rule]
        if rule == "string" and isinstance(value, (int, float, bool)):
            text = _text_of(value)
            yield Problem(
                "written-form",
                f"{name} is text, but {text} without quotes is {_noun(value)} to YAML: put it in quotes",
                pointer,
                value=text,
                meant=text,
            )
        elif value is None:
            yield Problem("wrong-type", f"{name} has no value: write {wanted}, or remove the key", pointer)
        else:
            yield Problem(
                "wrong-type", f"{name} is {_noun(value)}; it must be {wanted}", pointer, value=_text_of(value)
            )
    elif keyword == "enum":
        near = closest(value, rule, 1) if isinstance(value, str) else ()
        hint = f"did you mean {near[0]}? " if near else ""
        yield Problem(
            "wrong-value",
            f"{name} is {_shown(value)}; {hint}Allowed: {', '.join(map(str, rule))}",
            pointer,
            value=_text_of(value),
        )
    elif keyword in ("format", "pattern"):
        form = schema.get("format", "")
        noun = FORMS[form].noun if form in FORMS else "written otherwise"
        why = ""
        if form == "edtf" and isinstance(value, str):
            try:
                Date.parse(value)
            except NotationError as fault:
                why = f" ({fault.problem})"
        yield Problem(
            "ill-formed", f"{name} is {_shown(value)}{why}; it must be {noun}", pointer, value=_text_of(value)
        )
    elif keyword == "anyOf":
        about = schema.get("description", "") or "a text, a whole number, or a list of them"
        yield Problem("wrong-type", f"{name} is {_shown(value)}. {about}", pointer, value=_text_of(value))
    elif keyword in ("minimum", "maximum"):
        word = "least" if keyword == "minimum" else "most"
        yield Problem(
            "out-of-range", f"{name} is {_shown(value)}; the {word} is {rule}", pointer, value=_text_of(value)
        )
    elif keyword == "minLength":
        yield Problem("wrong-value", f"{name} is empty: write something, or remove the key", pointer)
    elif keyword == "minItems":
        yield Problem("wrong-value", f"{name} is an empty list: it needs at least {rule}", pointer)
    else:  # pragma: no cover - the schemas are ours and use no other keyword
        yield Problem("wrong-value", f"{name}: {clip(error.message, 120)}", pointer)
