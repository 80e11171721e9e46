"""Every record that has feature states, as the rules about features go through them."""

from collections.abc import Iterator, Mapping
from typing import Final, Protocol

from cardref.checks.corpus import Corpus
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.reproduction import Reproduction
from cardref.storage.loader import Entry

__all__ = ["ON_CARDS", "WITH_FEATURES", "WithFeatures", "recorded"]


class WithFeatures(Protocol):
    """A record that has feature states."""

    @property
    def features(self) -> Mapping[str, tuple[str, ...]]:
        """Slug -> states."""


ON_CARDS: Final[Mapping[str, type[WithFeatures]]] = {"back": Back, "face": Face, "card": Card}
"""Kinds of records that tell what is to be seen on cards."""

WITH_FEATURES: Final[Mapping[str, type[WithFeatures]]] = {**ON_CARDS, "reproduction": Reproduction}
"""The same, and copies."""


def recorded(corpus: Corpus) -> Iterator[tuple[Entry, Mapping[str, tuple[str, ...]]]]:
    """Backs, faces, cards and reproductions that say anything about features, with what they say."""
    for kind, record in WITH_FEATURES.items():
        for entry, one in corpus.records(kind, record):
            if one.features:
                yield entry, one.features
