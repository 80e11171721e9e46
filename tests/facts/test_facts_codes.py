"""Codes against claims: what excludes, what agrees, and what nobody recorded."""

import pytest
from attrs import evolve

from cardref.facts.answer import Verdict
from cardref.facts.carrying import carrying
from cardref.facts.codes import books_of, codes_read
from cardref.facts.naming import figures_named
from cardref.facts.segments import back_faults, series_faults
from cardref.facts.witnesses import figure_witnesses
from cardref.model.scheme import SchemeSegment
from tests.facts.indexes import sample, sample_with

LINE, MAKER = "lanternfish", "maker/pell-orrin"
FACE = "lanternfish/pell-orrin/f-006"
KELP = "lanternfish/figure/kelp-weaver"


def _verdicts(text: str, maker: str = MAKER, **claim: str) -> set[Verdict]:
    return {answer.verdict for answer in carrying(sample(), text, LINE, maker, **claim)}


def test_a_code_that_fits_is_yes_with_scheme_and_sources() -> None:
    """Everything that can be compared agrees, and the scheme is named as ground."""
    answers = carrying(
        sample(), "L-021/06", LINE, MAKER, figure=KELP, series="lanternfish/series/lanternfish",
        back="lanternfish/pell-orrin/b-003",
    )  # fmt: skip
    assert {answer.verdict for answer in answers} == {Verdict.YES}
    assert answers[0].records == ("lanternfish/scheme/po",)
    assert answers[0].sources == ("source/binder",)


@pytest.mark.parametrize(
    ("text", "claim"),
    [
        ("L-021/06", {"figure": "lanternfish/figure/bell-ringer"}),
        ("L-021/06", {"series": "lanternfish/series/deepwater"}),
        ("L-021-06", {}),
        ("L-099/06", {}),
    ],
)
def test_what_a_record_excludes_is_no(text: str, claim: dict[str, str]) -> None:
    """Another figure, another series, another way of writing, a segment that is in no table."""
    assert Verdict.NO in _verdicts(text, **claim)


def test_another_back_is_no_contradiction() -> None:
    """Fronts and backs were printed apart: a code of another count is unknown, never no."""
    answers = carrying(sample(), "L-014/06", LINE, MAKER, back="lanternfish/pell-orrin/b-004")
    assert [a.verdict for a in answers if "printed apart" in a.because] == [Verdict.UNKNOWN]
    assert Verdict.NO not in {answer.verdict for answer in answers}


def test_what_nobody_recorded_is_unknown_and_what_was_never_printed_is_no() -> None:
    """A maker without a scheme says nothing; one that printed no code at all excludes every code."""
    assert _verdicts("L-014/06", "maker/unheard-of") == {Verdict.UNKNOWN}
    assert _verdicts("L-014/06", "maker/thalweg") == {Verdict.NO}


def test_unread_signs_leave_it_open() -> None:
    """A code with unread signs contradicts only what the read ones exclude."""
    assert Verdict.NO not in _verdicts("L-02?/06", figure=KELP)
    assert Verdict.NO in _verdicts("L-03?/06", figure=KELP)


def test_all_codes_of_the_sample_are_read_and_fit() -> None:
    """Each is read by one scheme, and nothing doubts any of them."""
    assert all(read.book is not None for read in codes_read(sample()))
    assert figure_witnesses(sample()) == {}
    assert series_faults(sample()) == {}
    assert back_faults(sample()) == {}


def test_two_witnesses_outvote_the_record() -> None:
    """Name and code of one figure on a face that is filed under another: the figure is meant."""
    face = evolve(sample().faces[FACE], figure="lanternfish/figure/bell-ringer")
    found = figure_witnesses(sample_with(("face", face)))[FACE]
    assert found.meant == KELP


def test_one_witness_does_not() -> None:
    """With the name for the record and the code against it, the code is what is doubted."""
    face = evolve(sample().faces[FACE], codes=("L-022/06",))
    found = figure_witnesses(sample_with(("face", face)))[FACE]
    assert (found.meant, found.usual) == ("", "021")
    assert found.code is not None


def test_without_a_table_the_other_faces_tell() -> None:
    """A scheme that lists no figures is learnt from what most faces carry."""
    scheme = sample().schemes["lanternfish/scheme/po"]
    bare = tuple(evolve(s, table={}) if s.meaning == "figure" else s for s in scheme.segments)
    twin = evolve(sample().faces[FACE], id="lanternfish/pell-orrin/f-106")
    third = evolve(sample().faces[FACE], id="lanternfish/pell-orrin/f-107", codes=("L-012/06",))
    index = sample_with(("scheme", evolve(scheme, segments=bare)), ("face", twin), ("face", third))
    assert set(figure_witnesses(index)) == {third.id}
    assert figure_witnesses(index)[third.id].usual == "021"


def test_a_scheme_that_cannot_be_is_passed_over() -> None:
    """A layout with two segments of one name reads nothing, and nothing fails for it."""
    scheme = sample().schemes["lanternfish/scheme/po"]
    twice = (*scheme.segments, SchemeSegment(name="series", width=1, meaning="other"))
    index = sample_with(("scheme", evolve(scheme, segments=twice)))
    assert books_of(index, LINE, MAKER) == ()
    assert [a.verdict for a in carrying(index, "L-021/06", LINE, MAKER)] == [Verdict.UNKNOWN]


def test_names_are_found_whatever_their_case_and_accents() -> None:
    """In any language; of one line only."""
    assert figures_named(sample(), LINE, "pilote du RECIF") == ("lanternfish/figure/reef-pilot",)
    assert figures_named(sample(), "elsewhere", "Reef Pilot") == ()
