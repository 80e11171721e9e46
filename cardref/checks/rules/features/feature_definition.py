"""A feature of the catalogue that nobody could record or read as it is described."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import general
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.features import features_of_line, state_fault
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.feature import NOT_APPLICABLE, Feature, FeatureKind
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for entry, feature in corpus.records("feature", Feature):
        for pointer, what in _faults(index, feature):
            yield Hit(entry, f"{called(index, feature.id)} {what}", pointer, value=what[:60])
            break  # what follows from one slip in a definition is not worth a word of its own


def _faults(index: Index, feature: Feature) -> Iterator[tuple[Pointer, str]]:
    kind = feature.kind
    if kind is FeatureKind.CHOICE and len(set(feature.states)) < 2:
        yield (
            ("states",) if feature.states else ("kind",),
            "is a choice of fewer than two states: list its states",
        )
    if kind is not FeatureKind.CHOICE and feature.states:
        yield (
            ("states",),
            f"is a {kind.value}, which has no states of its own: take them out, or make it a choice",
        )
    for number, state in enumerate(feature.states):
        if state in feature.states[:number]:
            yield ("states", number), f"lists the state {quoted(state)} twice: name another, or take it out"
        if state == NOT_APPLICABLE:
            yield (
                ("states", number),
                "lists not-applicable as a state: that follows from applies, and is never listed",
            )
    if kind is not FeatureKind.COUNT and (feature.least is not None or feature.most is not None):
        field = "least" if feature.least is not None else "most"
        yield (field,), f"is a {kind.value}, and only a count has a least or most: take it out"
    if feature.least is not None and feature.most is not None and feature.least > feature.most:
        yield (
            ("most",),
            f"counts from {feature.least} to {feature.most}: the least must not be above the most",
        )
    if feature.misread is not None and feature.misread > 0.5:
        yield (
            ("misread",),
            f"is misread {feature.misread:g} of the time: above 0.5 a look tells less than a coin",
        )
    yield from _parent_faults(index, feature)


def _parent_faults(index: Index, feature: Feature) -> Iterator[tuple[Pointer, str]]:
    if feature.applies is None:
        return
    line = feature.id.partition("/")[0]
    features = features_of_line(index, "" if line == "feature" else line)
    slug = feature.id.rpartition("/")[2]
    parent = features.get(feature.applies.feature)
    if parent is None:
        return  # a link to nothing is told as that
    fault = state_fault(parent, feature.applies.state)
    if fault:
        yield (
            ("applies", "state"),
            f"applies where {called(index, parent.id)} is {quoted(feature.applies.state)}, but {fault}",
        )
    way = [slug]
    while parent is not None:
        if parent.id.rpartition("/")[2] in way:
            yield (
                ("applies", "feature"),
                f"hangs on itself by way of {called(index, parent.id)}: name another parent",
            )
            return
        way.append(parent.id.rpartition("/")[2])
        parent = features.get(parent.applies.feature) if parent.applies is not None else None


def _more(most: int) -> str:
    return f"""
        - id: rivets
          title: Rivets
          where: back, along the edge
          how: Count the rivets drawn along the edge.
          kind: count
          side: back
          least: 2
          most: {most}
          sources: [binder]
    """


RULE = Rule(
    id="feature-definition",
    family="features",
    severity=Severity.ERROR,
    summary="A feature is described so that nobody could record or read it.",
    rationale=(
        "The catalogue tells people where to look and what they may find. A feature that contradicts itself "
        "sends them looking for what cannot be there."
    ),
    check=_check,
    good=general("features.yaml", _more(8)),
    bad=general("features.yaml", _more(1), "feature/rivets", "most"),
)
