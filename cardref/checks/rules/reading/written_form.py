"""A value is written so that other programs read something else than text."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Mend, Rule
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.storage.loader import Entry, LoadedFile
from cardref.storage.yamltext import Spot
from cardref.text import clip, quoted

__all__ = ["RULE"]

_QUOTE = Mend("put it in quotes", quote=True, safe=True)


def _check(corpus: Corpus) -> Iterator[Hit]:
    taken = set()
    for entry, problem in corpus.misshapen:
        pointer = (*entry.pointer, *problem.pointer)
        taken.add((entry.file.path, pointer))
        if problem.rule == "written-form":
            yield from _hit(corpus, entry.file, pointer, on_key=False)
    for file in corpus.loaded.files.values():
        if not file.readable:
            continue
        for pointer in file.odd_keys:
            yield from _hit(corpus, file, pointer, on_key=True)
        for pointer in file.odd:
            # What is no text at all, or stands where none is wanted, is told as a fault of shape.
            if (file.path, pointer) not in taken and isinstance(_at(corpus, file, pointer), str):
                yield from _hit(corpus, file, pointer, on_key=False)


def _at(corpus: Corpus, file: LoadedFile, pointer: Pointer) -> object:
    value = corpus.loaded.value(file.path)
    for step in pointer:
        value = value[step]
    return value


def _hit(corpus: Corpus, file: LoadedFile, pointer: Pointer, *, on_key: bool) -> Iterator[Hit]:
    spot = corpus.loaded.spots(file.path).get(pointer)
    if spot is None:
        return
    written = _source(corpus, file, spot, on_key=on_key)
    where: Entry | LoadedFile = file
    way, name = pointer, ""
    entry = corpus.entry_at(file, pointer)
    if entry is not None:
        where, way, name = entry, pointer[len(entry.pointer) :], f"{corpus.named(entry)}: "
    field = ".".join(step for step in way if isinstance(step, str))
    what = f"the key {quoted(written)} is text" if on_key else f"{field} is text"
    message = (
        f"{name}{what}, but other programs read {clip(written, 60)} without quotes as something else: "
        "put it in quotes"
    )
    yield Hit(where, message, way, on_key, written, mend=_QUOTE)


def _source(corpus: Corpus, file: LoadedFile, spot: Spot, *, on_key: bool) -> str:
    line = corpus.loaded.lines(file.path)[(spot.key_line if on_key else spot.line) - 1]
    if on_key:
        return line[spot.key_column - 1 : spot.key_end_column - 1]
    return line[spot.column - 1 : spot.end_column - 1]


RULE = Rule(
    id="written-form",
    family="reading",
    severity=Severity.ERROR,
    summary="A text is written so that other programs read something else.",
    rationale=(
        "A product number 0412 loses its zero, a country NO becomes false, and a version 2026.10 becomes "
        "2026.1, depending on the program that reads the file. In quotes, a text is a text for everybody."
    ),
    check=_check,
    good=Example("glossary.yaml", 'terms:\n  - {id: back, word: "0412", what: A number on the back.}\n'),
    bad=Example(
        "glossary.yaml",
        "terms:\n  - {id: back, word: 0412, what: A number on the back.}\n",
        "term/back",
        "word",
    ),
    fix="safe",
)
