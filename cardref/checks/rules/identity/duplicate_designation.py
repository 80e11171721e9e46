"""Two backs of one maker and series have the same designation."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_back
from cardref.checks.rule import Also, Hit, Rule
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
    good=one_back("6B"),
    bad=one_back("6A", field="designation"),
)
