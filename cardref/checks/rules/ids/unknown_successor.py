"""A tombstone leads to nothing."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Mend, Rule
from cardref.finding import Severity
from cardref.model.bookkeeping import Tombstone
from cardref.model.kinds import kind_of
from cardref.notation.nearest import Suggester
from cardref.storage.scalars import written
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    suggester: Suggester | None = None
    for entry, tombstone in corpus.records("tombstone", Tombstone):
        for number, full in enumerate(tombstone.replaced_by):
            if corpus.ids.kinds(full) or full in corpus.index.retired or _may_exist(corpus, full):
                continue
            if suggester is None:
                suggester = Suggester(full for ids in corpus.ids.of.values() for full in ids)
            near = suggester.suggest(full, 1)
            hint = (
                f"did you mean {near[0].text}?"
                if near
                else "name what took its place, or leave replaced_by out"
            )
            yield Hit(
                entry,
                f"{corpus.named(entry)} leads to {quoted(full)}, and there is no such record; {hint}",
                ("replaced_by", number),
                value=full,
                mend=Mend(f"write {near[0].text}", written(near[0].text, flow=True)) if near else None,
            )


def _may_exist(corpus: Corpus, full: str) -> bool:
    told = kind_of(full)
    line = full.partition("/")[0] if full.count("/") == 2 else ""
    return any(corpus.may_exist(kind, line) for kind in ((told,) if told else ("back", "face", "card")))


RULE = Rule(
    id="unknown-successor",
    family="ids",
    severity=Severity.ERROR,
    summary="A tombstone leads to nothing.",
    rationale=(
        "A tombstone is there to lead on. One that leads to an id nobody knows loses the record it "
        "stands for."
    ),
    check=_check,
    good=changed("retired.yaml", "pell-orrin/b-002]", "pell-orrin/b-003]"),
    bad=changed(
        "retired.yaml", "pell-orrin/b-002]", "pell-orin/b-002]", "lanternfish/pell-orrin/b-000", "replaced_by"
    ),
    fix="unsafe",
)
