"""A specimen was seen after the source that tells of it was made."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import surely_before
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.notation.edtf import Date
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    sources = index.sources
    clashes: list[tuple[str, tuple[Entry, int, Date]]] = []
    checked: dict[str, int] = {}
    for entry, card in corpus.records("card", Card):
        for number, sighting in enumerate(card.sightings):
            source = sources.get(sighting.source)
            if source is None or sighting.seen is None or source.date is None:
                continue
            checked[source.id] = checked.get(source.id, 0) + 1
            if surely_before(source.date, sighting.seen):
                clashes.append((source.id, (entry, number, sighting.seen)))
    for shared in by_shared(clashes, checked):
        name, date = called(index, shared.key), sources[shared.key].date
        if shared.at_fault and shared.key in corpus.by_id:
            yield Hit(
                corpus.by_id[shared.key],
                f"{name} is of {date}, but {count_of(len(shared.items), 'specimen')} were seen for it "
                "later: correct its date",
                ("date",),
                value=str(date),
                also=sides(corpus, (one[0].id for one in shared.items), f"seen after {date}", ("sightings",)),
            )
            continue
        for entry, number, seen in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} was seen {seen}, but {name}, which tells of it, is of {date}: "
                "correct when it was seen, or name another source",
                ("sightings", number, "seen"),
                value=str(seen),
                also=side(corpus, shared.key, f"of {date}", "date"),
            )


RULE = Rule(
    id="seen-after-source",
    family="time",
    severity=Severity.ERROR,
    summary="A specimen was seen after the source that tells of it was made.",
    rationale=(
        "A source can only tell what its maker knew. A sighting that is younger was found somewhere else, "
        "and that is where the next person must look."
    ),
    check=_check,
    good=one_card('sources: [binder]\nsightings: [{source: binder, seen: "2018"}]'),
    bad=one_card('sources: [binder]\nsightings: [{source: binder, seen: "2024"}]', "sightings.seen"),
)
