"""Cards as a table: from what people see and type to the printing, on the demo reference."""

import math
import pickle
from collections.abc import Mapping
from typing import Any

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

import cardref
from cardref.errors import NotationError, UnknownRecord, UsageError
from cardref.facts.answer import Verdict
from cardref.facts.pictures import pictures_of
from cardref.identification.answer import Ending
from cardref.identification.cards import By, CardTable, Trace, card_table
from cardref.identification.channel import Cell
from cardref.identification.feature import Span
from cardref.identification.identify import Identification, identify
from cardref.index import Index
from cardref.model.feature import Applies, Feature, FeatureKind, Side

REF = cardref.load()
INDEX = REF.index
LINES = tuple(REF.lines)
ROPE_ONLY = ("tidewrack/quay-marl/b-017", "tidewrack/quay-marl/b-018")
"""25B and 25C: alike in everything but the rope, about 4 mm on one and about 7 mm on the other."""


def read_off(cell: Cell) -> object:
    """What an observer without error reads off a cell."""
    if not isinstance(cell, tuple):
        return "?"
    state = cell[0][0]
    return f"{state.low:g}-{state.high:g} mm" if isinstance(state, Span) else state


def seen_all(cards: CardTable, candidate: str, leave_out: tuple[str, ...] = ()) -> Identification:
    """Everything recorded of a candidate, read without error."""
    ident = REF.identify(cards.line, cards.by.value)
    number = cards.table.number(candidate)
    for column in cards.table.columns:
        name = column.feature.id
        if name not in leave_out and isinstance(column.cell(number), tuple):
            ident = ident.observe(name, read_off(column.cell(number)))
    return ident


def posteriors(ident: Identification) -> dict[str, float]:
    """Every candidate with its probability."""
    return {one.id: one.posterior for one in ident.candidates}


def changed(**tables: Mapping[str, Any]) -> cardref.Reference:
    """The demo reference with records put in or changed, by kind."""
    known = {kind: dict(table) for kind, table in INDEX.tables.items()}
    for kind, records in tables.items():
        known[kind].update(records)
    return cardref.Reference(Index(known), "changed")


# --- the table


@pytest.mark.parametrize("line", LINES)
@pytest.mark.parametrize("by", list(By))
def test_the_letter_is_no_feature(line: str, by: By) -> None:
    """With another letter a back has the same row: the letter is nowhere among what is seen."""
    cards = card_table(INDEX, line, by)
    assert not {"letter", "designation", "id"} & set(cards.sights)
    full, back = next((full, back) for full, back in INDEX.backs.items() if full.startswith(f"{line}/"))
    letter = evolve(back, designation=cardref.Designation.parse(f"{back.count}Y"))
    other = card_table(changed(back={full: letter}).index, line, by)
    for one, theirs in zip(cards.table.columns, other.table.columns, strict=True):
        for name in cards.table.candidates:
            assert one.cell(cards.table.number(name)) == theirs.cell(other.table.number(name))


@pytest.mark.parametrize("line", LINES)
def test_every_back_is_found_by_what_is_recorded_of_it(line: str) -> None:
    """Read without error, a back has no misfit, and is among those that remain."""
    cards = card_table(INDEX, line, By.BACK)
    for back in cards.table.candidates[:: 5 if line == "tidewrack" else 1]:
        ident = seen_all(cards, back)
        assert not ident.session.candidate(back).misfits
        assert back in [one.id for one in ident.conclusion.remaining]
        assert ident.verdict in (Ending.IDENTIFIED, Ending.ALIKE)


def test_every_card_leads_to_its_back() -> None:
    """By card, all that is recorded of a card leads to the back under it."""
    cards = card_table(INDEX, "night-post", By.CARD)
    for card in cards.table.candidates:
        ident = seen_all(cards, card)
        assert ident.printings[0].id == INDEX.cards[card].back


def test_refuted_and_announced_are_no_candidates() -> None:
    """Nobody can hold a card that was never made, or that is known not to exist."""
    cards = set(card_table(INDEX, "tidewrack", By.CARD).table.candidates)
    for full, card in INDEX.cards.items():
        if full.startswith("tidewrack/"):
            there = card.standing.value != "refuted" and card.made.value != "announced"
            assert (full in cards) == there, full


def test_a_back_prefers_no_figure_that_it_allows() -> None:
    """That a back pictures many figures does not make it less probable for each of them."""
    ident = REF.identify("tidewrack").observe("figure", "lamp-diver")
    shown = {
        full: ident.session.candidate(full).posterior
        for full, seen in pictures_of(INDEX).items()
        if full.startswith("tidewrack/quay-marl/") and seen and "tidewrack/figure/lamp-diver" in seen.figures
    }
    assert len({INDEX.backs[full].count for full in shown}) > 3
    assert max(shown.values()) == pytest.approx(min(shown.values()))


def test_a_figure_on_a_generic_back_is_no_misfit() -> None:
    """A maker who sells thirty figures on one back that pictures ten is not held against the card."""
    sold = [
        short
        for wave in REF.waves.values()
        if wave.maker == "maker/sietemares"
        for short in (figure.rpartition("/")[2] for figure in wave.debuts)
    ]
    pictured = pictures_of(INDEX)["tidewrack/sietemares/b-001"]
    assert pictured is not None
    other = next(one for one in sold if f"tidewrack/figure/{one}" not in pictured.figures)
    ident = REF.identify("tidewrack", maker="sietemares", figure=other)
    assert not ident.session.candidate("tidewrack/sietemares/b-001").misfits


def test_an_unrecorded_pairing_is_identified_by_its_back() -> None:
    """A figure never recorded on 25B is no obstacle: the back is told, and that nobody recorded the pair."""
    cards = card_table(INDEX, "tidewrack", By.BACK)
    given_figure = ("figure", *(name for name in cards.sights if cards.sights[name].feature.given))
    ident = seen_all(cards, ROPE_ONLY[0], given_figure).observe("figure", "Sounding Tam")
    assert ident.candidates[0].id == ROPE_ONLY[0]
    assert ident.recorded is not None
    assert ident.recorded.verdict is Verdict.UNKNOWN
    assert "not be" not in ident.explain().partition("The card:")[2].splitlines()[0]


def test_one_misread_does_not_rule_the_truth_out() -> None:
    """A count off by one and three good looks still lead to 25B."""
    ident = REF.identify("tidewrack", maker="quay-marl", back_count=24, rope_length="4 mm", beam="right")
    ident = ident.observe("wave-lines", 1).observe("header-colour", "black")
    assert ident.candidates[0].name == "quay-marl 25B"
    assert [fit.feature for fit in ident.candidates[0].misfits] == ["back-count"]


def test_the_order_of_looks_does_not_matter_and_nothing_is_changed() -> None:
    """Every look gives a new identification; taking one back gives what was before."""
    start = REF.identify("tidewrack")
    first = start.observe("maker", "quay-marl").observe("back-count", 25)
    other = start.observe("back-count", 25).observe("maker", "quay-marl")
    assert posteriors(first) == pytest.approx(posteriors(other), abs=1e-12)
    assert not start.readings
    again = first.observe("code", "7K 2046/031").retract("code")
    assert posteriors(again) == pytest.approx(posteriors(first), abs=1e-12)
    assert list(again.entries) == ["maker", "back-count"]


def test_every_fit_leads_to_records_and_sources() -> None:
    """What matches and what does not can be traced to a record, and that to its sources."""
    for by, names in (("back", {"maker": "quay-marl", "gulls": 5}), ("card", {"figure": "lamp-diver"})):
        ident = REF.identify("tidewrack", by, **names)
        for candidate in ident.candidates[:5]:
            for fit in candidate.fits:
                assert isinstance(fit.where, Trace)
                assert bool(fit.where.records) == (fit.recorded != "not recorded")
                assert all(record in INDEX for record in fit.where.records)
                assert set(fit.where.sources) <= set(REF.sources)
                assert fit.where == ident.trace(candidate, fit.feature)


def test_an_identification_survives_pickling() -> None:
    """Another process goes on where this one stopped."""
    ident = REF.identify("night-post", back_count=6, sheen="satin")
    other = pickle.loads(pickle.dumps(ident))  # noqa: S301 - our own bytes
    assert posteriors(other) == posteriors(ident)
    assert other.explain() == ident.explain()


# --- lengths


def test_a_ruler_of_1_mm_tells_the_two_ropes_apart_and_one_of_5_mm_does_not() -> None:
    """25B and 25C are alike but for a rope of about 4 mm on one and about 7 mm on the other.

    Common practice, no source: one reading with a ruler of 1 mm divisions settles it, one of 5 mm does not.
    Uncertainty of the reading by JCGM 100:2008, the probability to lie in a range by JCGM 106:2012.
    """
    cards = card_table(INDEX, "tidewrack", By.BACK)
    alike = seen_all(cards, ROPE_ONLY[0], ("rope-length",))
    one, other = (alike.session.candidate(full).posterior for full in ROPE_ONLY)
    assert one == pytest.approx(other)
    assert alike.next_feature is not None
    assert alike.next_feature.feature == "rope-length"
    for reading, full in (("4 mm", ROPE_ONLY[0]), ("7 mm", ROPE_ONLY[1])):
        fine = alike.observe("rope-length", reading)
        assert fine.verdict is Ending.IDENTIFIED
        assert fine.candidates[0].id == full
        assert fine.candidates[0].posterior > 0.97
    coarse = alike.observe("rope-length", "5 mm to the nearest 5 mm")
    assert coarse.verdict is not Ending.IDENTIFIED
    one, other = (coarse.session.candidate(full).posterior for full in ROPE_ONLY)
    assert 0.5 < one / other < 2.0
    assert not coarse.session.candidate(ROPE_ONLY[1]).misfits


# --- what people type


@pytest.mark.parametrize(
    ("name", "typed", "feature", "read"),
    [
        ("rope", "4mm", "rope-length", "4 mm"),
        ("rope-length", "4", "rope-length", "4 mm"),
        ("maker", "Quay & Marl Playworks", "maker", "quay-marl"),
        ("maker", "Ανεμώνη Παιχνίδια", "maker", "anemoni"),
        ("maker", "quay", "maker", "quay-marl"),
        ("count", "25", "back-count", "25"),
        ("Back count", 25, "back-count", "25"),
        ("figure", "LAMP DIVER", "figure", "lamp-diver"),
        ("series-back", "Tidewrack: Saltglass Summer", "series-back", "saltglass"),
        ("header_colour", "green", "header-colour", "sea-green"),
        ("beam", "left|right", "beam", "left or right"),
        ("beam", {"left", "right"}, "beam", "left or right"),
        ("token", "yes", "token", "present"),
        ("token", False, "token", "absent"),
        ("claimed", "none", "claimed-total", "does not apply"),
        ("languages", "nl", "languages", "de+en+nb+nl"),
        ("languages", "en,nb,nl,de", "languages", "de+en+nb+nl"),
        ("languages", "nb+", "languages", "de+en+nb+nl or nb"),
        ("origin-mould", "HONG KONG", "origin-mould", "hk"),
        ("sticker", "none", "sticker", "none"),
        ("gulls", "?", "gulls", "could not see"),
        ("token-shape", "-", "token-shape", "does not apply"),
        ("code-back", "31", "code-back", "31"),
        ("code-back", "0?1", "code-back", "031"),
        ("sheen", "gloss", "surface-sheen", "glossy"),
    ],
)
def test_names_and_words_are_understood(name: str, typed: object, feature: str, read: str) -> None:
    """Names are completed, words taken for states; what was not typed exactly is told."""
    ident = REF.identify("tidewrack").observe(name, typed)
    assert str(ident.readings[feature]) == read
    (entry,) = ident.entries.values()
    exact = name == feature and typed == read
    assert not (exact and entry.notes)


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("rope-lenght", "4 mm", "did you mean rope-length"),
        ("nonsense", "x", "There are: maker"),
        ("", "x", "there is no feature"),
        ("letter", "B", "printed on no card"),
        ("designation", "25B", "back-count=25"),
        ("origin", "HK", "origin-board or origin-mould or origin-sticker"),
        ("series", "harbour", "series-back or series-front"),
        ("maker", "anemone", "did you mean anemoni"),
        ("maker", "nobody at all", "another, where it is none of these"),
        ("beam", "up", "left, right, both-ways"),
        ("beam", "", "give what was seen"),
        ("gulls", "many", "whole number"),
        ("gulls", "-3", "whole number"),
        ("languages", "xx", "none of the recorded languages"),
        ("code", "hello", "written like no code of this line"),
        ("title-colour", "white", "identify by card"),
        ("back-count", "-", "applies to every candidate"),
        ("figure", "x\x1b[31m", "\\x1b"),
    ],
)
def test_what_cannot_be_understood_is_told_with_the_way_out(name: str, typed: str, said: str) -> None:
    """An unknown name or state is a UsageError that says what there is; nothing is guessed between two."""
    with pytest.raises(UsageError) as caught:
        REF.identify("tidewrack").observe(name, typed)
    assert said in str(caught.value)
    assert "\x1b" not in str(caught.value)


def test_a_text_that_is_no_length_is_told_as_such() -> None:
    """Where two lengths may be meant nothing is guessed."""
    with pytest.raises(NotationError):
        REF.identify("tidewrack").observe("rope-length", "long")


def test_the_same_feature_twice_is_refused_unless_it_could_not_be_seen() -> None:
    """A second reading needs the first to be taken back; what could not be seen may be read later."""
    ident = REF.identify("tidewrack", back_count=25)
    with pytest.raises(UsageError, match="take it back first"):
        ident.observe("count", 28)
    assert ident.retract("count").observe("back-count", 28).candidates[0].name.startswith("quay-marl 28")
    later = REF.identify("tidewrack", gulls="?").observe("gulls", 3)
    assert str(later.readings["gulls"]) == "3"
    signs = REF.identify("tidewrack", sheen="glossy")
    with pytest.raises(UsageError, match="take it back first"):
        signs.observe("surface-sheen", "matt")
    with pytest.raises(UsageError, match="looked at so far: surface-sheen"):
        signs.retract("gulls")


@given(st.sampled_from(sorted(card_table(INDEX, "tidewrack", By.BACK).sights)), st.text(max_size=12))
@settings(max_examples=150, deadline=None)
def test_any_text_is_understood_or_refused(name: str, typed: str) -> None:
    """Whatever is typed for whichever feature: an identification with words, or an error with words."""
    try:
        ident = REF.identify("tidewrack").observe(name, typed)
    except (UsageError, NotationError):
        return
    assert sum(posteriors(ident).values()) == pytest.approx(1.0)
    assert ident.explain()


# --- codes


def test_a_whole_code_says_what_its_segments_say_one_by_one() -> None:
    """A code is read segment by segment, so half a code is an observation like any other."""
    whole = REF.identify("tidewrack", "card", code="7K 2046/031")
    parts = REF.identify("tidewrack", "card")
    for name, text in (("layout", "qm-front"), ("series", "7K"), ("figure", "2046"), ("back", "031")):
        parts = parts.observe(f"code-{name}", text)
    assert posteriors(whole) == pytest.approx(posteriors(parts), abs=1e-12)
    faces = {INDEX.cards[one.id].face for one in whole.conclusion.remaining}
    assert all("7K 2046/031" in (INDEX.faces[face].codes or ()) for face in faces)


def test_signs_that_cannot_be_read_leave_what_fits() -> None:
    """? stands for any sign: codes that fit share the belief, others lose it."""
    ident = REF.identify("tidewrack", "card", code="7K 20??/0?1")
    for one in ident.candidates[:10]:
        codes = INDEX.faces[INDEX.cards[one.id].face].printed_codes
        assert any(code.startswith("7K 20") and code.endswith("031") for code in codes)


@pytest.mark.parametrize("misread", ["7K 2046/037", "7K 2040/031", "7X 2046/031", "7k2O46-031", "7K2046031"])
def test_a_misread_sign_does_not_rule_the_card_out(misread: str) -> None:
    """One wrong sign, or another way of writing, keeps the true code among the first, and is told."""
    ident = REF.identify("tidewrack", "card", figure="lamp-diver", title_colour="yellow", code=misread)
    true = [
        one
        for one in ident.candidates[:60]
        if "7K 2046/031" in INDEX.faces[INDEX.cards[one.id].face].printed_codes
    ]
    assert true
    assert max(one.posterior for one in true) > 0.2 * ident.candidates[0].posterior
    assert ident.entries["code"].notes


def test_a_code_that_nobody_recorded_speaks_for_none() -> None:
    """A code of a known layout with unknown segments makes "not recorded" more probable, and no one surer."""
    ident = REF.identify("tidewrack", "card", code="5Q 9999/999")
    assert ident.session.unrecorded > REF.identify("tidewrack", "card").session.unrecorded
    assert ident.candidates[0].posterior < 0.1
    assert len(ident.entries["code"].notes) == 3


def test_no_code_is_an_observation_too() -> None:
    """That no code is printed leads to the counts that have none."""
    ident = REF.identify("tidewrack", maker="quay-marl", code="-")
    counts = {INDEX.backs[one.id].count for one in ident.candidates[:8]}
    assert counts <= {10, 43}
    assert not REF.identify("tidewrack", maker="sietemares", code="none").candidates[0].misfits


# --- copies


def test_signs_of_copies_never_touch_the_belief() -> None:
    """Which printing it is, and whether it is a copy, are two questions."""
    ident = REF.identify("tidewrack", maker="quay-marl", back_count=25, rope="7 mm")
    glossy = ident.observe("sheen", "glossy").observe("board-texture", "smooth")
    assert posteriors(glossy) == posteriors(ident)
    assert glossy.conclusion == ident.conclusion


def test_a_known_copy_is_told_beside_its_original_with_what_would_settle_it() -> None:
    """An unexamined copy takes nothing from its original; a sign speaks for it; none is proof."""
    cards = card_table(INDEX, "tidewrack", By.BACK)
    ident = seen_all(cards, ROPE_ONLY[1])
    assert ident.candidates[0].id == ROPE_ONLY[1]
    assert ident.candidates[0].posterior > 0.95
    (copy,) = ident.contenders
    assert copy.of == ROPE_ONLY[1]
    assert abs(copy.bits) < 1.0
    assert copy.settling is not None
    assert copy.settling.where
    assert copy.settling.cautions
    seen = ident.observe(copy.settling.feature, copy.settling.on_copy[0])
    assert seen.contenders[0].bits > 1.0
    assert "the looks speak for the copy" in seen.explain()
    assert "not proof" in seen.explain()
    against = ident.observe(copy.settling.feature, copy.settling.on_originals[0])
    assert against.copies[0].bits < 0.0


def test_a_sign_is_held_against_the_originals_of_the_maker() -> None:
    """A glossy reverse is a sign on one maker's card and nothing on another's."""
    (sign,) = REF.identify("tidewrack", maker="quay-marl", sheen="glossy").signs
    assert sign.agrees is False
    (sign,) = REF.identify("tidewrack", maker="padogil", sheen="glossy").signs
    assert sign.agrees is True


def test_ultraviolet_never_goes_without_its_caution() -> None:
    """Wherever that look is told, what it does to eyes is told."""
    for copy in REF.identify("night-post", back_count=6).copies:
        for sign in copy.signs:
            if sign.tool == "ultraviolet":
                assert any("eyes" in caution for caution in sign.cautions)


@pytest.mark.parametrize(
    "known", [{}, {"maker": "quay-marl"}, {"gulls": 6, "maker": "lahar", "back-count": 43}]
)
def test_the_caution_is_always_there(known: dict[str, object]) -> None:
    """No answer goes without saying that nothing here authenticates a card."""
    assert "othing here authenticates a card" in identify(INDEX, "tidewrack", "back", known).explain()


# --- the line


def test_the_line_is_inferred_where_one_fits() -> None:
    """A maker, a feature or a count of one line is enough; it is said why."""
    cases: tuple[tuple[dict[str, object], str], ...] = (
        ({"maker": "quay-marl"}, "tidewrack"),
        ({"rope-length": "4 mm"}, "tidewrack"),
        ({"figure": "Owl Carrier"}, "night-post"),
        ({"back-count": 31, "maker": "pomelloway"}, "hedgerow-circuit"),
    )
    for known, line in cases:
        ident = identify(INDEX, known=known)
        assert ident.line == line
        assert ident.inferred


def test_a_line_that_is_not_plain_is_asked_for() -> None:
    """Several fit, or none is said: the lines are named. A title names one too."""
    with pytest.raises(UsageError, match="line=night-post, line=tidewrack"):
        REF.identify(back_count=8)
    with pytest.raises(UsageError, match="line=hedgerow-circuit or line=night-post"):
        REF.identify()
    with pytest.raises(UnknownRecord, match="tidewrack"):
        REF.identify("tidewrek")
    with pytest.raises(UsageError, match="did you mean rope-length"):
        REF.identify(maker="quay-marl", rope_lenght="4 mm")
    with pytest.raises(UsageError, match="by back or by card"):
        REF.identify("tidewrack", "letter")
    assert REF.identify("Hedgerow Circuit").line == "hedgerow-circuit"


# --- verdicts


def test_what_fits_nothing_is_told_with_the_nearest() -> None:
    """Never an empty list: how many looks, what is nearest, and what speaks against it."""
    ident = REF.identify(
        "tidewrack", maker="quay-marl", back_count=27, gulls=6, beam="right", token_shape="shell",  # noqa: S106 - no password
        wave_lines=1, frames="square", address_lines=7,
    )  # fmt: skip
    assert ident.verdict is Ending.UNRECORDED
    words = ident.explain()
    assert "Probably not recorded" in words
    assert "Nearest:" in words
    assert "Look again" in words
    assert len(ident.candidates) > 100


def test_contradictory_looks_are_told() -> None:
    """No token and a round one: one of the two was misread, and both are counted."""
    ident = REF.identify("tidewrack", token="absent", token_shape="wheel")  # noqa: S106 - no password
    assert ident.contradictions == (("token-shape", ("token",)),)
    assert "one was misread" in ident.explain()


def test_where_nothing_tells_it_is_said_and_what_does_not_count() -> None:
    """Two blank backs that differ in signs of copies only: told, with what differs."""
    ident = REF.identify("tidewrack", maker="saudalto", back_count=0)
    assert ident.verdict is Ending.ALIKE
    assert {pair.one[-5:] for pair in ident.conclusion.pairs} | {
        pair.other[-5:] for pair in ident.conclusion.pairs
    } == {one.id[-5:] for one in ident.conclusion.remaining}
    assert "is a sign of copies and does not count" in ident.explain()


def test_the_next_look_says_where_and_how() -> None:
    """Every look that is proposed comes with place, way and what can be read."""
    for line in LINES:
        for look in REF.identify(line).next_features:
            assert look.where
            assert look.how
            assert bool(look.states) == (look.kind in ("presence", "choice"))
            assert not math.isnan(look.bits)


# --- data that makes no sense


def test_a_catalogue_that_makes_no_sense_is_used_as_far_as_it_does() -> None:
    """Parents in a circle or missing, states that do not exist, lengths that are none: no crash, no lie."""
    line = "tidewrack"

    def feature(name: str, **more: Any) -> Feature:
        kind = more.pop("kind", FeatureKind.PRESENCE)
        return Feature(
            id=f"{line}/feature/{name}", title=name, where="w", how="h", kind=kind, side=Side.BACK, **more
        )

    odd = {
        one.id: one
        for one in (
            feature("circle-a", applies=Applies(feature="circle-b", state="present")),
            feature("circle-b", applies=Applies(feature="circle-a", state="present")),
            feature("orphan", applies=Applies(feature="nowhere", state="present")),
            feature("of-length", applies=Applies(feature="rope-length", state="4 mm")),
            feature("no-states", kind=FeatureKind.CHOICE),
            feature("maker", kind=FeatureKind.CHOICE, states=("a", "b")),
            feature("wild", misread=0.9),
        )
    }
    full = ROPE_ONLY[0]
    states = {name.rpartition("/")[2]: ("present",) for name in odd} | {
        "maker": ("a",),
        "no-states": ("x",),
        "rope-length": ("not a length",),
        "gulls": ("many", "3"),
        "unheard-of": ("present",),
    }
    back = evolve(INDEX.backs[full], features={**INDEX.backs[full].features, **states})
    ref = changed(feature=odd, back={full: back})
    ident = ref.identify(line, maker="quay-marl", back_count=25, wild="present").observe("feature-maker", "a")
    ident = ident.observe("gulls", 3)
    assert full in [one.id for one in ident.conclusion.remaining]
    assert not ident.session.candidate(full).misfits
    assert ident.next_features


def test_a_state_of_a_feature_that_is_not_there_hides_no_other() -> None:
    """A back with a slip among its states is told apart by those that come after it."""
    full = ROPE_ONLY[0]
    states = INDEX.backs[full].features
    slip = evolve(INDEX.backs[full], features={"unheard-of": ("present",), **states})
    read = [changed(back={full: back}) for back in (slip, INDEX.backs[full])]
    one, other = (card_table(ref.index, "tidewrack", By.BACK).table for ref in read)
    assert [column.cell(one.number(full)) for column in one.columns] == [
        column.cell(other.number(full)) for column in other.columns
    ]


def test_a_line_without_backs_has_nothing_to_choose_from() -> None:
    """An empty line is told, not divided by."""
    line = evolve(INDEX.lines["night-post"], id="empty")
    with pytest.raises(UsageError, match="nothing to choose from"):
        changed(line={"empty": line}).identify("empty")
