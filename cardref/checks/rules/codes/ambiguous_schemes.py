"""Two schemes of one maker read one code in two ways."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.codebook import CodeBook
from cardref.facts.codes import CodeRead, codes_read
from cardref.finding import Severity
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    found: dict[tuple[str, str], list[CodeRead]] = {}
    for read in codes_read(index):
        for rival in read.rivals:
            if read.book is not None and _differ(read.book, rival, read.text):
                pair = sorted((read.book.scheme.id, rival.scheme.id))
                found.setdefault((pair[0], pair[1]), []).append(read)
    for (one, other), reads in found.items():
        entry = corpus.by_id.get(other) or corpus.by_id.get(one)
        if entry is None:
            continue
        second = one if entry.id == other else other
        yield Hit(
            entry,
            f"{called(index, entry.id)} and {called(index, second)} read {quoted(reads[0].text)} in two "
            f"ways, and {count_of(len(reads), 'code')} in all: say by series, counts or segments where each "
            "of them holds",
            ("segments",),
            value=second,
            also=(
                *side(corpus, second, "reads it otherwise", "segments"),
                *sides(corpus, (read.face for read in reads), "is read in two ways", ("codes",)),
            ),
        )


def _differ(one: CodeBook, other: CodeBook, text: str) -> bool:
    """Whether two schemes tell different things of a code."""
    first, second = one.printed(text), other.printed(text)
    if first is None or second is None:
        return False
    return any(
        first.meaning(meaning) != second.meaning(meaning)
        or one.senses(first, meaning) != other.senses(second, meaning)
        for meaning in ("series", "figure", "back")
    )


_SCHEME = """\
  - id: mv-early
    makers: [morvane]
    {series}where: front, lower left
    segments:
      - {{name: figure, width: 3, meaning: figure}}
      - {{name: back, width: 1, meaning: back}}
      - {{name: printing, width: 1, meaning: printing, before: "-"}}
    standing: reported
    sources: [binder]
  - id: mv
"""

RULE = Rule(
    id="ambiguous-schemes",
    family="codes",
    severity=Severity.WARNING,
    summary="Two schemes of one maker read one code in two ways.",
    rationale=(
        "A code that means one figure by one scheme and another by the other means nothing. What tells the "
        "schemes apart, a series or the years, has to be written down."
    ),
    check=_check,
    good=changed(
        "lines/lanternfish/line.yaml", "  - id: mv\n", _SCHEME.format(series="series: [deepwater]\n    ")
    ),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "  - id: mv\n",
        _SCHEME.format(series=""),
        "lanternfish/scheme/mv-early",
        "segments",
    ),
)
