"""A segment of a code that its scheme's table does not have."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, listed
from cardref.facts.codes import codes_read, expected_segments
from cardref.finding import Severity
from cardref.notation.nearest import Suggester
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for read in codes_read(index):
        entry = corpus.by_id.get(read.face)
        if read.book is None or read.code is None or entry is None:
            continue
        text = read.code.text
        if all(not table or text[start:end] in table for (start, end), _, table in read.book.look_ups):
            continue
        face, scheme = index.faces[read.face], read.book.scheme
        for number, meaning in enumerate(read.book.meanings(read.code)):
            if not meaning.closed or meaning.senses or not meaning.text.strip("?"):
                continue
            # Where the table has the face's own series or figure, that rule tells what is wrong.
            own = {"series": face.series, "figure": face.figure}.get(meaning.meaning, "")
            if own and expected_segments(index, scheme.id, own):
                continue
            near = [one.text for one in Suggester(scheme.segments[number].table).suggest(meaning.text, 2)]
            hint = f"; did you mean {listed(map(quoted, near))}?" if near else ""
            yield Hit(
                entry,
                f"{called(index, read.face)} carries {quoted(read.text)}, but the table of "
                f"{called(index, scheme.id)} has no {meaning.segment} {quoted(meaning.text)}{hint}: read "
                "the code again, or add to the table",
                ("codes", read.at),
                value=read.text,
                also=side(corpus, scheme.id, "its table", "segments", number),
            )
            break


RULE = Rule(
    id="unknown-segment",
    family="codes",
    severity=Severity.WARNING,
    summary="A segment of a code is not in its scheme's table.",
    rationale=(
        "A table that is complete but for one code mostly is complete, and the code misread. If it is not, "
        "the table is where others look what the segment means."
    ),
    check=_check,
    needs=("scheme",),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "L-022/06", '"L-022/?6"'),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "L-022/06",
        "L-022/08",
        "lanternfish/pell-orrin/f-007",
        "codes",
    ),
)
