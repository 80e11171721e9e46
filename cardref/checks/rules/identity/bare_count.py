"""A back without a letter stands beside lettered ones of the same count."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    lettered: dict[tuple[str, str, str, int], Entry] = {}
    backs = list(corpus.records("back", Back))
    for entry, back in backs:
        if not back.designation.bare:
            lettered.setdefault((entry.file.line, back.maker, back.series, back.designation.count), entry)
    for entry, back in backs:
        sibling = lettered.get((entry.file.line, back.maker, back.series, back.designation.count))
        if back.designation.bare and sibling is not None:
            yield Hit(
                entry,
                f"{corpus.named(entry)} has no letter, and {corpus.named(sibling)} has one: letter it, "
                "or say in the note that it may be any of them",
                ("designation",),
                value=str(back.designation),
                also=(Also(sibling, "has a letter", ("designation",)),),
            )


RULE = Rule(
    id="bare-count",
    family="identity",
    severity=Severity.NOTE,
    summary="A back without a letter stands beside lettered ones of the same count.",
    rationale=(
        "A bare 25 means every back with that count. Once one of them has a letter, the one without can "
        "be any of them."
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
    designation: "6"
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
        "lanternfish/pell-orrin/b-020",
        "designation",
    ),
)
