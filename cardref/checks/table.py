"""The table of rules: one row a rule, in the order in which findings at one place are told.

A row names a module of :mod:`cardref.checks.rules`; the rule's id and family follow from it, so that the ids
are known without importing a single rule.

>>> "count-mismatch" in families(), families()["count-mismatch"]
(True, 'counting')
>>> rule("count-mismatch").severity.value
'error'
"""

from collections.abc import Mapping
from functools import cache
from importlib import import_module

from cardref.checks.rule import Rule

__all__ = ["ROWS", "families", "rule", "rules"]

ROWS: tuple[str, ...] = (
    # counting: what a back pictures against the number it says
    "counting.count_mismatch",
)


@cache
def families() -> Mapping[str, str]:
    """Rule id -> family, of every row."""
    split = (row.split(".") for row in ROWS)
    return {module.replace("_", "-"): family for family, module in split}


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule, in the order of the table."""
    return tuple(import_module(f"cardref.checks.rules.{row}").RULE for row in ROWS)


def rule(name: str) -> Rule:
    """The rule with this id. Errors: KeyError where there is none."""
    return {found.id: found for found in rules()}[name]
