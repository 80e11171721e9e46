"""Contributions: a patch that applies and passes the checks, nothing private in it, nothing written over."""

import datetime as dt
import shutil
import subprocess
from pathlib import Path

import pytest

from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from cardref.errors import DatasetError, UnknownRecord, UsageError
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.evidence import Standing
from cardref.model.specimen import Specimen, Status
from cardref.notation.edtf import Date
from cardref.notation.money import Money
from cardref.reference import load
from cardref.specimens.collection import Collection
from cardref.specimens.proposing import Evidence, disputed, proposed
from cardref.storage.atomic import write_changes
from tests.specimens.made import collected

DAY = dt.date(2026, 11, 25)
CURLEW = Evidence(citation="The Curlew collection, inspected in hand (invented)", date=DAY)
LINE = "lanternfish/pell-orrin"
SMITH = Specimen(
    id="s-1",
    figure="lanternfish/figure/brine-smith",
    back=f"{LINE}/b-001",
    date=Date.parse("2026-10-03"),
    price=Money(77, "EUR"),
    seller="Mrs Dove, 7 Tallow Street",
    note="bought too dear",
)
"""A figure on a back that pictures it, of which no card is recorded; one front of it is."""


@pytest.fixture
def dataset(tmp_path: Path) -> Path:
    """The small sample dataset, with a comment in every file."""
    place = write_sample(tmp_path / "dataset")
    for path in place.rglob("*.yaml"):
        path.write_text(f"# kept: {path.stem}\n{path.read_text()}")
    return place


def _index(dataset: Path) -> Index:
    return load(dataset).index


def _mine(dataset: Path, *records: Specimen) -> Collection:
    return collected(*records, over=_index(dataset))


def _written(dataset: Path, *records: Specimen, evidence: Evidence = CURLEW) -> Index:
    """The dataset after these specimens were told to it; it passes its checks."""
    write_changes(dataset, proposed(_mine(dataset, *records), dataset, evidence).changes)
    assert check(dataset, today=DAY).at_least(Severity.WARNING) == ()
    return _index(dataset)


def test_a_new_card_is_reported_with_its_sighting_and_source(dataset: Path) -> None:
    """The card stands on its front, reported, with when it was seen and by whom, under the next number."""
    after = _written(dataset, SMITH)
    card = after.cards[f"{LINE}/c-011"]
    assert (card.face, card.back) == (f"{LINE}/f-003", SMITH.back)
    assert card.standing is Standing.REPORTED
    assert card.sources == ("source/curlew-collection",)
    assert [(one.source, str(one.seen)) for one in card.sightings] == [
        ("source/curlew-collection", "2026-10-03")
    ]
    assert after.sources["source/curlew-collection"].citation == CURLEW.citation


def test_a_number_that_was_given_once_is_never_given_again(dataset: Path) -> None:
    """A retired number is passed over, and two new cards get two numbers."""
    retired = dataset / "retired.yaml"
    retired.write_text(f"retired:\n  - {{id: {LINE}/c-040, reason: Seen wrongly.}}\n")
    two = Specimen(id="s-2", figure="lanternfish/figure/tide-clerk", back=f"{LINE}/b-002")
    after = _written(dataset, SMITH, two)
    assert {f"{LINE}/c-041", f"{LINE}/c-042"} < after.cards.keys()


def test_the_patch_applies_and_does_the_same(dataset: Path) -> None:
    """``git apply`` makes of the dataset what --write makes of it, byte for byte."""
    found = proposed(_mine(dataset, SMITH), dataset, CURLEW)
    written = dataset.parent / "written"
    shutil.copytree(dataset, written)
    write_changes(written, found.changes)
    subprocess.run(["git", "init", "-q"], cwd=dataset.parent, check=True)
    command = ["git", "apply", "-p0", "--directory=dataset"]
    subprocess.run(command, input=found.patch.encode(), cwd=dataset.parent, check=True)
    for path in written.rglob("*.yaml"):
        assert (dataset / path.relative_to(written)).read_bytes() == path.read_bytes()


def test_nothing_private_reaches_the_dataset(dataset: Path) -> None:
    """Neither price, nor seller, nor note, nor the user's own id stands in the patch."""
    text = proposed(_mine(dataset, SMITH), dataset, CURLEW).patch
    assert not any(private in text for private in ("77", "EUR", "Dove", "Tallow", "dear", "s-1"))


def test_told_twice_is_told_once(dataset: Path) -> None:
    """What the dataset knows by then is not proposed again."""
    several = (SMITH, Specimen(id="s-2", card=f"{LINE}/c-002", readings={"board-glow": ("absent",)}))
    _written(dataset, *several)
    again = proposed(_mine(dataset, *several), dataset, CURLEW)
    assert (again.changes, again.news) == ((), ())


def test_more_specimens_raise_the_count(dataset: Path) -> None:
    """A second specimen of the same collection is counted with the first."""
    card = f"{LINE}/c-002"
    _written(dataset, Specimen(id="1", card=card))
    after = _written(dataset, Specimen(id="1", card=card), Specimen(id="2", card=card))
    assert [(one.source, one.count) for one in after.cards[card].sightings] == [
        ("source/curlew-collection", 2)
    ]


def test_readings_and_codes_go_where_they_belong(dataset: Path) -> None:
    """What is seen of the reverse stands on the back, of board and figure on the card, the code on the face.

    A length stands as the range that it may be: 12 mm off a ruler of 1 mm divisions is 11.5 to 12.5 mm
    (JCGM 100:2008, F.2.2.1).
    """
    seen = {"lantern-height": ("12 mm",), "board-glow": ("absent",), "lamp-paint": ("amber",)}
    after = _written(dataset, Specimen(id="1", card=f"{LINE}/c-010", code="D-032/07", readings=seen))
    back, face, card = (
        after.backs[f"{LINE}/b-004"],
        after.faces[f"{LINE}/f-009"],
        after.cards[f"{LINE}/c-010"],
    )
    assert back.features["lantern-height"] == ("11.5-12.5 mm",)
    assert dict(card.features) == {"board-glow": ("absent",), "lamp-paint": ("amber",)}
    assert face.codes == ("D-032/07",)
    assert back.features["waves-drawn"] == ("4",), "what was recorded is as it was"
    for record in (back, face, card):
        assert record.sources.count("source/curlew-collection") == 1


@pytest.mark.parametrize(
    ("specimen", "says"),
    [
        (Specimen(id="1", figure=SMITH.figure), "which back it is, is not written down"),
        (Specimen(id="1", back=SMITH.back), "which figure it is, is not written down"),
        (Specimen(id="1", figure=SMITH.figure, back=SMITH.back, code="L-9/9"), "no front of that figure"),
        (
            Specimen(id="1", figure=SMITH.figure, back=SMITH.back, face=f"{LINE}/f-001"),
            "one of the two is a slip",
        ),
        (Specimen(id="1", figure="lanternfish/figure/reef-pilot", back=f"{LINE}/b-004"), "its front may be"),
        (Specimen(id="1", figure="lanternfish/figure/night-keeper", back=SMITH.back), "does not picture"),
        (Specimen(id="1", card=f"{LINE}/c-002", readings={"waves-drawn": ("5",)}), "--dispute"),
        (Specimen(id="1", card=f"{LINE}/c-007", code="L-021/07"), "another front, or a misread sign"),
        (Specimen(id="1", card=f"{LINE}/c-002", readings={"lamp-paint": ("green", "amber")}), "not sure"),
        (Specimen(id="1", card=f"{LINE}/c-002", readings={"lamp-paint": ("red",)}), "its states are"),
    ],
)
def test_what_is_doubtful_or_contradicts_is_held_back(specimen: Specimen, says: str, dataset: Path) -> None:
    """Nothing that is recorded is overwritten, and nothing that is not sure is added; the reason is told."""
    found = proposed(_mine(dataset, specimen), dataset, CURLEW)
    assert says in " ".join(found.held)
    assert not any(word in found.patch for word in ("+    features", "waves-drawn", "codes", "c-011"))


def test_two_specimens_that_differ_are_told(dataset: Path) -> None:
    """Of two readings that do not agree the first is proposed, and the other held back with both named."""
    some = [
        Specimen(id=one, card=f"{LINE}/c-002", readings={"lamp-paint": (state,)})
        for one, state in (("a", "green"), ("b", "amber"))
    ]
    found = proposed(_mine(dataset, *some), dataset, CURLEW)
    assert found.held == ("b: lamp-paint is amber here and green on a: look at both again",)


def test_what_was_only_offered_is_a_listing(dataset: Path) -> None:
    """A seller's offer has a source of its own, of a kind that cannot confirm alone."""
    card = f"{LINE}/c-002"
    after = _written(dataset, Specimen(id="1", card=card, status=Status.OFFERED), Specimen(id="2", card=card))
    assert after.sources["source/curlew-collection"].kind.value == "specimen"
    assert after.sources["source/curlew-collection-listing"].kind.value == "listing"


def test_a_correction_is_a_dispute_with_both_sides(dataset: Path) -> None:
    """The record stays, disputed, with what it says and what speaks against it, each with its sources."""
    before = _index(dataset).backs[f"{LINE}/b-002"]
    mine = _mine(dataset, SMITH)
    found = disputed(mine, dataset, CURLEW, "pell-orrin 4B", "It is 4A, trimmed", specimen="s-1")
    write_changes(dataset, found.changes)
    back = _index(dataset).backs[before.id]
    assert back.standing is Standing.DISPUTED
    assert [side.sources for side in back.sides] == [before.sources, ("source/curlew-collection",)]
    assert back.sides[0].claim == (
        "As it is recorded: pell-orrin 4B is a printing of its own, with these features."
    )
    assert back.sides[1].claim == "It is 4A, trimmed. Seen on s-1."
    assert (back.features, back.count, back.pictures) == (before.features, before.count, before.pictures)
    assert check(dataset, today=DAY).at_least(Severity.WARNING) == ()
    more = disputed(mine, dataset, Evidence(citation="Knot (invented)"), before.id, "The ink is another")
    write_changes(dataset, more.changes)
    assert len(_index(dataset).backs[before.id].sides) == 3, "a second objection joins the first"


def test_misuse_is_refused_with_the_next_step(dataset: Path) -> None:
    """Without a source, a reason or a record nothing is proposed."""
    mine = _mine(dataset, SMITH)
    with pytest.raises(UsageError, match="--by"):
        proposed(mine, dataset, Evidence())
    with pytest.raises(UsageError, match="there is no source 'tern'"):
        proposed(mine, dataset, Evidence(source="tern"))
    with pytest.raises(UnknownRecord, match="s-7"):
        proposed(mine, dataset, CURLEW, specimens=["s-7"])
    with pytest.raises(UsageError, match="--why"):
        disputed(mine, dataset, CURLEW, "pell-orrin 4B", " ")
    with pytest.raises(UsageError, match="names"):
        disputed(mine, dataset, CURLEW, "pell-orrin 4", "Wrong")
    with pytest.raises(UnknownRecord):
        disputed(mine, dataset, CURLEW, "pell-orrin 99Z", "Wrong")


def test_a_recorded_source_is_used_as_it_is(dataset: Path) -> None:
    """With the id of a source that is there, no new one is made, and nothing is seen after its date."""
    found = proposed(_mine(dataset, SMITH), dataset, Evidence(source="binder"))
    assert [change.path for change in found.changes] == ["lines/lanternfish/cards/pell-orrin.yaml"]
    assert "seen:" not in found.patch, "the binder was seen in 2019, the card was bought in 2026"


def test_what_would_not_pass_is_refused(dataset: Path) -> None:
    """A change that a check objects to is not handed out, and the dataset is as it was."""
    before = {path: path.read_bytes() for path in dataset.rglob("*.yaml")}
    future = Evidence(citation="Curlew (invented)", date=dt.date(2999, 1, 1))
    with pytest.raises(DatasetError, match="would not pass its checks"):
        proposed(_mine(dataset, SMITH), dataset, future)
    assert {path: path.read_bytes() for path in dataset.rglob("*.yaml")} == before


def test_comments_of_the_dataset_are_kept(dataset: Path) -> None:
    """Every comment of the files that change is there afterwards."""
    for change in proposed(_mine(dataset, SMITH), dataset, CURLEW).changes:
        assert f"# kept: {Path(change.path).stem}" in (change.after or b"").decode()


def test_a_card_goes_where_the_others_of_its_back_are(dataset: Path) -> None:
    """A maker's cards may stand in several files; a new one joins those on its own back."""
    usual = dataset / "lines/lanternfish/cards/pell-orrin.yaml"
    usual.rename(usual.with_name("pell-orrin.early.yaml"))
    changes = proposed(_mine(dataset, SMITH), dataset, CURLEW).changes
    assert "lines/lanternfish/cards/pell-orrin.early.yaml" in {change.path for change in changes}
