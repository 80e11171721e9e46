"""Every benchmark beside its peers, one table: ``python -m tests.benchmarks [NAME ...]``.

Needs the extra ``bench``. Names are those of the modules here, such as ``startup`` or ``checking``.
"""

import sys
from importlib import import_module
from pathlib import Path

from tests.benchmarks.common import print_table

_BESIDE = {"__main__", "__init__", "common", "big"}
NAMES = sorted(path.stem for path in Path(__file__).parent.glob("*.py") if path.stem not in _BESIDE)


def main(words: list[str]) -> int:
    """Print one table of all rows of the benchmarks named, or of all."""
    unknown = [word for word in words if word not in NAMES]
    if unknown:
        print(f"no benchmark is called {unknown[0]}; there are {', '.join(NAMES)}", file=sys.stderr)
        return 2
    modules = [import_module(f"tests.benchmarks.{name}") for name in words or NAMES]
    print_table(row for module in modules for row in module.rows())
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
