"""A feature, or one of its states, that is recorded nowhere."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.features._recorded import used_states
from cardref.facts.called import called, listed
from cardref.facts.features import states_allowed
from cardref.finding import Severity
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for full, states in used_states(corpus).items():
        entry = corpus.by_id.get(full)
        if entry is None:
            continue
        feature = index.features[full]
        genuine = (
            {state for some in feature.sign.genuine.values() for state in some} if feature.sign else set()
        )
        if not states:
            if not genuine:
                yield Hit(
                    entry,
                    f"{called(index, full)} is recorded nowhere: record its states, or take it out of the "
                    "catalogue",
                    (),
                )
            continue
        if len(states) == 1 and feature.sign is None and max(map(len, states.values())) > 1:
            continue  # it is in one state everywhere, which is told as that
        unused = [state for state in states_allowed(feature) if state not in states and state not in genuine]
        # A presence that is only ever seen present or absent is another matter.
        if unused and feature.states:
            yield Hit(
                entry,
                f"{called(index, full)} has the state {listed(map(quoted, unused))}, which no record has: "
                "take it out, or record where it was seen",
                ("states", feature.states.index(unused[0])),
                value=unused[0],
            )


RULE = Rule(
    id="unused-state",
    family="features",
    severity=Severity.NOTE,
    summary="A feature, or one of its states, is recorded nowhere.",
    rationale=(
        "People are asked to look for what is in the catalogue. A state that no card has makes them doubt "
        "what they see; mostly the record that had it was mistyped."
    ),
    check=_check,
    needs=("back", "face", "card", "reproduction"),
    good=changed("lines/lanternfish/features.yaml", "states: [green, amber]", "states: [amber, green]"),
    bad=changed(
        "lines/lanternfish/features.yaml",
        "states: [green, amber]",
        "states: [green, amber, ruby]",
        "lanternfish/feature/lamp-paint",
        "states",
    ),
)
