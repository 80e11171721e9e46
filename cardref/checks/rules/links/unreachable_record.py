"""A record that nothing leads to."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.linking import used
from cardref.checks.rule import Example, Hit, Rule
from cardref.finding import Severity

__all__ = ["RULE"]

_ADVICE = {
    "maker": "list it among a line's makers, or take it out",
    "series": "record the backs and faces of the series, or take it out",
    "figure": "say in which wave it debuts, on which back it is pictured or which face shows it",
    "sticker": "name it on the cards that have it, or take it out",
    "face": "record the card that has this front, or take it out",
}


def _check(corpus: Corpus) -> Iterator[Hit]:
    for kind, advice in _ADVICE.items():
        reached = used(corpus.targets, kind)
        if corpus.under is not None:
            continue  # what lies below may lead to it, and is not ours to judge
        for entry in corpus.entries(kind):
            if entry.id and entry.id not in reached:
                yield Hit(entry, f"nothing leads to {corpus.named(entry)}: {advice}")


RULE = Rule(
    id="unreachable-record",
    family="links",
    severity=Severity.NOTE,
    summary="Nothing leads to a record.",
    rationale=(
        "A figure in no wave, on no back and on no face will never be found by somebody who holds a card in "
        "hand. Mostly the record that should name it is missing or names another one."
    ),
    check=_check,
    needs=("line", "series", "wave", "scheme", "figure", "sticker", "reproduction", "back", "face", "card"),
    good=Example(
        "lines/lanternfish/stickers.yaml",
        """\
line: lanternfish
stickers:
  - {id: de-strip, kind: language, text: Laternenfisch, language: de, by: [thalweg], sources: [binder]}
  - {id: whistle-offer, kind: offer, text: Free whistle!, by: [pell-orrin], sources: [binder]}
""",
    ),
    bad=Example(
        "lines/lanternfish/stickers.yaml",
        """\
line: lanternfish
stickers:
  - {id: de-strip, kind: language, text: Laternenfisch, language: de, by: [thalweg], sources: [binder]}
  - {id: whistle-offer, kind: offer, text: Free whistle!, by: [pell-orrin], sources: [binder]}
  - {id: badge-offer, kind: offer, text: Free badge!, by: [pell-orrin], sources: [binder]}
""",
        "lanternfish/sticker/badge-offer",
    ),
)
