"""The forms that a text field can have: one table for the loader, the JSON Schemas and the messages.

>>> FORMS["calver"].holds("2026.11"), FORMS["calver"].holds("26.11")
(True, False)
"""

import re
from collections.abc import Callable

from attrs import frozen

from cardref.notation.designation import Designation
from cardref.notation.edtf import Date

__all__ = ["FORMS", "Form", "is_full_id", "is_slug"]


@frozen
class Form:
    """A form: the test, what to call it in a message, and a pattern for validators that know only those."""

    holds: Callable[[str], bool]
    noun: str
    pattern: str = ""


_SLUG_PATTERN = "[a-z0-9]+(?:-[a-z0-9]+)*"
# Language and country tags: the subset of BCP 47 (RFC 5646) in use, language[-Script][-REGION], in the
# recommended case; ISO 3166-1 alpha-2 or ISO 3166-3 alpha-4. Whether a code exists is not a matter of form.
_LANGUAGE = "[a-z]{2,3}(?:-[A-Z][a-z]{3})?(?:-(?:[A-Z]{2}|[0-9]{3}))?"
_FULL_ID = re.compile(f"{_SLUG_PATTERN}(?:/{_SLUG_PATTERN}){{0,2}}").fullmatch
_SIGNS = frozenset("abcdefghijklmnopqrstuvwxyz0123456789-")


def is_slug(text: str) -> bool:
    """Whether ``text`` is lower-case ASCII letters, digits and single inner hyphens, 1 to 64 signs."""
    return (
        0 < len(text) <= 64
        and _SIGNS.issuperset(text)
        and text[0] != "-"
        and text[-1] != "-"
        and "--" not in text
    )


def is_full_id(text: str) -> bool:
    """Whether ``text`` is one to three slugs with slashes between them."""
    return _FULL_ID(text) is not None and (len(text) <= 64 or all(map(is_slug, text.split("/"))))


def _is_length(text: str) -> bool:
    from cardref.notation.length import Length  # noqa: PLC0415 - no record of a dataset has this form

    return Length.is_valid(text)


def _is_money(text: str) -> bool:
    from cardref.notation.money import Money  # noqa: PLC0415 - the same

    return Money.is_valid(text)


def _pattern(noun: str, pattern: str) -> Form:
    compiled = re.compile(pattern)
    return Form(lambda text: compiled.fullmatch(text) is not None, noun, f"^(?:{pattern})$")


FORMS: dict[str, Form] = {
    "slug": Form(
        is_slug,
        "a short name of lower-case letters, digits and single hyphens",
        f"^(?=.{{1,64}}$){_SLUG_PATTERN}$",
    ),
    "full-id": Form(
        is_full_id,
        "a full id such as tidewrack/quay-marl/b-017",
        f"^{_SLUG_PATTERN}(?:/{_SLUG_PATTERN}){{0,2}}$",
    ),
    "calver": _pattern(
        "a calendar version such as 2026.11 or 2026.11.2", "[0-9]{4}\\.(?:0[1-9]|1[0-2])(?:\\.[0-9]{1,4})?"
    ),
    "country": _pattern(
        "a country code of ISO 3166: two capitals, or four if withdrawn", "[A-Z]{2}(?:[A-Z]{2})?"
    ),
    "language": _pattern("a language tag of BCP 47 such as en or pt-BR", _LANGUAGE),
    "link": _pattern("a link that begins with http:// or https://", "https?://[^\\s/?#]+(?:[/?#]\\S*)?"),
    "money": Form(
        _is_money,
        "an amount and a currency code of ISO 4217, such as 12.50 EUR",
        "^(?:0|[1-9][0-9]{0,11})(?:\\.[0-9]{1,4})? [A-Z]{3}$",
    ),
    "edtf": Form(Date.is_valid, 'a date in EDTF such as "1982", "1982-03" or "1981~"'),
    "length": Form(_is_length, "a length with its unit, such as 3 mm, 1.5 cm or 2-3 mm"),
    "designation": Form(
        Designation.is_valid, "a designation such as 25B", "^(?:0|[1-9][0-9]{0,2})[A-Z]{0,2}$"
    ),
}
