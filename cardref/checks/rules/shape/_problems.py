"""Faults of shape as hits: those of records, and those of the frame that a file puts round them."""

from collections.abc import Callable, Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Mend
from cardref.storage.scalars import written

__all__ = ["Check", "problems"]

Check = Callable[[Corpus], Iterator[Hit]]


def problems(rule: str) -> Check:
    """A check that tells the faults of shape which go by this rule's id."""

    def check(corpus: Corpus) -> Iterator[Hit]:
        for entry, problem in corpus.misshapen:
            if problem.rule == rule:
                mend = _mend(problem.meant, on_key=problem.on_key)
                message = f"{corpus.named(entry)}: {problem.message}"
                yield Hit(entry, message, problem.pointer, problem.on_key, problem.value, mend=mend)
        for file in corpus.loaded.files.values():
            for fault in file.misshapen:
                if fault.rule == rule:
                    mend = _mend(fault.meant, on_key=fault.on_key)
                    yield Hit(file, fault.message, fault.pointer, fault.on_key, fault.value, mend=mend)

    return check


def _mend(meant: str, *, on_key: bool) -> Mend | None:
    # Unsafe: what was meant is a guess, however near it is.
    return (
        Mend(f"{'rename the key to' if on_key else 'write'} {meant}", written(meant, flow=True))
        if meant
        else None
    )
