"""What is wrong with the shape of a record, in words: one problem for one mistake, at the right key.

>>> problem, = problems("source", {"id": "a", "kind": "catalog", "citation": "Spring list (invented)"})
>>> problem.rule, problem.pointer, problem.message[:45]
('wrong-value', ('kind',), "kind is 'catalog'; did you mean catalogue? Al")
"""

import math
from collections.abc import Callable, Iterator
from functools import cache
from typing import Any

from jsonschema import Draft202012Validator, FormatChecker
from jsonschema.exceptions import ValidationError
from jsonschema.validators import extend

from cardref.errors import NotationError
from cardref.location import Pointer
from cardref.model.forms import FORMS
from cardref.notation.edtf import Date
from cardref.schema.generate import record_schema
from cardref.storage.problem import Problem
from cardref.text import clip, closest, quoted

__all__ = ["Problem", "problems"]


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
        return "a number" if _is_number(None, value) else "no finite number"
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


def _is_number(_: Any, value: object) -> bool:
    # JSON has no other numbers than finite ones; YAML has.
    return _is_integer(_, value) or (isinstance(value, float) and math.isfinite(value))


_Strict: Any = extend(  # type: ignore[no-untyped-call] # the stubs leave this function untyped
    Draft202012Validator,
    type_checker=Draft202012Validator.TYPE_CHECKER.redefine_many(
        {"integer": _is_integer, "number": _is_number}
    ),
)


@cache
def _validator(kind: str) -> Any:
    return _Strict(record_schema(kind), format_checker=_formats())


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


MAX_PROBLEMS = 100


def problems(kind: str, raw: Any) -> list[Problem]:
    """The faults of shape in a record of ``kind`` as written, by the way from it, the first hundred.

    Its ids may be short.
    """
    found: dict[tuple[Pointer, str], Problem] = {}
    for error in _validator(kind).iter_errors(raw):
        explain = (
            _bad_key if "propertyNames" in error.relative_schema_path else _EXPLAIN[str(error.validator)]
        )
        for problem in explain(error, tuple(error.absolute_path)):
            # A value that misses its pattern and its format, or its type and its bounds, has one fault;
            # several keys may be missing or unknown at one place.
            several = problem.rule in {"unknown-key", "missing-key"}
            found.setdefault((problem.pointer, problem.value if several else ""), problem)
            if len(found) == MAX_PROBLEMS:
                return list(found.values())
    return list(found.values())


def _unknown_key(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    schema, raw = _rule_of(error)
    known = list(schema["properties"])
    where = f" in {_dotted(pointer)}" if pointer else ""
    for key in raw:
        if key not in known:
            near = closest(str(key), known, 1)
            hint = f"did you mean {near[0]}?" if near else f"the keys are {', '.join(known)}"
            message = f"there is no key {quoted(str(key))}{where}; {hint}"
            meant = near[0] if near and near[0] not in raw else ""
            yield Problem("unknown-key", message, (*pointer, key), on_key=True, value=str(key), meant=meant)


def _missing_key(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    schema, raw = _rule_of(error)
    where = f"{_dotted(pointer)}." if pointer else ""
    for key in schema["required"]:
        if key not in raw:
            about = schema["properties"][key].get("description", "")
            message = f"{where}{key} is missing: write it ({about[:1].lower()}{about[1:].rstrip('.')})"
            yield Problem("missing-key", message, pointer, value=key)


def _wrong_type(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    name, value, rule = _dotted(pointer), error.instance, str(error.validator_value)
    wanted = _NOUNS[rule]
    if rule == "string" and isinstance(value, (int, float)):
        text = _text_of(value)
        message = f"{name} is text, but {text} without quotes is {_noun(value)} to YAML: put it in quotes"
        yield Problem("written-form", message, pointer, value=text, meant=text)
    elif value is None:
        message = f"{name} has no value: write {wanted}, or remove the key"
        yield Problem("wrong-type", message, pointer)
    else:
        message = f"{name} is {_noun(value)}; it must be {wanted}"
        yield Problem("wrong-type", message, pointer, value=_text_of(value))


def _wrong_word(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    words, value = [str(word) for word in _rule_of(error)[0]["enum"]], error.instance
    near = closest(value, words, 1) if isinstance(value, str) else ()
    hint = f"did you mean {near[0]}? " if near else ""
    message = f"{_dotted(pointer)} is {_shown(value)}; {hint}Allowed: {', '.join(words)}"
    meant = near[0] if near else ""
    yield Problem("wrong-value", message, pointer, value=_text_of(value), meant=meant)


def _ill_formed(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    schema, value = _rule_of(error)
    why = ""
    if schema["format"] == "edtf":
        try:
            Date.parse(value)
        except NotationError as fault:
            why = f" ({fault.problem})"
    message = f"{_dotted(pointer)} is {_shown(value)}{why}; it must be {FORMS[schema['format']].noun}"
    yield Problem("ill-formed", message, pointer, value=_text_of(value))


def _no_alternative(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    value = error.instance
    about = _rule_of(error)[0].get("description", "Write a state, a whole number, or a list of them.")
    message = f"{_dotted(pointer)} is {_shown(value)}. {about}"
    yield Problem("wrong-type", message, pointer, value=_text_of(value))


def _out_of_range(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    word = "least" if error.validator == "minimum" else "most"
    message = f"{_dotted(pointer)} is {_shown(error.instance)}; the {word} is {error.validator_value}"
    yield Problem("out-of-range", message, pointer, value=_text_of(error.instance))


def _empty(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    noun = "an empty list" if error.validator == "minItems" else "empty"
    yield Problem("wrong-value", f"{_dotted(pointer)} is {noun}: write something, or remove the key", pointer)


def _bad_key(error: ValidationError, pointer: Pointer) -> Iterator[Problem]:
    key = str(error.instance)
    schema = _rule_of(error)[0]
    noun = FORMS[schema["format"]].noun if "format" in schema else f"one of {', '.join(schema['enum'])}"
    message = f"the key {quoted(key)} in {_dotted(pointer)} must be {noun}"
    yield Problem("ill-formed", message, (*pointer, key), on_key=True, value=key)


def _rule_of(error: ValidationError) -> tuple[dict[str, Any], Any]:
    """The schema that refused, and what it refused."""
    return dict(error.schema) if isinstance(error.schema, dict) else {}, error.instance


_EXPLAIN: dict[str, Callable[[ValidationError, Pointer], Iterator[Problem]]] = {
    "additionalProperties": _unknown_key,
    "required": _missing_key,
    "type": _wrong_type,
    "enum": _wrong_word,
    "format": _ill_formed,
    "pattern": _ill_formed,
    "anyOf": _no_alternative,
    "minimum": _out_of_range,
    "maximum": _out_of_range,
    "minLength": _empty,
    "minItems": _empty,
}
