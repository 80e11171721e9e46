"""What the reader notes while it reads a file, as hits: one maker of checks for the rules about it."""

from collections.abc import Callable, Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit
from cardref.finding import Related
from cardref.location import Place

__all__ = ["Check", "faults", "frame"]

Check = Callable[[Corpus], Iterator[Hit]]


def faults(rule: str) -> Check:
    """A check that tells the faults which the reader noted under this rule's id."""

    def check(corpus: Corpus) -> Iterator[Hit]:
        for file in corpus.loaded.files.values():
            for fault in file.faults:
                if fault.rule != rule:
                    continue
                place = Place(file.path)
                if fault.line:
                    place = Place(file.path, fault.line, fault.column, fault.line, fault.end_column)
                related: tuple[Related, ...] = ()
                if fault.related_line:
                    related = (Related(Place(file.path, fault.related_line, 1), "here for the first time"),)
                yield Hit(file, fault.message, value=fault.value, place=place, related=related)

    return check


def frame(rule: str) -> Check:
    """A check that tells what is wrong with the frame of a file, outside its records."""

    def check(corpus: Corpus) -> Iterator[Hit]:
        for file in corpus.loaded.files.values():
            for fault in file.misshapen:
                if fault.rule == rule:
                    yield Hit(file, fault.message, fault.pointer, fault.on_key, value=fault.value)

    return check
