"""A back without a letter stands beside lettered ones of the same count."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_back
from cardref.checks.rule import Also, Hit, Rule
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
    good=one_back("6B"),
    bad=one_back('"6"', field="designation"),
)
