"""A country code that is none."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.territories import WITHDRAWN, country_exists
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.card import Card
from cardref.model.maker import Maker
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _countries(corpus: Corpus) -> Iterator[tuple[Entry, Pointer, str]]:
    for entry, maker in corpus.records("maker", Maker):
        if maker.country:
            yield entry, ("country",), maker.country
    for entry, card in corpus.records("card", Card):
        for number, mark in enumerate(card.origin):
            yield entry, ("origin", number, "country"), mark.country


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, pointer, code in _countries(corpus):
        if country_exists(code):
            continue
        gone = [four for four, old in WITHDRAWN.items() if old.two == code]
        hint = f"for {WITHDRAWN[gone[0]].name} write {gone[0]}" if gone else "correct it"
        yield Hit(
            entry,
            f"{corpus.named(entry)}: {quoted(code)} is no country code of ISO 3166-1, nor of ISO 3166-3 for "
            f"countries that are no more: {hint}",
            pointer,
            value=code,
        )


RULE = Rule(
    id="unknown-country",
    family="cards",
    severity=Severity.ERROR,
    summary="A country code is none of ISO 3166.",
    rationale=(
        "The country of origin is marked on the card and searched by. A code that no country ever had finds "
        "nothing; a country that no longer exists has a code of four letters."
    ),
    check=_check,
    good=changed("makers.yaml", "country: DE", "country: DDDE"),
    bad=changed("makers.yaml", "country: DE", "country: DX", "maker/thalweg", "country"),
)
