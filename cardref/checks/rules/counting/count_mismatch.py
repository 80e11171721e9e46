"""A back's designation, its count and what it pictures do not agree."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called
from cardref.facts.counting import Counts, counts
from cardref.facts.pictures import pictures_of
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.back import Back
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    said = counts(index)
    for entry, back in corpus.records("back", Back):
        odd = said[back.id].odd
        # Of two backs with one id the index holds the first; the other is told for that.
        if odd and index.backs[back.id] is back:
            yield _hit(index, entry, back, said[back.id], odd)


def _hit(index: Index, entry: Entry, back: Back, said: Counts, odd: str) -> Hit:
    name = called(index, back.id)
    way = _way(index, back)
    if odd == "designation":
        message = f"{name} is called {back.designation}, but its count is {back.count}"
        advice = "correct the designation" if said.shown == back.count else "correct the one or the other"
        also = (Also(entry, f"says {back.count}", ("count",)),)
        return Hit(entry, f"{message}: {advice}", ("designation",), value=str(back.designation), also=also)
    shown = said.shown if said.shown is not None else back.count
    seen = f"{count_of(shown, 'picture')} can be counted from what it pictures{way}"
    also = (Also(entry, f"gives {count_of(shown, 'picture')}", _pictures(back)),)
    if odd == "count" and said.designation == shown:
        message = f"{name} says count {back.count}, but {seen}, as many as its designation says"
        return Hit(entry, f"{message}: correct the count", ("count",), value=str(back.count), also=also)
    if odd == "count":
        message = f"{name} says count {back.count}, but is called {back.designation}, and {seen}"
        return Hit(entry, f"{message}: find out which is right", ("count",), value=str(back.count), also=also)
    message = f"{name} says count {back.count}, but {seen}"
    advice = "add what is left out, or record fewer" if shown < back.count else "take out what is not there"
    return Hit(
        entry,
        f"{message}: {advice}, correct the count, or record a printer's slip",
        _pictures(back),
        value=str(shown),
        also=(Also(entry, f"says {back.count}", ("count",)),),
    )


def _way(index: Index, back: Back) -> str:
    seen = pictures_of(index)[back.id]
    steps = seen.steps[1:] if seen is not None else ()
    if not steps:
        return ""
    more = f" and {len(steps) - 3} more" if len(steps) > 3 else ""
    return " by way of " + ", ".join(str(index.backs[step].designation) for step in steps[:3]) + more


def _pictures(back: Back) -> Pointer:
    """The list where a figure is most likely to be missing or too many."""
    if back.pictures is not None and back.pictures.plus:
        return ("pictures", "plus")
    return ("pictures",)


def _more(count: int) -> str:
    return f"""
        - id: b-009
          designation: 5A
          series: lanternfish
          count: {count}
          pictures: {{based_on: b-001, plus: [kelp-weaver]}}
          released: 1982-01
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="count-mismatch",
    family="counting",
    severity=Severity.ERROR,
    summary="A back's designation, its count and what it pictures do not agree.",
    rationale=(
        "The count names the back. Somebody who counts the pictures at a fair and finds one more or one less "
        "than the reference says will take a common back for an unknown one."
    ),
    check=_check,
    good=backs(_more(5)),
    bad=backs(_more(6), BACK, "count"),
)
