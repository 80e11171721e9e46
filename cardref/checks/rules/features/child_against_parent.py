"""A feature is recorded in a state that its parent's state rules out."""

from collections.abc import Iterator, Mapping

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Also, Hit, Rule
from cardref.checks.rules.features._recorded import recorded
from cardref.facts.called import called
from cardref.facts.features import features_of_line
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.feature import NOT_APPLICABLE, Applies
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    hanging: dict[str, dict[str, Applies]] = {}
    for entry, states in recorded(corpus):
        line = entry.id.partition("/")[0]
        if line not in hanging:
            features = features_of_line(index, line).items()
            hanging[line] = {slug: one.applies for slug, one in features if one.applies is not None}
        against: dict[str, list[str]] = {}
        for slug in states.keys() & hanging[line].keys():
            applies = hanging[line][slug]
            if _clash(states, slug, applies):
                against.setdefault(applies.feature, []).append(slug)
        for parent, children in against.items():
            yield _hit(index, entry, states, parent, sorted(children), hanging[line])


def _clash(states: Mapping[str, tuple[str, ...]], slug: str, applies: Applies) -> bool:
    """Whether what is recorded of a feature contradicts what is recorded of its parent."""
    parent = states.get(applies.feature)
    if parent is None:
        return False
    if NOT_APPLICABLE not in states[slug]:
        return applies.state not in parent
    return parent == (applies.state,)


def _hit(
    index: Index,
    entry: Entry,
    states: Mapping[str, tuple[str, ...]],
    parent: str,
    children: list[str],
    hanging: Mapping[str, Applies],
) -> Hit:
    child = children[0]
    needed, found = hanging[child].state, " and ".join(states[parent])
    name = called(index, entry.id)
    if len(children) > 1:
        also = tuple(
            Also(entry, f"{slug} is {' and '.join(states[slug])}", ("features", slug)) for slug in children
        )
        return Hit(
            entry,
            f"{name} has {parent} {quoted(found)}, but {', '.join(children)} are recorded as if it were "
            f"another: correct {parent}",
            ("features", parent),
            value=found,
            also=also,
        )
    also = (Also(entry, f"{parent} is {found}", ("features", parent)),)
    said = " and ".join(states[child])
    if said == NOT_APPLICABLE:
        message = f"{name} has {child} not-applicable, but {parent} is {quoted(found)}, where it does apply"
    else:
        message = f"{name} has {child} {quoted(said)}, but {parent} is {quoted(found)}"
        message += f", and it applies only where that is {quoted(needed)}"
    return Hit(entry, f"{message}: correct one of them", ("features", child), value=said, also=also)


RULE = Rule(
    id="child-against-parent",
    family="features",
    severity=Severity.ERROR,
    summary="A feature is recorded in a state that its parent's state rules out.",
    rationale=(
        "What is offered in a panel cannot be read where there is no panel. One of the two was recorded for "
        "another printing, and a collector who looks for it is led astray."
    ),
    check=_check,
    good=changed(
        "lines/lanternfish/backs/morvane.yaml", "offer-flash: absent", "offer-flash: [present, absent]"
    ),
    bad=changed(
        "lines/lanternfish/backs/morvane.yaml",
        "offer-flash: absent",
        "offer-flash: absent, offer-token: badge",
        "lanternfish/morvane/b-001",
        "features.offer-token",
    ),
)
