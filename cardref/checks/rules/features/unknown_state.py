"""A feature is recorded in a state that it cannot have."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.features._recorded import recorded
from cardref.facts.called import called
from cardref.facts.features import features_of_line, state_fault
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.feature import Feature, FeatureKind
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    known: dict[tuple[str, str, str], str] = {}  # the same few states are recorded again and again
    for entry, states in recorded(corpus):
        line = entry.id.partition("/")[0]
        features = features_of_line(index, line)
        for slug, several in states.items():
            for number, state in enumerate(several):
                key = (line, slug, state)
                if key not in known:
                    feature = features.get(slug)
                    known[key] = state_fault(feature, state) if feature is not None else ""
                if known[key]:
                    yield _hit(corpus, entry, features[slug], (number, len(several)), state, known[key])
    for entry, feature in corpus.records("feature", Feature):
        if feature.sign is not None:
            yield from _genuine(corpus, entry, feature)


def _hit(corpus: Corpus, entry: Entry, feature: Feature, at: tuple[int, int], state: str, fault: str) -> Hit:
    slug = feature.id.rpartition("/")[2]
    pointer: Pointer = ("features", slug, at[0]) if at[1] > 1 else ("features", slug)
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
