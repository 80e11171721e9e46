"""Ids or designations changed, and the dataset's version did not."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.dataset import Dataset
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    from cardref.facts.changes import Sort  # noqa: PLC0415 - only where there is an earlier version

    entry = next((entry for entry, _ in corpus.records("dataset", Dataset)), None)
    old, new = corpus.changes.old_version, corpus.changes.new_version
    if entry is None or not old or _steps(new) > _steps(old):
        return
    if new != old:
        message = f"version {new} is older than {old}, which was there before: count on from {old}"
        yield Hit(entry, message, ("version",), value=new)
        return
    breaking = [change for change in corpus.changes.breaking if change.sort is not Sort.REMOVED]
    if breaking:
        first = breaking[0]
        name = called(corpus.own if corpus.base is None else corpus.base, first.id)
        what = f"{name} was {first.sort.value}"
        more = f", and {count_of(len(breaking) - 1, 'more change')} like it" if len(breaking) > 1 else ""
        now = corpus.by_id.get(first.into[0] if first.into else first.id)
        yield Hit(
            entry,
            f"{what}{more}, but the version is {new} as before: give the dataset a new version",
            ("version",),
            value=new,
            also=() if now is None else (Also(now, f"was {first.sort.value}"),),
        )


def _steps(version: str) -> tuple[int, ...]:
    return tuple(map(int, version.split(".")))


RULE = Rule(
    id="version-step",
    family="ids",
    severity=Severity.WARNING,
    summary="Ids or designations changed, and the dataset's version did not.",
    rationale=(
        "A list that was made with the old version no longer means the same. The version is what tells "
        "its owner to look again."
    ),
    check=_check,
    needs=("base",),
    good=changed("dataset.yaml", "2026.11", "2026.12"),
    bad=changed("lines/lanternfish/backs/morvane.yaml", "3A", "3B", "sample", "version"),
)
