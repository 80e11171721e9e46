"""Feature states: what they can be, what follows from a parent, and what tells two backs apart."""

import pytest
from attrs import evolve

from cardref.facts.features import followed, misread_of, overlap, separation, siblings, state_fault, states_of
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


def test_misread_rates_have_defaults_by_kind() -> None:
    """A feature's own rate goes before that of its kind."""
    assert misread_of(_feature("count", misread=0.2)) == 0.2
    assert 0 < misread_of(_feature("length")) < misread_of(_feature("count")) < 0.5
