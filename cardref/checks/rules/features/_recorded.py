"""Every record that has feature states, as the rules about features go through them."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, Protocol

from cardref.checks.corpus import Corpus
from cardref.facts.features import features_of_line
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.reproduction import Reproduction
from cardref.storage.loader import Entry

__all__ = ["ON_CARDS", "WITH_FEATURES", "WithFeatures", "recorded", "used_states"]


class WithFeatures(Protocol):
    """A record that has feature states."""

    @property
    def features(self) -> Mapping[str, tuple[str, ...]]:
        """Slug -> states."""


ON_CARDS: Final[Mapping[str, type[WithFeatures]]] = {"back": Back, "face": Face, "card": Card}
"""Kinds of records that tell what is to be seen on cards."""

WITH_FEATURES: Final[Mapping[str, type[WithFeatures]]] = {**ON_CARDS, "reproduction": Reproduction}
"""The same, and copies."""


def used_states(corpus: Corpus) -> Mapping[str, Mapping[str, Sequence[Entry]]]:
    """Feature id -> state -> the records that have it, reproductions among them; worked out once."""
    return corpus.once(_used_states)


def _used_states(corpus: Corpus) -> dict[str, dict[str, list[Entry]]]:
    index = corpus.index
    found: dict[str, dict[str, list[Entry]]] = {full: {} for full in index.features}
    by_line: dict[str, dict[str, dict[str, list[Entry]]]] = {}
    for entry, states in recorded(corpus):
        line = entry.id.partition("/")[0]
        known = by_line.get(line)
        if known is None:
            features = features_of_line(index, line)
            known = by_line[line] = {slug: found[feature.id] for slug, feature in features.items()}
        for slug, several in states.items():
            uses = known.get(slug)
            if uses is None:
                continue  # not in the catalogue: told as a link to nothing
            for state in several:
                if state in uses:
                    uses[state].append(entry)
                else:
                    uses[state] = [entry]
    return found


def recorded(corpus: Corpus) -> Iterator[tuple[Entry, Mapping[str, tuple[str, ...]]]]:
    """Backs, faces, cards and reproductions that say anything about features, with what they say."""
    for kind, record in WITH_FEATURES.items():
        for entry, one in corpus.records(kind, record):
            if one.features:
                yield entry, one.features
