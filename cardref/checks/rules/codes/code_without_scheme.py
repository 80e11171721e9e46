"""A code of a maker for whom no scheme is recorded."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.codes import codes_read
from cardref.finding import Severity
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    found: dict[tuple[str, str], list[str]] = {}
    for read in codes_read(index):
        line, maker, _ = read.face.split("/")
        record = index.lines.get(line)
        if (line, f"maker/{maker}") in index.schemes_by_maker or read.face not in corpus.by_id:
            continue
        if record is None or f"maker/{maker}" not in record.uncoded:
            found.setdefault((line, maker), []).append(read.face)
    for (line, maker), faces in found.items():
        first = index.faces[faces[0]]
        yield Hit(
            corpus.by_id[faces[0]],
            f"{called(index, faces[0])} carries {quoted(first.printed_codes[0])}, as do "
            f"{count_of(len(faces), 'face')} of maker {maker}, but no code scheme of theirs is recorded in "
            f"{line}: describe it in line.yaml, so that it can be read and checked",
            ("codes", 0),
            value=first.printed_codes[0],
            also=(
                *side(corpus, line, "describes no scheme of theirs", "schemes"),
                *sides(corpus, faces[1:], "carries a code too", ("codes",)),
            ),
        )


RULE = Rule(
    id="code-without-scheme",
    family="codes",
    severity=Severity.NOTE,
    summary="Codes are recorded for a maker without a code scheme.",
    rationale=(
        "A code that nothing describes can be stored, but neither read nor checked. Two or three of them "
        "side by side often show how the scheme works."
    ),
    check=_check,
    needs=("scheme",),
    good=changed(
        "lines/lanternfish/line.yaml", "makers: [morvane]\n    where", "makers: [morvane, thalweg]\n    where"
    ),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "makers: [morvane]\n    where",
        "makers: [thalweg]\n    where",
        "lanternfish/morvane/f-001",
        "codes",
    ),
)
