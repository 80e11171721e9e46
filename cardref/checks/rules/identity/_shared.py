"""What a maker prints on the faces of one figure and, now and then, on those of another."""

from collections.abc import Callable, Iterator
from functools import partial

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Hit
from cardref.facts.called import figure_name
from cardref.facts.witnesses import figure_witnesses
from cardref.model.face import Face
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["shared"]


def shared(field: str, what: str) -> Callable[[Corpus], Iterator[Hit]]:
    """A check that tells every further figure that has the same text in ``field``, once for each text."""
    return partial(_check, field=field, what=what)


def _check(corpus: Corpus, field: str, what: str) -> Iterator[Hit]:
    seen: dict[tuple[str, str, str], dict[str, Entry]] = {}
    misfiled = {full for full, one in figure_witnesses(corpus.index).items() if one.meant}
    for entry, face in corpus.records("face", Face):
        text = getattr(face, field)
        # A face that is recorded for the wrong figure is told for that.
        if not text or face.id in misfiled:
            continue
        figures = seen.setdefault((entry.file.line, face.maker, text), {})
        if figures and face.figure not in figures:
            figure, first = next(iter(figures.items()))
            yield Hit(
                entry,
                f"{corpus.named(entry)} has the {what} {quoted(text)}, which stands on a face of "
                f"{figure_name(corpus.index, figure)} too: look again, unless both are printed so",
                (field,),
                value=text,
                also=(Also(first, "has it too", (field,)),),
            )
        figures.setdefault(face.figure, entry)
