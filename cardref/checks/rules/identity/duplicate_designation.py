"""Two backs of one maker and series have the same designation."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.notation.designation import Designation
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    seen: dict[tuple[str, str, str, Designation], Entry] = {}
    for entry, back in corpus.records("back", Back):
        key = (entry.file.line, back.maker, back.series, back.designation)
        first = seen.setdefault(key, entry)
        if first is not entry and first.id != entry.id:
            yield Hit(
                entry,
                f"{corpus.named(entry)} and {corpus.named(first)} have the same designation in one series: "
                "letter them apart, or merge them if they are one printing",
                ("designation",),
                value=str(back.designation),
                also=(Also(first, "has it too", ("designation",)),),
            )


RULE = Rule(
    id="duplicate-designation",
    family="identity",
    severity=Severity.ERROR,
    summary="Two backs of one maker and series have the same designation.",
    rationale=(
        "The designation is what people say to each other. Two backs of that name cannot be told apart "
        "in a conversation, a list or a listing."
    ),
    check=_check,
    good=Example(
        "lines/lanternfish/backs/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
backs:
  - id: b-020
    designation: 6B
    series: lanternfish
    wave: po-2
    count: 6
    pictures: {based_on: b-003}
    languages: [en]
    released: 1982-06
    after: b-003
    features: {maker-line: one-line, waves-drawn: 6}
    sources: [binder]
""",
    ),
    bad=Example(
        "lines/lanternfish/backs/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
backs:
  - id: b-020
    designation: 6A
    series: lanternfish
    wave: po-2
    count: 6
    pictures: {based_on: b-003}
    languages: [en]
    released: 1982-06
    features: {maker-line: one-line, waves-drawn: 6}
    sources: [binder]
""",
        "lanternfish/pell-orrin/b-020",
        "designation",
    ),
)
