"""A country that was not there yet, or no longer, when the card was made."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.answer import Verdict
from cardref.facts.bounds import released
from cardref.facts.called import called
from cardref.facts.territories import country_existed, origin_fits
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.model.maker import Maker

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for entry, maker in corpus.records("maker", Maker):
        if not maker.country or maker.active is None:
            continue
        answer = country_existed(maker.country, maker.active)
        if answer.verdict is Verdict.NO:
            yield Hit(
                entry,
                f"{called(index, maker.id)} was active {maker.active}, but {answer.because}: correct the "
                "country, or when it was active",
                ("country",),
                value=maker.country,
            )
    for entry, card in corpus.records("card", Card):
        for number, mark in enumerate(card.origin):
            answer = origin_fits(index, mark.country, released(index, card.id))
            if answer.verdict is Verdict.NO:
                yield Hit(
                    entry,
                    f"{called(index, card.id)} is marked {mark.country}, but {answer.because}: write the "
                    "code that was right when the card was made",
                    ("origin", number, "country"),
                    value=mark.country,
                    also=tuple(
                        one for full in answer.records for one in side(corpus, full, "tells when it was made")
                    ),
                )


RULE = Rule(
    id="country-out-of-time",
    family="cards",
    severity=Severity.ERROR,
    summary="A country was not there yet, or no longer, when the card was made.",
    rationale=(
        "A country that is no more is right on an old card, and one that came later is a sure sign of a "
        "modern board. Written wrongly it makes a good card look like a copy."
    ),
    check=_check,
    good=changed("lines/lanternfish/cards/pell-orrin.yaml", "{country: IE,", "{country: YUCS,"),
    bad=changed(
        "lines/lanternfish/cards/pell-orrin.yaml",
        "{country: IE,",
        "{country: HR,",
        "lanternfish/pell-orrin/c-001",
        "origin.country",
    ),
)
