"""Rules of your own, for `cardref check --plugin own_rules` and `cardref.check(path, rules=RULES)`.

A plugin is a module that Python finds and that has RULES: rules made with `cardref.checks.rule.Rule`. Each
has a check, a function that gets the whole dataset (a `Corpus`) and yields a `Hit` for all it has to say:

    PYTHONPATH=examples cardref check dataset --plugin own_rules --select own

What a check can rely on:

- `corpus.records(kind, Class)` gives every well-formed record of a kind with its entry, in the order of the
  files; `corpus.index` finds records by id, `corpus.today` is the day of the check, and the functions of
  `cardref.facts` say what follows from the records.
- `Hit(entry, message, pointer)`: the pointer leads from the record to the value at fault, such as
  ("origin", 0); line and column are looked up for you. `also=` names the other place of a conflict, `value=`
  the offending text, which keeps the finding's identity when lines move.
- A check never raises, whatever the records say. Where it reasons from what is *not* there, its rule names
  the kinds it needs, and is skipped where one of them could not be read.
- Ids must be new, and the family is a word of your own. Findings can be selected, ignored, waived and put on
  a baseline like any others, and `dataset.yaml` can change their severity.
"""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.card import Card
from cardref.model.evidence import Standing

__all__ = ["RULES"]

_PATH = "lines/lanternfish/cards/pell-orrin.more.yaml"
_CARD = """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    standing: confirmed
    sources: [binder]
"""


def _confirmed_unseen(corpus: Corpus) -> Iterator[Hit]:
    for entry, card in corpus.records("card", Card):
        if card.standing is Standing.CONFIRMED and not card.sightings:
            yield Hit(
                entry,
                f"{corpus.named(entry)} is confirmed, but nobody counted a specimen: add sightings",
                ("standing",),
                value=card.standing.value,
            )


RULES = [
    Rule(
        id="confirmed-unseen",
        family="own",
        severity=Severity.NOTE,
        summary="A card is confirmed, and no specimen of it was counted.",
        rationale="Our club confirms a card when a member has held it, and counts it then.",
        check=_confirmed_unseen,
        good=Example(_PATH, _CARD + "    sightings: [{source: binder, count: 1}]\n"),
        bad=Example(_PATH, _CARD, "lanternfish/pell-orrin/c-020", "standing"),
    )
]
