"""Condition reports: told as they are, and compared only where there is an order."""

import itertools
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.errors import UsageError
from cardref.facts.cautions import AGE, NO_PROOF
from cardref.facts.condition import Change, colour_feature, compare_conditions
from cardref.index import Index
from cardref.model.condition import NOT_SEEN, PARTS, ConditionReport, Defect, Effect, Part
from cardref.reference import load
from cardref.vetting.condition import describe

STATED = [part for part in PARTS.values() if part.states]


@pytest.fixture(scope="module")
def index() -> Index:
    """The bundled index."""
    return load().index


def reports() -> st.SearchStrategy[ConditionReport]:
    """Reports with any states, and some defects."""
    words: dict[str, st.SearchStrategy[Any]] = {
        part.field: st.sampled_from(["", *part.states]) for part in STATED
    }
    defect = st.builds(
        Defect,
        part=st.sampled_from([part.name for part in STATED]),
        what=st.sampled_from(["dent", "tear"]),
        where=st.sampled_from(["", "left"]),
        size=st.sampled_from(["", "3 mm", "9 mm"]),
    )
    return st.builds(ConditionReport, defects=st.lists(defect, max_size=3).map(tuple), **words)


def _of(part: str, word: str) -> ConditionReport:
    stated: dict[str, Any] = {PARTS[part].field: word}
    return ConditionReport(**stated)


@pytest.mark.parametrize("part", STATED, ids=lambda part: part.name)
def test_every_state_is_told_in_words(part: Part) -> None:
    """Each state of each part appears in the description, under what it does to the specimen."""
    for word, state in part.states.items():
        text = str(describe(_of(part.name, word)))
        if word == NOT_SEEN:
            assert f"Could not be seen, so ask: {part.title}" in text
        else:
            assert state.says in text


def test_the_order_of_states_is_as_told() -> None:
    """Of two states with ranks the lower is worse, both ways; of equals neither is."""
    for part in STATED:
        for one, other in itertools.permutations(part.states.values(), 2):
            (change,) = [
                row.change
                for row in compare_conditions(_of(part.name, one.word), _of(part.name, other.word)).parts
                if row.part == part.name
            ]
            if NOT_SEEN in (one.word, other.word):
                assert change is Change.UNKNOWN
            elif one.rank is None or other.rank is None or one.rank == other.rank:
                assert change is Change.OTHER
            else:
                assert change is (Change.WORSE if other.rank < one.rank else Change.BETTER)


def test_a_price_sticker_that_sits_is_tolerated_and_its_remains_are_not() -> None:
    """Common practice, no source: a whole price sticker is age, torn remains and residue hurt."""
    states = PARTS["price-sticker"].states
    assert states["sits"].effect is Effect.AGE
    assert {states[word].effect for word in ("torn", "residue")} == {Effect.HURTS}
    taken_off = compare_conditions(
        ConditionReport(price_sticker="sits"), ConditionReport(price_sticker="no-trace")
    )
    assert not taken_off.worse
    assert [row.part for row in taken_off.of(Change.OTHER)] == ["price-sticker"]


@pytest.mark.parametrize(
    ("maker", "colour", "effect"),
    [
        ("maker/quay-marl", "straw", Effect.AGE),
        ("maker/padogil", "straw", Effect.HURTS),
        ("maker/padogil", "clear", Effect.NONE),
        ("maker/quay-marl", "smoky", Effect.HURTS),
        ("maker/stellan-fogg", "straw", None),
        ("", "straw", None),
    ],
)
def test_the_colour_of_a_bubble_is_judged_by_maker(
    index: Index, maker: str, colour: str, effect: Effect | None
) -> None:
    """Straw is age on one maker's bubbles, hurts on another's, and is else not judged."""
    (told,) = describe(ConditionReport(bubble_colour=colour), index, maker).told
    assert told.effect is effect


def test_the_dataset_says_which_feature_is_the_colour(index: Index) -> None:
    """The link from report to catalogue is data: no feature is meant by its name."""
    feature = colour_feature(index)
    assert feature is not None
    assert feature.sign is not None
    assert feature.sign.genuine


def test_a_seal_that_holds_is_no_promise() -> None:
    """What is told of a whole seal says that it is told as far as can be seen."""
    assert "as far as can be seen" in str(describe(ConditionReport(seal="holds")))


@given(reports())
@settings(max_examples=60, deadline=None)
def test_every_part_is_told_or_asked_for(report: ConditionReport) -> None:
    """No part is left out silently, every defect is printed, and both cautions stand at the end."""
    description = describe(report)
    assert {one.part for one in description.told} | set(description.not_looked_at) == set(PARTS)
    text = str(description)
    for part in PARTS.values():
        assert part.title in text
    for defect in report.defects:
        assert defect.size in text
    assert text.endswith(f"{AGE}\n{NO_PROOF}")


@given(reports(), reports())
@settings(max_examples=60, deadline=None)
def test_comparing_the_other_way_mirrors_the_states(one: ConditionReport, other: ConditionReport) -> None:
    """Worse one way is better the other way, where no defect is told; and a report equals itself."""
    mirror = {Change.WORSE: Change.BETTER, Change.BETTER: Change.WORSE}
    for there, back in zip(
        compare_conditions(one, other).parts, compare_conditions(other, one).parts, strict=True
    ):
        if not any(defect.part == there.part for defect in (*one.defects, *other.defects)):
            assert back.change is mirror.get(there.change, there.change)
    assert all(row.change in (Change.SAME, Change.UNKNOWN) for row in compare_conditions(one, one).parts)


def test_a_defect_that_grew_in_the_post_is_told() -> None:
    """A tear of 3 mm that is 9 mm afterwards is worse; one within the ruler's resolution is not."""
    before = ConditionReport(edges="torn", defects=(Defect(part="edges", what="tear", size="3 mm"),))
    after = ConditionReport(edges="torn", defects=(Defect(part="edges", what="Tear", size="9 mm"),))
    close = ConditionReport(edges="torn", defects=(Defect(part="edges", what="tear", size="3.4 mm"),))
    assert compare_conditions(before, after).worse
    assert "grown: tear, 3 mm; now Tear, 9 mm" in str(compare_conditions(before, after))
    assert not compare_conditions(before, close).worse


def test_a_new_defect_is_worse_and_one_that_went_is_not_called_mended() -> None:
    """A dent that only the later report has makes the part worse; one that went is told as such."""
    dent = Defect(part="bubble", what="dent", where="left")
    one, two = ConditionReport(bubble="dented"), ConditionReport(bubble="dented", defects=(dent,))
    assert compare_conditions(one, two).worse
    back = compare_conditions(two, one)
    assert not back.worse
    assert "no longer told: dent, left" in str(back)


def test_a_report_that_contradicts_itself_is_told_as_doubt() -> None:
    """A whole bubble with a dent, and a dent in what was not seen, are both asked about."""
    dent = (Defect(part="bubble", what="dent"),)
    assert "do not go together" in str(describe(ConditionReport(bubble="whole", defects=dent)))
    (told,) = describe(ConditionReport(bubble=NOT_SEEN, defects=dent)).told
    assert told.doubt


def test_a_state_that_does_not_exist_is_told_with_what_was_meant(index: Index) -> None:
    """A misspelt state of a part, and a misspelt colour, name the right one."""
    with pytest.raises(UsageError, match="did you mean dented"):
        describe(ConditionReport(bubble="dentd"))
    with pytest.raises(UsageError, match="did you mean straw"):
        describe(ConditionReport(bubble_colour="strw"), index, "maker/quay-marl")


def test_text_of_others_cannot_command_a_terminal() -> None:
    """Whatever a report says is printed visibly."""
    report = ConditionReport(
        by="\x1b[2J", note="\x1b]0;x\x07", bubble="dented", defects=(Defect(part="bubble", what="\x1b[31m"),)
    )
    assert "\x1b" not in str(describe(report))
    assert "\x1b" not in str(compare_conditions(ConditionReport(bubble="whole"), report))
