"""A feature is recorded in a state that it cannot have."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.features._recorded import used_states
from cardref.facts.called import called
from cardref.facts.features import state_fault
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.feature import Feature, FeatureKind
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for full, states in used_states(corpus).items():
        feature = corpus.index.features[full]
        for state, entries in states.items():
            fault = state_fault(feature, state)
            for entry in entries if fault else ():
                yield _hit(corpus, entry, feature, state, fault)
    for entry, feature in corpus.records("feature", Feature):
        if feature.sign is not None:
            yield from _genuine(corpus, entry, feature)


def _hit(corpus: Corpus, entry: Entry, feature: Feature, state: str, fault: str) -> Hit:
    slug = feature.id.rpartition("/")[2]
    several = getattr(entry.record, "features", {}).get(slug, ())
    pointer: Pointer = ("features", slug, several.index(state)) if len(several) > 1 else ("features", slug)
    where = "kind" if feature.kind is not FeatureKind.CHOICE else "states"
    return Hit(
        entry,
        f"{called(corpus.index, entry.id)} has {slug} {quoted(state)}, but {fault}",
        pointer,
        value=state,
        also=side(corpus, feature.id, f"a {feature.kind.value}", where),
    )


def _genuine(corpus: Corpus, entry: Entry, feature: Feature) -> Iterator[Hit]:
    for maker, states in feature.sign.genuine.items() if feature.sign is not None else ():
        for state in states:
            fault = state_fault(feature, state)
            if fault:
                short = maker.rpartition("/")[2]
                yield Hit(
                    entry,
                    f"{called(corpus.index, feature.id)} says that originals of {short} are "
                    f"{quoted(state)}, but {fault}",
                    ("sign", "genuine", short),
                    value=state,
                )


RULE = Rule(
    id="unknown-state",
    family="features",
    severity=Severity.ERROR,
    summary="A feature is recorded in a state that it cannot have.",
    rationale=(
        "Printings are told apart by comparing states. One that the catalogue does not have, or a length "
        "that no card can be, matches nothing that anybody will ever see."
    ),
    check=_check,
    good=changed("lines/lanternfish/backs/pell-orrin.yaml", "14-15 mm", "14-16 mm"),
    bad=changed(
        "lines/lanternfish/backs/pell-orrin.yaml",
        "14-15 mm",
        "16-15 mm",
        "lanternfish/pell-orrin/b-002",
        "features.lantern-height",
    ),
)
