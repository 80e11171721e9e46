"""Feature states: what they can be, what follows from a parent, and what tells two backs apart."""

from typing import Any

import pytest
from attrs import evolve

from cardref.facts.features import followed, misread_of, overlap, state_fault, states_of
from cardref.facts.separation import separation, siblings
from cardref.model.back import Pictures, Slip
from cardref.model.feature import NOT_APPLICABLE, Applies, Feature, FeatureKind, Side, Tool
from tests.facts.indexes import sample, sample_with

PO = "lanternfish/pell-orrin"


def _feature(kind: str, **more: object) -> Feature:
    return Feature(
        id="feature/one", title="One", where="back", how="Look.", kind=FeatureKind(kind), side=Side.BACK,
        **more,  # type: ignore[arg-type] # as a test gives them
    )  # fmt: skip


@pytest.mark.parametrize(
    ("feature", "good", "bad"),
    [
        (_feature("presence"), "present", "yes"),
        (_feature("choice", states=("red", "blue")), "blue", "bleu"),
        (_feature("count", least=2, most=9), "9", "10"),
        (_feature("count"), "0", "-1"),
        (_feature("length"), "3-4 mm", "4-3 mm"),
        (_feature("length"), "12 cm", "600 mm"),
        (_feature("choice", states=("a", "b"), applies=Applies(feature="x", state="y")), NOT_APPLICABLE, "c"),
    ],
)
def test_states_by_kind(feature: Feature, good: str, bad: str) -> None:
    """Each kind takes its own states, and says what is wrong with others."""
    assert state_fault(feature, good) == ""
    assert state_fault(feature, bad)


@pytest.mark.parametrize(
    ("feature", "state", "why"),
    [
        (_feature("count", least=2), "1", "its least count is 2"),
        (_feature("count", most=9), "10", "its greatest count is 9"),
        (_feature("count"), "1234567", "it is a count: write a whole number"),
        (_feature("count"), "\u0967", "it is a count: write a whole number"),
        (_feature("choice", states=("red", "blue")), "bleu", "its states are red, blue; did you mean blue?"),
        (_feature("choice", states=("red", "blue")), "zzz", "its states are red, blue"),
        (_feature("presence"), "here", "its states are present, absent"),
        (_feature("length"), "600 mm", "no card is 600 mm long"),
        (_feature("length"), "500 mm", ""),
        (_feature("count", least=2, most=9), "2", ""),
        (_feature("count", least=2, most=9), "9", ""),
        (_feature("count"), "123456", ""),
    ],
)
def test_why_a_state_cannot_be(feature: Feature, state: str, why: str) -> None:
    """In words, with the bound that it misses or the state that was meant."""
    assert state_fault(feature, state) == why


def test_a_state_that_hangs_on_nothing_always_applies() -> None:
    """Not-applicable needs a parent."""
    assert "applies to every card" in state_fault(_feature("presence"), NOT_APPLICABLE)


PANEL = _feature("presence")
OFFER = evolve(_feature("choice", states=("a", "b")), applies=Applies(feature="panel", state="present"))
DETAIL = evolve(_feature("choice", states=("x", "y")), applies=Applies(feature="offer", state="a"))
CHAIN = {"panel": PANEL, "offer": OFFER, "detail": DETAIL}


@pytest.mark.parametrize(
    ("recorded", "wanted"),
    [
        (
            {"panel": ("absent",)},
            {"panel": ("absent",), "offer": (NOT_APPLICABLE,), "detail": (NOT_APPLICABLE,)},
        ),
        ({"detail": ("x",)}, {"detail": ("x",), "offer": ("a",), "panel": ("present",)}),
        ({"offer": ("b",)}, {"offer": ("b",), "panel": ("present",), "detail": (NOT_APPLICABLE,)}),
        ({"panel": ("present", "absent")}, {"panel": ("present", "absent")}),
        (
            {"offer": (NOT_APPLICABLE,)},
            {"offer": (NOT_APPLICABLE,), "panel": ("absent",), "detail": (NOT_APPLICABLE,)},
        ),
        ({}, {}),
    ],
)
def test_states_follow_up_and_down(
    recorded: dict[str, tuple[str, ...]], wanted: dict[str, tuple[str, ...]]
) -> None:
    """A parent elsewhere rules its children out; a child that was seen tells its parent's state."""
    assert followed(CHAIN, recorded) == wanted
    assert followed(CHAIN, followed(CHAIN, recorded)) == wanted


def test_features_that_hang_on_each_other_end() -> None:
    """A circle in the catalogue follows to nothing, and ends."""
    circle = {
        "one": evolve(OFFER, applies=Applies(feature="two", state="a")),
        "two": evolve(OFFER, applies=Applies(feature="one", state="a")),
    }
    assert "one" in followed(circle, {"two": ("b",)})


def test_a_ruler_does_not_tell_half_a_millimetre() -> None:
    """Lengths closer than the tool can tell may be one; a loupe tells them."""
    ruler = _feature("length", tool=Tool.RULER)
    loupe = _feature("length", tool=Tool.LOUPE)
    assert overlap(ruler, "3-4 mm", "4.5-6 mm")
    assert not overlap(loupe, "3-4 mm", "4.5-6 mm")
    assert overlap(loupe, "3-4 mm", "4-6 mm")


def test_separation_is_the_same_both_ways() -> None:
    """What tells one back from another tells the other from the one."""
    index = sample()
    for one in index.backs:
        for other in index.backs:
            there, back = separation(index, one, other), separation(index, other, one)
            assert {s.feature for s in there.by} == {s.feature for s in back.by}
            assert set(there.unknown) == set(back.unknown)
    assert separation(index, f"{PO}/b-001", f"{PO}/b-001").by == ()


def test_what_is_recorded_of_one_alone_separates_nothing() -> None:
    """Unknown is never a difference."""
    one = sample().backs[f"{PO}/b-001"]
    twin = evolve(one, id=f"{PO}/b-101", features={}, claimed=None, languages=(), pictures=None)
    pair = separation(sample_with(("back", twin)), one.id, twin.id)
    assert pair.by == ()
    assert {"maker-line", "languages", "pictures"} <= set(pair.unknown)


def test_alike_open_and_thin_pairs_are_kept_apart() -> None:
    """Nothing differs; nothing known differs; one thing differs."""
    one = sample().backs[f"{PO}/b-001"]
    twin = evolve(one, id=f"{PO}/b-101")
    half = evolve(one, id=f"{PO}/b-102", features={"maker-line": ("one-line",)})
    thin = evolve(one, id=f"{PO}/b-103", features={**one.features, "waves-drawn": ("7",)})
    index = sample_with(("back", twin), ("back", half), ("back", thin))
    (group,) = [group for group in siblings(index) if one.id in group.backs]
    assert {(p.one, p.other) for p in group.alike} == {(one.id, twin.id)}
    assert {one.id, half.id} in [{p.one, p.other} for p in group.open]
    assert {one.id, thin.id} in [{p.one, p.other} for p in group.thin]


def test_states_of_any_record() -> None:
    """Recorded and following states of a back; nothing for what has none."""
    assert states_of(sample(), f"{PO}/b-001")["offer-token"] == (NOT_APPLICABLE,)
    assert states_of(sample(), "source/binder") == {}


def test_facts_of_the_back_itself_tell_backs_apart() -> None:
    """Series, languages, the claimed total and what is pictured; "same" claims the back's own count."""
    one = sample().backs[f"{PO}/b-001"]

    def apart(**more: Any) -> list[str]:
        twin = evolve(one, id=f"{PO}/b-101", **more)
        return [
            separator.feature for separator in separation(sample_with(("back", twin)), one.id, twin.id).by
        ]

    assert apart() == []
    assert apart(claimed=4) == []
    assert apart(claimed=5) == ["claimed total"]
    assert apart(claimed="none") == ["claimed total"]
    assert apart(languages=("fr", "en")) == ["languages"]
    assert apart(languages=("en",)) == []
    assert apart(series="lanternfish/series/deepwater") == ["series"]
    figures = one.pictures.plus if one.pictures else ()
    assert apart(pictures=Pictures(plus=figures[1:])) == ["pictures"]
    assert apart(pictures=Pictures(plus=figures, slips=(Slip(figure=figures[0]),))) == ["pictures"]
    assert apart(pictures=Pictures(plus=figures, silhouettes=figures[:1])) == ["silhouettes"]


def test_the_most_reliable_look_is_told_first() -> None:
    """What separates two backs is ordered by how often a look goes wrong; a length tells how far apart."""
    one = sample().backs[f"{PO}/b-001"]
    pair = separation(sample(), one.id, f"{PO}/b-002")
    rates = [separator.misread for separator in pair.by]
    assert rates == sorted(rates)
    gaps = {separator.feature: separator.gap for separator in pair.by}
    assert gaps["lantern-height"] == 3.0
    assert gaps["maker-line"] is None


def test_lengths_closer_than_the_tool_tells_are_close_and_not_apart() -> None:
    """Half a millimetre is nothing to a ruler: it is told beside what separates."""
    one = sample().backs[f"{PO}/b-001"]
    twin = evolve(one, id=f"{PO}/b-101", features={**one.features, "lantern-height": ("11.5-12.5 mm",)})
    pair = separation(sample_with(("back", twin)), one.id, twin.id)
    assert pair.by == ()
    assert [(close.feature, close.gap) for close in pair.close] == [("lantern-height", 0.5)]


def test_misread_rates_have_defaults_by_kind() -> None:
    """A feature's own rate goes before that of its kind."""
    assert misread_of(_feature("count", misread=0.2)) == 0.2
    assert 0 < misread_of(_feature("length")) < misread_of(_feature("count")) < 0.5
