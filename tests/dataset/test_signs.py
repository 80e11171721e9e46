"""Signs of copies in the bundled dataset agree with what is recorded of originals and of copies.

What the signs mean is common practice and has no published source; nothing here authenticates a card.
"""

from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path

import pytest

from cardref.facts.features import features_of_line
from cardref.index import Index, from_loaded
from cardref.model.feature import Feature, Reliability
from cardref.storage.loader import load_tree

DATASET = Path(__file__).parents[2] / "dataset"


@cache
def index() -> Index:
    """The dataset."""
    return from_loaded(load_tree(DATASET))


def signs() -> list[Feature]:
    """The features that say something about copies."""
    return [feature for feature in index().features.values() if feature.sign is not None]


def originals() -> Iterator[tuple[str, str, Mapping[str, tuple[str, ...]]]]:
    """Id, maker and feature states of everything that is recorded of genuine cards."""
    for table in (index().backs, index().faces, index().cards):
        for record in table.values():
            yield record.id, f"maker/{record.maker}", record.features


@pytest.mark.parametrize("feature", signs(), ids=lambda feature: feature.id.rpartition("/")[2])
def test_originals_are_within_what_is_genuine(feature: Feature) -> None:
    """No original is recorded in a state that the sign does not count among its maker's originals."""
    slug = feature.id.rpartition("/")[2]
    assert feature.sign is not None
    seen = 0
    for full, maker, states in originals():
        if slug in states and maker in feature.sign.genuine:
            assert set(states[slug]) <= set(feature.sign.genuine[maker]), full
            seen += 1
    assert seen, "no original is recorded for this sign"


def test_every_copy_is_given_away_by_something() -> None:
    """Each known copy has, by some sign, a state that its maker's originals have not."""
    for copy in index().reproductions.values():
        line = copy.id.partition("/")[0]
        known = features_of_line(index(), line)
        makers = {f"maker/{full.split('/')[1]}" for full in copy.copies} or {index().lines[line].home}
        tells = [
            slug
            for slug, states in copy.features.items()
            if (sign := known[slug].sign) is not None
            and any(maker in sign.genuine and set(states).isdisjoint(sign.genuine[maker]) for maker in makers)
        ]
        assert tells, copy.id


def test_every_sign_is_told_with_care() -> None:
    """A sign says why it means something, what to take care of, and no weak sign stands for a strong one."""
    for feature in signs():
        assert feature.sign is not None
        assert feature.sign.why
        assert feature.sign.caution
        assert "common practice" in feature.note.lower(), feature.id
    assert {feature.sign.reliability for feature in signs() if feature.sign} == set(Reliability)


def test_ultraviolet_warns_of_the_lamp() -> None:
    """Whoever is told to use ultraviolet light is told that it harms eyes and ink."""
    lamps = [feature for feature in signs() if feature.tool == "ultraviolet"]
    assert lamps
    for feature in lamps:
        assert feature.sign is not None
        assert "eyes" in feature.sign.caution
        assert "fades ink" in feature.sign.caution


def test_some_originals_shine() -> None:
    """Gloss alone condemns nothing: two regional makers' originals are glossy, the home maker's are matt."""
    sheen = index().features["feature/surface-sheen"].sign
    assert sheen is not None
    assert "glossy" not in sheen.genuine["maker/quay-marl"]
    assert sum("glossy" in states for states in sheen.genuine.values()) >= 2
