"""A tombstone leads to another tombstone."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import general
from cardref.checks.rule import Also, Hit, Mend, Rule
from cardref.finding import Severity
from cardref.model.bookkeeping import Tombstone
from cardref.storage.scalars import written
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    tombstones = {entry.id: entry for entry, _ in corpus.records("tombstone", Tombstone)}
    for entry, tombstone in corpus.records("tombstone", Tombstone):
        for number, full in enumerate(tombstone.replaced_by):
            if full not in tombstones or full in corpus.by_id:
                continue
            current = corpus.index.current(full)
            if tombstone.id in current or not current:
                continue  # a circle, or nothing at the end of it: other rules say so
            yield Hit(
                entry,
                f"{corpus.named(entry)} leads to {quoted(full)}, which is retired itself: name "
                f"{' and '.join(current)}, which stands today",
                ("replaced_by", number),
                value=full,
                also=(Also(tombstones[full], "the next step", ("replaced_by",)),),
                mend=Mend(f"write {current[0]}", written(current[0], flow=True), safe=True)
                if len(current) == 1
                else None,
            )


RULE = Rule(
    id="alias-chain",
    family="ids",
    severity=Severity.WARNING,
    summary="A tombstone leads to another tombstone.",
    rationale=(
        "Whoever looks up an old id should be led to what stands today in one step. Chains grow, and a "
        "break in one of them loses everything before it."
    ),
    check=_check,
    good=general(
        "retired.yaml",
        """
        - id: lanternfish/pell-orrin/b-005
          replaced_by: [lanternfish/pell-orrin/b-002]
          reason: It was the same printing as b-002.
    """,
    ),
    bad=general(
        "retired.yaml",
        """
        - id: lanternfish/pell-orrin/b-005
          replaced_by: [lanternfish/pell-orrin/b-000]
          reason: It was the same printing as b-000.
    """,
        "lanternfish/pell-orrin/b-005",
        "replaced_by",
    ),
    fix="safe",
)
