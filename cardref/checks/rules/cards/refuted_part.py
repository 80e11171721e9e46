"""A card that exists has a face or back that is refuted."""

from collections.abc import Iterator, Mapping

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.evidence import Standing
from cardref.model.face import Face
from cardref.text import count_of

__all__ = ["RULE"]

_EXISTS = frozenset({Standing.CONFIRMED, Standing.REPORTED})


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    refuted = {
        full: "face" if full in index.faces else "back"
        for table in (index.faces, index.backs)
        for full, record in _parts(table)
        if record.standing is Standing.REFUTED
    }
    if not refuted:
        return
    found: dict[str, list[Card]] = {}
    for _, card in corpus.records("card", Card):
        for full in (card.face, card.back):
            if full in refuted and card.standing in _EXISTS:
                found.setdefault(full, []).append(card)
    for full, existing in found.items():
        first = existing[0]
        if len(existing) > 1 and full in corpus.by_id:
            yield Hit(
                corpus.by_id[full],
                f"{called(index, full)} is refuted, but {count_of(len(existing), 'card')} with it are "
                f"recorded as existing, {called(index, first.id)} first: correct its standing, or that of "
                "the cards",
                ("standing",),
                value="refuted",
                also=sides(corpus, (card.id for card in existing), "exists", ("standing",)),
            )
            continue
        yield Hit(
            corpus.by_id[first.id],
            f"{called(index, first.id)} is {first.standing}, but {called(index, full)} is refuted: correct "
            "the standing of one of them",
            ("standing",),
            value=str(first.standing),
            also=side(corpus, full, "is refuted", "standing"),
        )


def _parts(table: Mapping[str, Face] | Mapping[str, Back]) -> Iterator[tuple[str, Face | Back]]:
    yield from table.items()


RULE = Rule(
    id="refuted-part",
    family="cards",
    severity=Severity.ERROR,
    summary="A card that is recorded as existing has a refuted face or back.",
    rationale=(
        "A printing that never was cannot be part of a card that is. One of the two statements is out of "
        "date, and the next reader believes the wrong one."
    ),
    check=_check,
    good=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "codes: unread\n    standing: reported",
        "codes: unread\n    standing: unverified",
    ),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "codes: unread\n    standing: reported",
        "codes: unread\n    standing: refuted",
        "lanternfish/pell-orrin/c-010",
        "standing",
    ),
)
