"""A feature is recorded where it cannot be seen."""

from collections.abc import Iterator, Mapping
from typing import Final

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.features._recorded import used_states
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.feature import Side

__all__ = ["RULE"]

SEEN_ON: Final[Mapping[str, frozenset[Side]]] = {
    "back": frozenset({Side.BACK, Side.BOARD}),
    "face": frozenset({Side.FRONT}),
    "card": frozenset({Side.BUBBLE, Side.FIGURE, Side.BOARD}),
}
"""Kind of record -> what can be seen on it. Board is recorded for a printing, or for one card."""

_BELONGS: Final = {Side.FRONT: "a face", Side.BACK: "a back", Side.BOARD: "a back or card"}


def _check(corpus: Corpus) -> Iterator[Hit]:
    for full, states in used_states(corpus).items():
        feature = corpus.index.features[full]
        unseen = {kind for kind, seen in SEEN_ON.items() if feature.side not in seen}
        slug = full.rpartition("/")[2]
        # A record with two states of a feature is one record.
        for entry in dict.fromkeys(e for entries in states.values() for e in entries if e.kind in unseen):
            where = _BELONGS.get(feature.side, "a card")
            yield Hit(
                entry,
                f"{called(corpus.index, entry.id)} has {slug}, which is to be seen on the "
                f"{feature.side.value}: record it on {where}, or correct the feature's side",
                ("features", slug),
                on_key=True,
                value=slug,
                also=side(corpus, full, f"on the {feature.side.value}", "side"),
            )


RULE = Rule(
    id="feature-side",
    family="features",
    severity=Severity.ERROR,
    summary="A feature is recorded on a side where it cannot be seen.",
    rationale=(
        "Fronts and backs were printed apart. What is recorded on the wrong one is looked for in the wrong "
        "place, and tells printings apart that it has nothing to do with."
    ),
    check=_check,
    good=changed("lines/lanternfish/cards/pell-orrin.yaml", "board-glow: absent, ", ""),
    bad=changed(
        "lines/lanternfish/cards/pell-orrin.yaml",
        "board-glow: absent, ",
        "waves-drawn: 3, ",
        "lanternfish/pell-orrin/c-001",
        "features.waves-drawn",
    ),
)
