"""A record refers to an id that is retired."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import cards
from cardref.checks.linking import key_in, written_in
from cardref.checks.rule import Also, Hit, Mend, Rule
from cardref.finding import Severity
from cardref.storage.scalars import written as as_yaml
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for one in corpus.broken:
        if one.target not in index.retired or corpus.ids.kinds(one.target):
            continue
        kind, pointer = one.kinds[0], one.pointer
        if one.on_key:
            pointer = key_in(corpus.loaded, one.entry, kind, pointer)
        now = [full for full in index.current(one.target) if index.kind(full) in one.kinds]
        shown = [written_in(one.entry, index.kind(full), full) for full in now]
        if shown:
            hint = f"write {' or '.join(shown)}, which took its place"
        else:
            hint = "nothing took its place, so take the link out or correct it"
        tombstone = next((e for e in corpus.entries("tombstone") if e.id == one.target), None)
        written = written_in(one.entry, kind, one.target)
        yield Hit(
            one.entry,
            f"{corpus.named(one.entry)} refers to {quoted(written)}, an id that is retired: {hint}",
            pointer,
            one.on_key,
            one.target,
            also=() if tombstone is None else (Also(tombstone, "retired here", ("id",)),),
            mend=Mend(f"write {shown[0]}", as_yaml(shown[0], flow=True), safe=True)
            if len(shown) == 1
            else None,
        )


RULE = Rule(
    id="retired-link",
    family="links",
    severity=Severity.ERROR,
    summary="A record refers to an id that is retired.",
    rationale=(
        "An id is retired when two records turn out to be one, or one to be two. What still refers to it has "
        "to say which of the records that stand today it means."
    ),
    check=_check,
    good=cards("""
        - id: c-020
          face: f-002
          back: b-002
          sources: [binder]
    """),
    bad=cards(
        """
        - id: c-020
          face: f-002
          back: b-000
          sources: [binder]
    """,
        "lanternfish/pell-orrin/c-020",
        "back",
    ),
    fix="safe",
)
