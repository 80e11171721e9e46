"""A tombstone is gone."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.storage.layout import spec_of
from cardref.storage.loader import LoadedFile
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    where = corpus.loaded.files.get("retired.yaml") or LoadedFile("retired.yaml", spec_of("retired.yaml"))
    there = {entry.id for entry in corpus.entries("tombstone")}
    for full in corpus.changes.revived:
        if full in there:
            continue
        now = corpus.by_id.get(full)
        used = f", and {corpus.named(now)} uses the id now" if now is not None else ""
        yield Hit(
            where,
            f"the tombstone of {quoted(full)} is gone{used}: put it back, since an id is never used again",
            ("retired",),
            on_key=True,
            value=full,
            also=() if now is None else (Also(now, "uses it", ("id",)),),
            record=full,
        )


RULE = Rule(
    id="lost-tombstone",
    family="ids",
    severity=Severity.ERROR,
    summary="A tombstone is gone.",
    rationale=(
        "Without its tombstone a retired id looks as if it had never been used, and sooner or later "
        "somebody gives it to another thing."
    ),
    check=_check,
    needs=("base", "tombstone"),
    good=Example(
        "retired.yaml",
        """\
retired:
  - id: lanternfish/pell-orrin/b-000
    replaced_by: [lanternfish/pell-orrin/b-002]
    reason: It was the same printing as b-002, as two copies show.
""",
    ),
    bad=Example(
        "retired.yaml",
        """\
retired: []
""",
        "lanternfish/pell-orrin/b-000",
    ),
)
