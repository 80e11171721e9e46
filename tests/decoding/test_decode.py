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


@pytest.mark.parametrize(
    ("text", "value", "possible"),
    [
        ("2046/031", "?? 2046/031", 1296), ("2046031", "?? 2046/031", 1296), ("7K 2046", "7K 2046/???", 1000),
        ("7K2046", "7K 2046/???", 1000), ("2046", "?? 2046/???", 1296000), ("20?6/031", "?? 20?6/031", 12960),
    ],
)  # fmt: skip
def test_some_segments_of_a_code_are_read_as_a_part_of_it(
    ref: cardref.Reference, text: str, value: str, possible: int
) -> None:
    """Neighbouring segments with or without separators: the recorded code that they are of goes first."""
    best = ref.decode(text).best
    assert best is not None
    assert (best.value, best.possible, best.known.verdict) == (value, possible, Verdict.YES)
    assert [change.what for change in best.changes] == ["other segments taken as unread"]
    assert best.faces


def test_a_part_that_nobody_recorded_is_no_reading(ref: cardref.Reference) -> None:
    """A segment that its table does not have names nothing, and one sign is too little."""
    assert not ref.decode("7K 9999").well_formed
    assert not ref.decode("K").well_formed


def test_readings_are_ranked_recorded_first(ref: cardref.Reference) -> None:
    """What is recorded goes before what is not, and fewer changes before more."""
    for text in ("031", "2046/031", "46/031", "7k2o46031"):
        readings = ref.decode(text).readings
        keys = [(r.known.verdict is not Verdict.YES, len(r.changes)) for r in readings]
        assert keys == sorted(keys), text


def test_a_barcode_leads_to_its_front_and_cards(ref: cardref.Reference) -> None:
    """However it is typed: the face that carries it, its figure and maker, and the cards with that face."""
    face = next(face for face in ref.faces.values() if face.barcode)
    spaced = f"{face.barcode[0]} {face.barcode[1:6]} {face.barcode[6:]}"
    for text in (face.barcode, spaced):
        answer = ref.decode(text)
        assert answer.best is not None
        assert (answer.best.kind, answer.known, answer.consistent) == ("barcode", Verdict.YES, Verdict.YES)
        assert face.id in answer.best.faces
        assert answer.best.figures == (face.figure,)
        assert answer.best.makers == (f"maker/{face.maker}",)
        assert set(answer.best.cards) == {
            card.id for card in ref.cards.values() if card.face in answer.best.faces
        }
        assert answer.best.existing == len(answer.best.faces)


def test_a_known_code_counts_what_was_seen(ref: cardref.Reference) -> None:
    """Fronts, cards and sightings behind a code, with the sources of its fronts."""
    known = ref.decode("7K 2046/031").readings[0]
    seen = sum(ref.cards[card].seen for card in known.cards)
    assert known.known.sightings == seen
    assert known.known.because == f"on 1 recorded front, {len(known.cards)} cards, seen {seen} times"
    assert known.known.sources == ref.faces[known.faces[0]].sources
    assert set(known.cards) == {card.id for card in ref.cards.values() if card.face in known.faces}


@pytest.mark.parametrize(
    ("text", "because"),
    [
        ("7K 2046/0?1", "{} of 10 possible codes is recorded"),
        ("7K 2046/0??", "{} of 100 possible codes are recorded"),
        ("7K 2099/0??", "{} of 100 possible codes are recorded"),
        ("?? ????/???", "{} recorded codes can be this one"),
    ],
)
def test_a_partly_read_code_tells_how_many_it_can_be(ref: cardref.Reference, text: str, because: str) -> None:
    """How many of the possible ones are recorded; of a huge number only how many that is."""
    best = next(reading for reading in ref.decode(text).readings if reading.value == text)
    makers = {maker.removeprefix("maker/") for maker in ref.schemes[best.scheme].makers}
    recorded = {code for face in ref.faces.values() if face.maker in makers for code in face.printed_codes}
    fits = {code for code in recorded if "?" not in code and _fits(text, code)}
    assert best.existing == len(fits)
    assert best.known.because == because.format(len(fits))
    assert best.known.verdict is (Verdict.YES if fits else Verdict.UNKNOWN)


def _fits(text: str, code: str) -> bool:
    return len(text) == len(code) and all(a in ("?", b) for a, b in zip(text, code, strict=True))


def test_what_is_known_needs_no_suggestion(ref: cardref.Reference) -> None:
    """Suggestions stand only where nothing recorded was read, nearest first, and never the text itself."""
    assert ref.decode("7K 2046/031").suggestions == ()
    assert ref.decode("7K 2O46/031").suggestions == ()
    for text in ("7K 2047/031", "7K 2046/032", "25QQ"):
        found = ref.decode(text).suggestions
        assert found
        assert text not in found
    assert ref.decode("7K 2046/0??").suggestions == ()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "nothing was given"), ("  ", "nothing was given"), ("x" * 201, "201 characters are no code"),
        ("!!", "'!!' fits no code scheme of this dataset (0 signs; the codes have "),
        ("xyzxyzxyz", "'xyzxyzxyz' fits no code scheme of this dataset, and is no designation"),
    ],
)  # fmt: skip
def test_a_problem_says_why_and_what_to_do(ref: cardref.Reference, text: str, said: str) -> None:
    """Nothing given, too much given, the wrong number of signs, or signs that fit no scheme."""
    answer = ref.decode(text)
    assert said in answer.problem
    assert "?" in answer.problem
    assert (answer.best, answer.readings, answer.exact) == (None, (), False)


def test_the_longest_text_is_still_looked_at(ref: cardref.Reference) -> None:
    """Two hundred signs are read, one more is not."""
    assert "fits no code scheme" in ref.decode("x" * 200).problem
    assert "are no code" in ref.decode("x" * 201).problem


def test_a_decoding_is_a_value(ref: cardref.Reference) -> None:
    """Equal texts give equal answers with one hash; another text another; a copy keeps advice."""
    one, same, other = (ref.decode(text) for text in ("7K 2047/031", "7K 2047/031", "7K 2046/031"))
    assert one == same
    assert hash(one) == hash(same)
    assert one != other
    assert one != "7K 2047/031"
    assert other.exact
    assert not ref.decode("7k 2046/031").exact
    twin = pickle.loads(pickle.dumps(one))  # noqa: S301 - our own bytes
    assert (twin.suggestions, twin.problem, twin.known) == (one.suggestions, one.problem, one.known)
    assert (twin.consistent, twin.readings, twin.exact) == (one.consistent, one.readings, one.exact)
    lost = ref.decode("!!")
    assert pickle.loads(pickle.dumps(lost)).problem == lost.problem  # noqa: S301 - our own bytes


def test_names_of_every_kind_are_found_in_running_text(ref: cardref.Reference) -> None:
    """Figures, makers (short, too), series and lines in every recorded language, where they stand."""
    for kind, table in (
        ("figure", ref.figures), ("maker", ref.makers), ("series", ref.series), ("line", ref.lines),
    ):  # fmt: skip
        for full, record in table.items():
            for form in record.forms:
                hits = {hit.kind: hit for hit in ref.read(f"({form})")}
                assert kind in hits, form
                assert full in hits[kind].value
                assert hits[kind].text == form


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


def test_a_printing_beside_a_year_is_no_misread_code() -> None:
    """Of every recorded back and year, a listing's words are read as just that, in either order."""
    years = range(1975, 1989)
    for designation in sorted({str(back.designation) for back in _REF.backs.values()}):
        for year in years:
            for text in (f"{designation} {year}", f"{year} {designation}", f"{designation} back {year}"):
                assert not [hit for hit in _REF.read(text) if hit.kind == "code"], text
