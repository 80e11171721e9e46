"""Decoding: what a text typed off a card means, how surely, and what to do next."""

import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

import cardref
from cardref.decoding.as_json import as_json, schema
from cardref.facts.answer import Verdict


@pytest.fixture(scope="module")
def ref() -> cardref.Reference:
    """The bundled demo reference."""
    return cardref.load()


@pytest.mark.parametrize(
    "text",
    "7K 2046/031|7k 2046/031|7K2046031|7K 2O46/O31|7K-2046-031|７Ｋ ２０４６／０３１|7K 2046—031|7K २०४६/०३१|"
    " 7K  2046 / 031 ".split("|"),
)  # fmt: skip
def test_every_way_to_type_a_code_leads_to_it(ref: cardref.Reference, text: str) -> None:
    """Dashes, spaces, lower case, other digits and lookalikes are read, and each change is told."""
    answer = ref.decode(text)
    assert answer.best is not None
    assert answer.best.value == "7K 2046/031"
    assert answer.known is Verdict.YES
    assert bool(answer.best.changes) == (text != "7K 2046/031")


def test_the_segments_are_told_in_words(ref: cardref.Reference) -> None:
    """Each segment has its meaning, by the scheme's own tables."""
    best = ref.decode("7K 2046/031").best
    assert best is not None
    assert [(m.text, m.label) for m in best.segments] == [
        ("7K", "Tidewrack"),
        ("2046", "Lamp Diver"),
        ("031", "back count 25"),
    ]
    assert best.figures == ("tidewrack/figure/lamp-diver",)
    assert {ref.backs[back].count for back in best.backs} == {25}


def test_well_formed_known_and_consistent_are_three_answers(ref: cardref.Reference) -> None:
    """A code can be well-formed and unknown, or unknown and impossible; not recorded is never "no"."""
    unheard = ref.decode("7K 2047/031")
    assert (unheard.well_formed, unheard.known, unheard.consistent) == (True, Verdict.UNKNOWN, Verdict.NO)
    assert "7K 2046/031" in unheard.suggestions
    assert not ref.decode("!!").well_formed


def test_a_code_of_figure_and_count_that_never_met_is_contradicted(ref: cardref.Reference) -> None:
    """Driftwood Elk came after count 16: a code that names both disagrees with itself, in words."""
    answer = ref.decode("7K 2211/014")
    assert answer.consistent is Verdict.NO
    assert answer.best is not None
    assert "Driftwood Elk" in answer.best.contradictions[0].because


def test_a_partial_code_is_narrowed_by_what_is_recorded(ref: cardref.Reference) -> None:
    """`?` stands for one unreadable sign; what it can be is counted, and the recorded ones are named."""
    best = ref.decode("7K 2046/0?1").best
    assert best is not None
    assert (best.possible, best.existing) == (10, 1)
    assert best.known.verdict is Verdict.YES


def test_a_part_of_a_code_is_read_with_the_rest_unread(ref: cardref.Reference) -> None:
    """A figure segment alone is enough to name the figure."""
    best = ref.decode("2046").best
    assert best is not None
    assert "tidewrack/figure/lamp-diver" in best.figures
    assert best.changes


def test_a_designation_names_every_maker_that_has_it(ref: cardref.Reference) -> None:
    """A bare count covers all its letters; a maker's name in front narrows it."""
    assert {ref.backs[b].count for r in ref.decode("16").readings for b in r.backs} == {16}
    named = ref.decode("quay-marl 25B").best
    assert named is not None
    assert named.backs == ("tidewrack/quay-marl/b-017",)


def test_a_barcode_with_a_wrong_check_digit_is_not_read_as_one(ref: cardref.Reference) -> None:
    """GS1 prints 6291041500213 as an example: well-formed, unknown here; with another last digit neither."""
    assert [r.kind for r in ref.decode("6291041500213").readings] == ["barcode"]
    assert "barcode" not in [r.kind for r in ref.decode("6291041500214").readings]


@pytest.mark.parametrize(
    "text", ["", " ", "🙂", "x" * 10_000, "7K 2046/0311", "\x1b[31m", "?" * 9, "\ud800", "٣"]
)
def test_what_cannot_be_read_gets_a_paragraph_with_the_next_step(ref: cardref.Reference, text: str) -> None:
    """Never raises, never a traceback: a short problem that says what to do."""
    answer = ref.decode(text)
    if not answer.well_formed:
        assert answer.problem.isprintable()
        assert len(answer.problem) < 400


def test_decoding_takes_text_only(ref: cardref.Reference) -> None:
    """Misuse is an exception."""
    with pytest.raises(TypeError):
        ref.decode(25)  # type: ignore[arg-type] # the point of the test


@given(st.text(max_size=40) | st.text(alphabet="7KM20463/ 1?Oo-", max_size=14))
@settings(max_examples=300, deadline=None)
def test_no_text_raises(text: str) -> None:
    """Whatever is typed, every part of the answer can be asked for and fits its schema."""
    answer = _REF.decode(text)
    Draft202012Validator(schema()["properties"]["decodings"]["items"]).validate(as_json(answer))


_REF = cardref.load()


def test_a_decoding_survives_pickling() -> None:
    """Answers can be sent to another process."""
    answer = _REF.decode("7K 2046/031")
    assert pickle.loads(pickle.dumps(answer)) == answer  # noqa: S301 - our own bytes


def test_every_recorded_code_is_known_and_none_is_impossible() -> None:
    """What the reference records itself decodes exactly, as known."""
    for face in _REF.faces.values():
        for code in face.printed_codes:
            answer = _REF.decode(code)
            if "?" not in code:
                assert answer.known is Verdict.YES, code
                assert face.id in {f for reading in answer.readings for f in reading.faces}
