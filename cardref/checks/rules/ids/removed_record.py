"""A record is gone, and no tombstone tells where to."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.kinds import KINDS
from cardref.storage.layout import spec_of
from cardref.storage.loader import LoadedFile
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    from cardref.facts.changes import Sort  # noqa: PLC0415 - only where there is an earlier version

    where = corpus.loaded.files.get("retired.yaml") or LoadedFile("retired.yaml", spec_of("retired.yaml"))
    for change in corpus.changes.of(Sort.REMOVED):
        if change.id in corpus.by_id or corpus.base is None:
            continue  # it is there, but cannot be read
        name = called(corpus.base, change.id)
        added = [c.id for c in corpus.changes.of(Sort.ADDED) if c.kind == change.kind]
        hint = f"; did {quoted(added[0])} take its place?" if len(added) == 1 else ""
        yield Hit(
            where,
            f"{name} was removed without a tombstone: add {quoted(change.id)} to retired.yaml with a reason "
            f"and what took its place, or put it back{hint}",
            ("retired",),
            on_key=True,
            value=change.id,
            record=change.id,
        )


RULE = Rule(
    id="removed-record",
    family="ids",
    severity=Severity.ERROR,
    summary="A record is gone, and no tombstone tells where to.",
    rationale=(
        "Somebody noted the id down. A tombstone costs three lines and tells that person what became of "
        "it; a gap tells nothing."
    ),
    check=_check,
    needs=("base", *KINDS),
    good=Example(
        "glossary.yaml",
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
  - id: count
    word: back count
    what: How many figures the reverse pictures.
""",
    ),
    bad=Example(
        "glossary.yaml",
        """\
terms:
  - id: back
    word: back
    what: The printed reverse of a card.
""",
        "term/count",
    ),
)
