"""A date lies in the future."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from cardref.checks.corpus import Corpus
from cardref.checks.dating import future
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.card import Card
from cardref.notation.edtf import Date

__all__ = ["DATES", "RULE"]

DATES: Final[Mapping[str, str]] = {
    "back": "released",
    "card": "released",
    "maker": "active",
    "reproduction": "known",
    "scheme": "valid",
    "series": "years",
    "source": "date",
    "sticker": "released",
    "tombstone": "date",
    "wave": "date",
}
"""Kind -> its field with a date. A waiver's end lies in the future by nature; sightings come extra."""


def _dates(corpus: Corpus) -> Iterator[tuple[Any, Pointer, Date]]:
    for kind, field in DATES.items():
        for entry, record in corpus.records(kind, object):
            date = getattr(record, field)
            if date is not None:
                yield entry, (field,), date
    for entry, card in corpus.records("card", Card):
        for number, sighting in enumerate(card.sightings):
            if sighting.seen is not None:
                yield entry, ("sightings", number, "seen"), sighting.seen


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, pointer, date in _dates(corpus):
        if future(corpus, date):
            yield Hit(
                entry,
                f"{corpus.named(entry)}: {pointer[-1]} is {date}, but today is {corpus.today}: correct the "
                "year",
                pointer,
                value=str(date),
            )


def _more(year: int) -> str:
    return f"""
        - id: b-009
          designation: 4C
          series: lanternfish
          count: 4
          pictures: {{based_on: b-002}}
          features: {{waves-drawn: 5}}
          standing: disputed
          sides:
            - {{claim: There is a fourth printing., sources: [binder]}}
            - {{claim: It is b-002 with a stain., sources: [fair-photo]}}
          released: "{year}"
    """


RULE = Rule(
    id="future-date",
    family="time",
    severity=Severity.ERROR,
    summary="A date lies in the future.",
    rationale=(
        "Nobody can have seen what has not happened: a digit of the year is wrong, and every order and age "
        "that is worked out from it is wrong with it."
    ),
    check=_check,
    good=backs(_more(1982)),
    bad=backs(_more(2982), BACK, "released"),
)
