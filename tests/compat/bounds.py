"""The lowest versions of what cardref requires: read out of ``pyproject.toml``, their one home.

``.ci/run`` makes an environment with them::

    python tests/compat/bounds.py lowest     # attrs==23.2 cattrs==24.1 ...: for pip
    python tests/compat/bounds.py installed  # attrs 26.1.0, cattrs 26.2.1 ...: what is there
    python tests/compat/bounds.py held       # the same, and status 1 where one is not the lowest

>>> lowest(["attrs>=23.2", "cattrs>=24.1,<99"])
{'attrs': '23.2', 'cattrs': '24.1'}
"""

import re
import sys
import tomllib
from collections.abc import Iterable
from importlib.metadata import version
from pathlib import Path
from typing import Any

__all__ = ["PROJECT", "lowest"]

PROJECT: dict[str, Any] = tomllib.loads(
    Path(__file__).parents[2].joinpath("pyproject.toml").read_text(encoding="utf-8")
)


def lowest(requirements: Iterable[str]) -> dict[str, str]:
    """Name -> lowest version of each requirement. Errors: ValueError for one without a lower bound."""
    found = {}
    for requirement in requirements:
        bound = re.fullmatch(r"([A-Za-z0-9._-]+)>=([0-9]+(?:\.[0-9]+)*)(?:,<[0-9.]+)?", requirement)
        if bound is None:
            raise ValueError(f"{requirement!r} has no lower bound such as attrs>=23.2")
        found[bound[1]] = bound[2]
    return found


def _numbers(text: str) -> tuple[str, ...]:
    parts = text.split(".")
    while parts[-1] == "0":
        parts.pop()
    return tuple(parts)


def _main(what: str) -> int:
    bounds = lowest(PROJECT["project"]["dependencies"])
    if what == "lowest":
        print(*(f"{name}=={bound}" for name, bound in bounds.items()))
        return 0
    there = {name: version(name) for name in bounds}
    print(", ".join(f"{name} {number}" for name, number in there.items()))
    held = all(_numbers(there[name]) == _numbers(bound) for name, bound in bounds.items())
    return 0 if what == "installed" or held else 1


if __name__ == "__main__":
    sys.exit(_main(sys.argv[1]))
