"""Every text that deserves a second look, with the record it belongs to."""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Any

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Example, Hit, Mend
from cardref.location import Pointer
from cardref.storage.loader import Entry, LoadedFile
from cardref.storage.scalars import written
from cardref.storage.yamltext import is_tidy

__all__ = ["Check", "mended", "noted", "untidy"]

# Signs as they are printed, blanks and all: schemes say what is right there.
_VERBATIM = frozenset({"codes", "before"})

Check = Callable[[Corpus], Iterator[Hit]]


def untidy(corpus: Corpus) -> Iterator[tuple[Entry | LoadedFile, Pointer, str, str]]:
    """Record (or file), way to the text, the text, and how a message begins that is about it."""
    for file in corpus.loaded.files.values():
        if file.tidy or not file.readable:
            continue
        for pointer, text in _texts(corpus.loaded.value(file.path), ()):
            if is_tidy(text) or not _VERBATIM.isdisjoint(pointer):
                continue
            entry = corpus.entry_at(file, pointer)
            field = next((step for step in reversed(pointer) if isinstance(step, str)), "the text")
            if entry is None:
                yield file, pointer, text, field
            else:
                yield entry, pointer[len(entry.pointer) :], text, f"{corpus.named(entry)}: {field}"


def _texts(value: Any, way: Pointer) -> Iterator[tuple[Pointer, str]]:
    if type(value) is str:
        yield way, value
    elif type(value) is list:
        for number, item in enumerate(value):
            yield from _texts(item, (*way, number))
    elif type(value) is dict:
        for key, item in value.items():
            yield from _texts(item, (*way, key))


def _check(
    corpus: Corpus, *, problem: str, better: Callable[[str], str], advice: str, safe: bool
) -> Iterator[Hit]:
    for where, pointer, text, name in untidy(corpus):
        right = better(text)
        if right != text:
            mend = Mend(advice, written(right, flow=True), safe=safe)
            yield Hit(where, f"{name} {problem}: {advice}", pointer, value=text, mend=mend)


def mended(problem: str, better: Callable[[str], str], advice: str, *, safe: bool) -> Check:
    """A check for texts that ``better`` would write in another way; it must leave all others as they are."""
    return partial(_check, problem=problem, better=better, advice=advice, safe=safe)


def noted(note: str, *, told: bool = False) -> Example:
    """An example with this note, written as in a file; ``told`` where the rule is not content with it."""
    return one_card(f"sources: [binder]\nnote: {note}", "note" if told else "")
