"""What the dataset's README says of the dataset is so."""

import re
import shutil
import unicodedata
from functools import cache
from pathlib import Path

import pytest
import yaml

from cardref.facts.separation import separation, siblings
from cardref.index import Index, from_loaded
from cardref.model.source import WEAK_SOURCES, SourceKind
from cardref.storage.loader import load_tree
from tests.markdown import blocks

DATASET = Path(__file__).parents[2] / "dataset"
README = (DATASET / "README.md").read_text(encoding="utf-8")


@cache
def index() -> Index:
    """The dataset."""
    return from_loaded(load_tree(DATASET))


def section(title: str) -> str:
    """The text under a heading of the README."""
    return README.split(f"\n## {title}\n", 1)[1].split("\n## ", 1)[0]


def test_the_first_words_say_that_it_is_invented() -> None:
    """Nobody can miss that nothing in here is real, nor how a real line is begun."""
    head = README.split("\n\n")[1].replace("\n", " ")
    assert "invented demo data" in head
    assert "`cardref init`" in head
    dataset = index().dataset
    assert dataset is not None
    assert dataset.invented


def test_the_size_is_as_told() -> None:
    """The numbers of backs, fronts and cards are those that the README gives."""
    assert f"{len(index().backs)} printed backs" in README.replace("\n", " ")
    assert round(len(index().faces), -2) == 700
    assert round(len(index().cards), -2) == 1700
    assert set(re.findall(r"^\| `([a-z-]+)` \|", README.split("## How to read it")[0], re.MULTILINE)) == set(
        index().lines
    )


def test_tidewrack_is_as_varied_as_told() -> None:
    """The makers, the code schemes and the scripts are as many as the README says."""
    line = index().lines["tidewrack"]
    assert len(set(line.makers) - {line.home, "maker/north-sea-pool"}) == 7
    assert sum(scheme.id.startswith("tidewrack/") for scheme in index().schemes.values()) == 8
    signs = {
        unicodedata.name(sign).split()[0]
        for figure in index().figures.values()
        if figure.id.startswith("tidewrack/")
        for name in figure.names
        for sign in name.text
        if sign.isalpha()
    }
    assert signs == {"LATIN", "GREEK", "HANGUL", "DEVANAGARI"}
    assert "seven regional makers and a pool, eight ways to write a code, four scripts" in README


def test_blind_pairs_are_those_that_are_listed() -> None:
    """The table names exactly the pairs that no recorded feature separates."""
    listed = {
        frozenset(f"{maker} {one}" for one in pair.split(", "))
        for maker, pair in re.findall(
            r"^\| `([a-z-]+)` (\w+, \w+) \|", section("Where it is blind"), re.MULTILINE
        )
    }
    found = {
        frozenset(index().backs[full].label for full in (pair.one, pair.other))
        for group in siblings(index())
        for pair in (*group.alike, *group.open)
    }
    assert found == listed


def test_one_pair_hangs_on_the_rope() -> None:
    """25B and 25C differ in the length of the rope and in nothing else that is recorded of both."""
    between = separation(index(), "tidewrack/quay-marl/b-017", "tidewrack/quay-marl/b-018")
    assert [one.feature for one in between.by] == ["rope-length"]
    assert not between.close


@pytest.mark.parametrize("kind", SourceKind)
def test_what_can_confirm_alone(kind: SourceKind) -> None:
    """The table of sources agrees with the rule that is checked."""
    rows = [row.split("|") for row in section("What counts as a source").splitlines() if f"`{kind}`" in row]
    assert len(rows) == 1
    assert rows[0][3].strip().startswith("no") == (kind in WEAK_SOURCES)


def test_the_worked_example_works(tmp_path: Path) -> None:
    """The example's two blocks, put at the ends of their files, make one more source and one more card."""
    source, card = (
        block.text
        for block in blocks(section("Contribute one fact").replace("\n   ", "\n"))
        if block.language == "yaml"
    )
    place = tmp_path / "dataset"
    shutil.copytree(DATASET, place)
    for name, block in (("sources.yaml", source), ("lines/tidewrack/cards/quay-marl.yaml", card)):
        path = place / name
        path.write_text(f"{path.read_text('utf-8')}\n{block}\n", "utf-8")
    after = from_loaded(load_tree(place))
    (added,) = after.cards.keys() - index().cards.keys()
    before = {one.id for one in index().cards.values() if one.maker == "quay-marl"}
    assert int(added[-4:]) == 1 + max(int(one[-4:]) for one in before)
    record = after.cards[added]
    assert after.figures[after.faces[record.face].figure].name == "Sounding Tam"
    assert after.backs[record.back].label == "quay-marl 25D"
    assert record.sources[0] in after.sources.keys() - index().sources.keys()
    assert (record.face, record.back) not in {(one.face, one.back) for one in index().cards.values()}


def test_the_dispute_that_is_shown_is_in_the_data() -> None:
    """The example of a dispute is copied from a record."""
    (shown,) = (yaml.safe_load(block.text) for block in blocks(section("How a dispute is recorded")))
    back = index().backs["tidewrack/quay-marl/b-014"]
    assert [side["claim"] for side in shown["sides"]] == [side.claim for side in back.sides]
    assert [f"source/{one}" for one in shown["sources"]] == list(back.sources)
