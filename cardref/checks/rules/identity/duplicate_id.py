"""Two records have the same id."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import cards, one_card
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    seen: dict[tuple[bool, str], Entry] = {}
    for kind, entries in corpus.loaded.entries.items():
        # A tombstone bears the id of something else, and a waiver has none.
        retired = kind == "tombstone"
        for entry in entries:
            if not entry.id or kind == "dataset":
                continue
            first = seen.setdefault((retired, entry.id), entry)
            if first is not entry:
                whose = (
                    f"the {first.kind} at {first.file.path}"
                    if first.file is not entry.file
                    else "another record"
                )
                advice = "keep one of the two" if retired else "give this one an id of its own"
                yield Hit(
                    entry,
                    f"{entry.kind} {quoted(entry.id)} has the same id as {whose}: {advice}",
                    ("id",),
                    value=entry.file.path,
                    also=(Also(first, "has it too", ("id",)),),
                )


RULE = Rule(
    id="duplicate-id",
    family="identity",
    severity=Severity.ERROR,
    summary="Two records have the same id.",
    rationale=(
        "An id stands for one thing. Of two records with the same id only one can be found, and which "
        "one depends on the order of the files."
    ),
    check=_check,
    good=one_card("sources: [binder]"),
    bad=cards(
        """
        - id: c-010
          face: f-004
          back: b-001
          sources: [binder]
    """,
        "lanternfish/pell-orrin/c-010",
        "id",
    ),
)
