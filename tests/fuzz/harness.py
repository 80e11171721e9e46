"""What the fuzzing scripts share: claims that stop a run, and the command line.

A script names its targets, each a function that takes bytes and says what must hold of them whatever they
are, and gives seeds to start from. It is run by hand, in an environment that has ``atheris`` and cardref's
run-time dependencies::

    python tests/fuzz/SCRIPT.py TARGET -max_total_time=600

The first argument is a target (none lists them); the rest goes to libFuzzer. Files that are given as well are
run once each, which shows again what was found.
"""

import sys
import tempfile
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import atheris  # type: ignore[import-untyped]  # a fuzzer that only these scripts need; no stubs are kept

__all__ = ["Target", "fuzz", "holds", "text_of"]

Target = Callable[[bytes], None]


def holds(claim: bool, what: str) -> None:
    """Stop when a claim does not hold; an assert would not do under ``-O``."""
    if not claim:
        raise RuntimeError(what)


def text_of(data: bytes) -> str:
    """Bytes as a text: what is no UTF-8 becomes lone surrogates, which a str may hold as well."""
    return data.decode("utf-8", "surrogateescape")


def fuzz(targets: Mapping[str, tuple[Target, Iterable[bytes]]]) -> None:
    """Fuzz the target that the command line names, from its seeds on."""
    if len(sys.argv) < 2 or sys.argv[1] not in targets:
        script = Path(sys.argv[0]).name
        sys.exit(f"usage: {script} TARGET [libFuzzer options]; targets: {' '.join(targets)}")
    target, seeds = targets[sys.argv.pop(1)]
    with tempfile.TemporaryDirectory() as corpus:
        for number, seed in enumerate(seeds):
            Path(corpus, f"{number:04d}").write_bytes(seed)
        again = any(Path(word).is_file() for word in sys.argv[1:])
        atheris.Setup(sys.argv if again else [*sys.argv, corpus], target)
        atheris.Fuzz()
