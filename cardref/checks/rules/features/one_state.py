"""A feature that is in one state wherever it is recorded."""

from collections.abc import Iterator

from cardref.checks.blame import sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.features._recorded import used_states
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.feature import NOT_APPLICABLE
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for full, states in used_states(corpus).items():
        # A sign tells copies from originals, so it may well be the same on all originals.
        if full not in corpus.by_id or index.features[full].sign is not None:
            continue
        real = {state: records for state, records in states.items() if state != NOT_APPLICABLE}
        if len(real) != 1 or len(states) > 1:
            continue
        ((state, records),) = real.items()
        if len(records) > 1:
            yield Hit(
                corpus.by_id[full],
                f"{called(index, full)} is {quoted(state)} in all {count_of(len(records), 'record')} that "
                "have it, so it tells nothing apart: look where it differs, or leave it out",
                (),
                value=state,
                also=sides(
                    corpus, (entry.id for entry in records[:3]), state, ("features", full.rpartition("/")[2])
                ),
            )


RULE = Rule(
    id="one-state",
    family="features",
    severity=Severity.NOTE,
    summary="A feature is in the same state wherever it is recorded.",
    rationale=(
        "A feature is there to tell printings apart. One that is the same everywhere costs everybody a look "
        "and tells nobody anything."
    ),
    check=_check,
    needs=("back", "face", "card"),
    good=changed(
        "lines/lanternfish/cards/pell-orrin.yaml", "{lamp-paint: amber}", "{lamp-paint: [amber, green]}"
    ),
    bad=changed(
        "lines/lanternfish/cards/pell-orrin.yaml",
        "{lamp-paint: amber}",
        "{lamp-paint: green}",
        "lanternfish/feature/lamp-paint",
    ),
)
