"""A specimen was seen before the card was made."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import one_card
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import started, surely_before
from cardref.finding import Severity
from cardref.model.card import Card

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    backs, sources = index.backs, index.sources
    for entry, card in corpus.records("card", Card):
        if not card.sightings or card.id in doubt or card.back in doubt:
            continue
        for number, sighting in enumerate(card.sightings):
            back = backs.get(card.back)
            made = card.released or (started(index, back) if back is not None else None)
            if surely_before(sighting.seen, made):
                yield Hit(
                    entry,
                    f"{called(index, card.id)} was seen {sighting.seen}, but dates from {made}: correct "
                    "when it was seen, or when it was made",
                    ("sightings", number, "seen"),
                    value=str(sighting.seen),
                    also=side(corpus, card.back, f"dates from {made}", "released"),
                )
                continue
            source = sources.get(sighting.source)
            if source is not None and sighting.seen is None and surely_before(source.date, made):
                yield Hit(
                    entry,
                    f"{called(index, card.id)} dates from {made}, but was seen for "
                    f"{called(index, source.id)}, which is of {source.date}: correct the source, or when "
                    "the card was made",
                    ("sightings", number, "source"),
                    value=source.id,
                    also=side(corpus, source.id, f"of {source.date}", "date"),
                )


RULE = Rule(
    id="seen-before-release",
    family="time",
    severity=Severity.ERROR,
    summary="A specimen was seen before the card was made.",
    rationale=(
        "A sighting is what proves a card. One that is older than the card proves another card, or its year "
        "was mistyped."
    ),
    check=_check,
    good=one_card('sources: [binder]\nsightings: [{source: binder, seen: "1991"}]'),
    bad=one_card('sources: [binder]\nsightings: [{source: binder, seen: "1979"}]', "sightings.seen"),
)
