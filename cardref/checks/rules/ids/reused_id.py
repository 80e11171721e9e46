"""A retired id is in use."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.bookkeeping import Tombstone

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for tombstone, _ in corpus.records("tombstone", Tombstone):
        entry = corpus.by_id.get(tombstone.id)
        if entry is not None:
            yield Hit(
                entry,
                f"{corpus.named(entry)} has an id that is retired: give it an id of its own, or take the "
                "tombstone out if it was put up by mistake",
                ("id",),
                value=tombstone.id,
                also=(Also(tombstone, "retired here", ("id",)),),
            )


RULE = Rule(
    id="reused-id",
    family="ids",
    severity=Severity.ERROR,
    summary="A retired id is in use.",
    rationale=(
        "A collector's list from last year says what the id meant then. Whoever gives it to another "
        "thing makes that list wrong without touching it."
    ),
    check=_check,
    good=Example(
        "retired.yaml",
        """\
retired:
  - id: lanternfish/pell-orrin/b-000
    replaced_by: [lanternfish/pell-orrin/b-002]
    reason: It was the same printing as b-002.
""",
    ),
    bad=Example(
        "retired.yaml",
        """\
retired:
  - id: lanternfish/pell-orrin/c-010
    replaced_by: [lanternfish/pell-orrin/c-009]
    reason: It was the same card as c-009.
""",
        "lanternfish/pell-orrin/c-010",
        "id",
    ),
)
