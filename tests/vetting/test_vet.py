"""Vetting a claim: what is wrong, what is merely unrecorded, what to ask for, and no more than is known."""

import math
import pickle
import random
from collections.abc import Iterator
from itertools import combinations

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from cardref.errors import UsageError
from cardref.facts.answer import Verdict
from cardref.facts.cards import missing, uses_generic_backs
from cardref.facts.cautions import NO_PROOF
from cardref.facts.pictures import shown_on
from cardref.index import Index
from cardref.model.card import Card, Made
from cardref.model.evidence import Standing
from cardref.model.kinds import KINDS
from cardref.model.reproduction import Reproduction
from cardref.reference import Reference, load
from cardref.vetting import asking
from cardref.vetting.asking import Look, _likeliest, _worth
from cardref.vetting.claim import given as said_of
from cardref.vetting.copies import Says
from cardref.vetting.fields import FIELDS
from cardref.vetting.on_card import values_on
from cardref.vetting.pairing import _feature_of
from cardref.vetting.result import Vetting
from cardref.vetting.scene import Scene
from cardref.vetting.statement import Statement, Status
from cardref.vetting.vet import vet

REFERENCE = load()
INDEX = REFERENCE.index
SURE = [
    card
    for card in INDEX.cards.values()
    if card.standing in (Standing.CONFIRMED, Standing.REPORTED) and card.made is Made.PRODUCTION
]


def claimed(card: Card) -> dict[str, object]:
    """Much that a recorded card says of itself, as somebody would claim it."""
    face, back = INDEX.faces[card.face], INDEX.backs[card.back]
    claim: dict[str, object] = {
        "maker": face.maker, "figure": face.figure, "series": face.series, "back": back.id,
        "back_series": back.series, "back_count": back.count,
    }  # fmt: skip
    if face.printed_codes:
        claim["code"] = face.printed_codes[0]
    if face.name:
        claim["name"] = face.name
    if face.languages:
        claim["language"] = list(face.languages)
    if card.origin:
        claim["origin"] = card.origin[0].country
    if card.stickers:
        claim["sticker"] = card.stickers[0]
    if card.extras:
        claim["extra"] = card.extras[0]
    for slug, states in {**back.features, **face.features, **card.features}.items():
        claim.setdefault(slug, states[0])
    # Nobody claims forty things: some of them, and always the back.
    some = random.Random(card.id).sample(sorted(claim), min(10, len(claim)))
    return {name: claim[name] for name in ("back", *some)}


def of_pair(vetting: Vetting, *about: str) -> Statement:
    """The statement about two fields."""
    (found,) = [one for one in vetting.statements if sorted(one.about) == sorted(about)]
    return found


# --- what is recorded agrees -----------------------------------------------------------------------------


@given(st.sampled_from(SURE))
@example(INDEX.cards["tidewrack/quay-marl/c-0210"])  # a sign of its recorded code could not be read
@settings(max_examples=50, deadline=None)
def test_what_is_recorded_is_never_contradicted(card: Card) -> None:
    """A claim that repeats what is recorded of a card agrees, finds that card, and is never called no."""
    vetting = REFERENCE.vet(**claimed(card))
    assert not vetting.contradicted, [str(one) for one in vetting.contradicted]
    assert vetting.verdict is Verdict.YES
    assert card.id in vetting.whole
    assert not vetting.speaking_against


@given(st.sampled_from(list(INDEX.cards.values())))
@settings(max_examples=60, deadline=None)
def test_no_better_than_its_standing(card: Card) -> None:
    """Of cards that nobody is sure of, a claim by their id is never answered with yes."""
    vetting = REFERENCE.vet(card=card.id)
    if card not in SURE:
        assert vetting.verdict is not Verdict.YES
    if card.standing is Standing.REFUTED:
        assert vetting.verdict is Verdict.NO


def test_a_code_of_an_older_back_is_no_contradiction() -> None:
    """Fronts are printed apart: late cards with the code of an older back are messy, and true."""
    late = []
    for card in SURE:
        face, back = INDEX.faces[card.face], INDEX.backs[card.back]
        best = REFERENCE.decode(face.printed_codes[0]).best if face.printed_codes else None
        if best is not None and best.backs and card.back not in best.backs and face.maker == back.maker:
            late.append((face.printed_codes[0], face.figure, back.id))
    assert late, "the dataset shows such cards"
    for code, figure, under in late[:5]:
        assert not REFERENCE.vet(code=code, figure=figure, back=under).contradicted


def test_a_front_of_one_maker_on_a_back_of_another_is_found() -> None:
    """Once a regional front stands on a home back: recorded, so it agrees."""
    mixed = [card for card in SURE if INDEX.faces[card.face].maker != INDEX.backs[card.back].maker]
    assert mixed
    for card in mixed[:3]:
        vetting = REFERENCE.vet(
            maker=INDEX.faces[card.face].maker, figure=INDEX.faces[card.face].figure, back=card.back
        )
        assert not vetting.contradicted
        assert card.id in vetting.whole


# --- what is not recorded --------------------------------------------------------------------------------


def test_never_recorded_is_not_cannot_be() -> None:
    """Figures pictured on a back, of which no card is recorded, are unrecorded and never contradicted."""
    found = list(missing(INDEX, "tidewrack", "quay-marl"))[::40]
    assert found
    for gap in found:
        vetting = REFERENCE.vet(figure=gap.figure, back=gap.back)
        assert of_pair(vetting, "figure", "back").status is Status.UNRECORDED
        assert vetting.verdict is Verdict.UNKNOWN


def test_a_figure_that_a_back_does_not_picture_is_contradicted() -> None:
    """Where the maker's backs picture their own range, the record of the pictures excludes it."""
    for full_back, figures in list(shown_on(INDEX).items())[::12]:
        if uses_generic_backs(INDEX, full_back):
            continue
        line = full_back.partition("/")[0]
        other = [full for full in INDEX.figures if full.startswith(f"{line}/") and full not in figures]
        recorded = {
            INDEX.faces[INDEX.cards[card].face].figure for card in INDEX.cards_by_back.get(full_back, ())
        }
        for figure in [full for full in other if full not in recorded][:2]:
            statement = of_pair(REFERENCE.vet(figure=figure, back=full_back), "figure", "back")
            assert statement.status is Status.CONTRADICTED
            assert full_back in statement.records


def test_a_maker_that_sells_on_generic_backs_is_not_contradicted() -> None:
    """Thirty figures on one back that pictures ten: the policy allows what the picture does not show."""
    back = next(full for full in INDEX.backs if uses_generic_backs(INDEX, full))
    shown = shown_on(INDEX)[back]
    figures = {
        INDEX.faces[face].figure
        for face in INDEX.faces
        if face.split("/")[1] == back.split("/")[1] and INDEX.faces[face].figure not in shown
    }
    assert figures
    for figure in sorted(figures)[:5]:
        assert not REFERENCE.vet(figure=figure, back=back).contradicted


def test_an_unknown_name_is_unrecorded_with_what_was_meant() -> None:
    """A misspelt or unheard-of figure, maker and back are told as not recorded, not as impossible."""
    vetting = REFERENCE.vet(figure="lamp-divr", maker="nobody-at-all", back="99Z")
    assert not vetting.contradicted
    alone = {one.about[0]: one for one in vetting.statements if len(one.about) == 1}
    assert {one.status for one in alone.values()} == {Status.UNRECORDED}
    assert "did you mean lamp-diver?" in alone["figure"].because
    assert {one.status for one in vetting.statements if len(one.about) == 2} == {Status.UNKNOWN}


def test_a_disputed_back_is_told_with_both_sides() -> None:
    """A dispute is neither agreed nor contradicted: both sides are told."""
    back = next(back for back in INDEX.backs.values() if back.standing is Standing.DISPUTED)
    (statement,) = REFERENCE.vet(back=back.id).statements
    assert statement.status is Status.UNKNOWN
    for side in back.sides:
        assert side.claim[:40] in statement.because


# --- what cannot be --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("claim", "about"),
    [
        ({"back": "25B", "back_count": 28}, ("back", "back-count")),
        ({"maker": "stellan-fogg", "code": "7K 2046/031"}, ("maker", "code")),
        ({"figure": "lamp-diver", "code": "7K 2042/031"}, ("figure", "code")),
        ({"maker": "fjellvik", "language": "el"}, ("maker", "language")),
        ({"maker": "fjellvik", "date": "1979"}, ("maker", "date")),
        ({"back": "quay-marl 25B", "date": "1979"}, ("back", "date")),
        ({"origin": "HR", "date": "1981"}, ("origin", "date")),
        ({"back": "quay-marl 25B", "origin": "HR"}, ("back", "origin")),
        ({"back": "quay-marl 25B", "rope_length": "7 mm"}, ("back", "rope-length")),
        ({"back": "quay-marl 25B", "back_series": "saltglass"}, ("back-series", "back")),
        ({"figure": "lamp-diver", "name": "Ropewalk Ada"}, ("figure", "name")),
        ({"line": "night-post", "figure": "lamp-diver"}, ("line", "figure")),
        ({"token": "absent", "token_shape": "anchor"}, ("token", "token-shape")),
        ({"card": "quay-marl/c-0093", "back": "25B"}, ("back", "card")),
        ({"series": "harbour", "date": "1980"}, ("series", "date")),
    ],
)
def test_two_claims_that_cannot_both_be_true(claim: dict[str, object], about: tuple[str, str]) -> None:
    """Each pair is contradicted by a recorded fact, which is named; the answer is no."""
    vetting = REFERENCE.vet(**claim)
    statement = of_pair(vetting, *about)
    assert statement.status is Status.CONTRADICTED, str(statement)
    assert statement.because
    assert vetting.verdict is Verdict.NO


def test_a_barcode_whose_check_digit_is_wrong_is_contradicted() -> None:
    """The check digit of a recorded barcode, changed by one, does not fit any more."""
    barcode = next(face.barcode for face in INDEX.faces.values() if face.barcode)
    wrong = barcode[:-1] + str((int(barcode[-1]) + 1) % 10)
    assert REFERENCE.vet(barcode=barcode).agreed
    assert REFERENCE.vet(barcode=wrong).contradicted


def test_two_values_of_one_field_contradict_each_other() -> None:
    """Two backs in fields are a contradiction of the claim with itself, also where each exists."""
    vetting = REFERENCE.vet(back=["25B", "21A"])
    assert [one.about for one in vetting.contradicted] == [("back", "back")]
    assert vetting.verdict is Verdict.NO


@pytest.mark.parametrize("same", [["25B", "25"], ["25-b", "25B"], ["25B", "tidewrack/quay-marl/b-017"]])
def test_two_ways_to_say_one_thing_do_not(same: list[str]) -> None:
    """A bare count beside a letter, another way of writing, and an id are no second value."""
    vetting = REFERENCE.vet(back=same)
    assert not vetting.contradicted
    assert vetting.backs == ("tidewrack/quay-marl/b-017",)


def test_several_in_running_text_are_a_question() -> None:
    """A listing that names two figures may be a lot: it is asked which, and never answered with yes."""
    vetting = REFERENCE.vet("Lamp Diver and Sounding Tam, both 25B back")
    assert not vetting.contradicted
    assert vetting.verdict is Verdict.UNKNOWN
    assert "which is offered?" in of_pair(vetting, "figure", "figure").because


def test_a_year_in_a_listing_may_be_the_copyright() -> None:
    """The same date contradicts as a field, and is only asked about in running text."""
    assert REFERENCE.vet(back="25B", date="1979").contradicted
    vetting = REFERENCE.vet("1979 Lamp Diver 25B back")
    assert not vetting.contradicted
    assert "copyright" in of_pair(vetting, "back", "date").because


def test_later_than_recorded_contradicts_nothing() -> None:
    """Old stock is sold late: a date after the series is not recorded, and may be."""
    statement = of_pair(REFERENCE.vet(back="quay-marl 25B", date="1995"), "back", "date")
    assert statement.status is not Status.CONTRADICTED


@pytest.mark.parametrize(("date", "differs"), [("1970", ["date"]), ("1995", ["date"]), ("1982-06", [])])
def test_a_card_of_another_time_differs_in_its_date(date: str, differs: list[str]) -> None:
    """The nearest card is told with its own dates, whether the claim is before or after them."""
    vetting = REFERENCE.vet(figure="lamp-diver", back="quay-marl 25B", date=date)
    assert [one.field for nearest in vetting.nearest for one in nearest.differences] == differs


def test_where_no_card_shares_anything_none_is_the_nearest() -> None:
    """A card that differs in all that was said is no help."""
    assert REFERENCE.vet(date="1970").nearest == ()
    assert REFERENCE.vet(date="1970", maker="quay-marl").nearest != ()


def test_a_feature_that_is_not_recorded_of_the_back_is_unknown() -> None:
    """It may be as seen, and the statement says what is missing."""
    statement = of_pair(REFERENCE.vet(**{"back": "quay-marl 25B", "small-ink": "black"}), "back", "small-ink")
    assert statement.status is Status.UNKNOWN
    assert statement.because == "small ink of back quay-marl 25B (b-017) is not recorded"


def test_a_photo_bears_the_cautions_of_all_its_looks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of three looks of one photo the last one's caution is told, too."""
    scene = Scene(INDEX, said_of(INDEX, [("figure", "lamp-diver")]))
    looks = [
        (Look(name, name, "", "", ("x", "y"), 1.0), "under a lamp", cautions)
        for name, cautions in (("a", ()), ("b", ()), ("c", ("mind the eyes",)))
    ]
    monkeypatch.setattr(asking, "_looks", lambda *_: iter(looks))
    (ask,) = asking.asks(scene)
    assert ([look.field for look in ask.looks], ask.cautions) == (["a", "b", "c"], ("mind the eyes",))


def test_an_outcome_that_hardly_occurs_is_not_expected() -> None:
    """Of what a look may show, what is less likely than 3 in 100 is left out."""
    seen = {"a": ("round",), "b": ("square",), "c": ("plank",)}
    assert _likeliest({"a": 0.90, "b": 0.08, "c": 0.02}, seen) == ("round", "square")


def test_of_several_backs_one_with_the_state_is_enough() -> None:
    """A bare count names five backs; that nobody looked at the first says nothing about the second."""
    scene = Scene(INDEX, said_of(INDEX, [("maker", "pomelloway"), ("back", "26"), ("flags", "9")]))
    back, flags = scene.claim.part("back"), scene.claim.part("flags")
    assert back is not None
    assert flags is not None
    answer = _feature_of(scene, back, flags)
    assert answer is not None
    assert answer.verdict is Verdict.YES


def test_a_sticker_may_be_named_by_its_id() -> None:
    """Its id, whole or short, names it as well as the words on it."""
    full = "hedgerow-circuit/sticker/rabais-dollar"
    for said in (full, "rabais-dollar"):
        (part,) = REFERENCE.vet(sticker=said).claim.parts
        assert part.ids == (full,)


def test_no_sticker_is_never_proven() -> None:
    """That a card is plain is unknown at best: a sticker may have been taken off."""
    vetting = REFERENCE.vet(sticker="none", back="25B")
    (statement,) = [one for one in vetting.statements if one.about == ("sticker",)]
    assert statement.status is Status.UNKNOWN


@pytest.mark.parametrize(
    ("words", "count"),
    [("unpunched punched", 1), ("sealed resealed", 1), ("creased no creases", 1), ("sealed unpunched", 0)],
)
def test_words_of_condition_that_do_not_go_together(words: str, count: int) -> None:
    """Opposites, and a word beside its denial, are contradicted; words that go together are not."""
    assert len(REFERENCE.vet(f"Lamp Diver 25B back {words}").contradicted) == count


@pytest.mark.parametrize(
    ("words", "told"), [("mint creased", True), ("mint sealed", False), ("creased", False)]
)
def test_as_made_and_worn_is_asked_about(words: str, told: bool) -> None:
    """Mint and creased may be of two parts: which is asked, and nothing is contradicted."""
    vetting = REFERENCE.vet(f"Lamp Diver 25B back {words}")
    asked = [one.because for one in vetting.statements if "ask which part is meant by each" in one.because]
    assert asked == (["mint and creased: ask which part is meant by each"] if told else [])
    assert not vetting.contradicted


# --- the statements as a whole ---------------------------------------------------------------------------

CLAIMS: tuple[dict[str, object], ...] = (
    {"maker": "quay-marl", "figure": "lamp-diver", "back": "21A", "code": "7K 2046/031"},
    {"maker": "fjellvik", "figure": "lamp-diver", "back": "25B", "date": "1979", "origin": "HR"},
    {"back": ["25B", "21A"], "language": "en", "rope_length": "7 mm", "surface_sheen": "glossy"},
    {"card": "quay-marl/c-0093", "sticker": "none", "back_count": 21, "extra": "disc"},
    {"figure": "nobody", "code": "rubbish", "barcode": "123", "number": "1"},
)


@pytest.mark.parametrize("claim", CLAIMS)
def test_every_part_and_every_pair_is_stated(claim: dict[str, object]) -> None:
    """No part and no pair is passed over in silence, and none is told twice."""
    vetting = REFERENCE.vet(**claim)
    fields = [part.field for part in vetting.claim.parts]
    alone = [one.about for one in vetting.statements if len(one.about) == 1]
    pairs = [one.about for one in vetting.statements if len(set(one.about)) == 2]
    assert alone == [(field,) for field in fields]
    assert pairs == list(combinations(fields, 2))


@pytest.mark.parametrize("claim", CLAIMS)
def test_statements_name_records_and_sources_that_exist(claim: dict[str, object]) -> None:
    """Whoever wants to check finds each record and each source."""
    for statement in REFERENCE.vet(**claim).statements:
        assert all(full in INDEX for full in statement.records), statement
        assert all(full in INDEX.sources for full in statement.sources), statement
        assert statement.sightings >= 0


def test_agreement_counts_sightings() -> None:
    """What agrees through recorded cards tells how many specimens were seen, as the cards do."""
    statement = of_pair(REFERENCE.vet(figure="lamp-diver", back="quay-marl 25B"), "figure", "back")
    cards = [INDEX.cards[full] for full in statement.records if full in INDEX.cards]
    assert statement.status is Status.AGREED
    assert statement.sightings == sum(card.seen for card in cards) > 0


def test_the_order_of_fields_does_not_matter() -> None:
    """A claim is a claim, in whatever order it is told."""
    claim = CLAIMS[0]
    assert REFERENCE.vet(**claim) == REFERENCE.vet(**dict(reversed(claim.items())))


def test_an_answer_can_be_kept_and_sent() -> None:
    """An answer is frozen, and a pickled copy equals it."""
    vetting = REFERENCE.vet("Lamp Diver 25C", surface_sheen="glossy")
    assert pickle.loads(pickle.dumps(vetting)) == vetting  # noqa: S301 - our own bytes
    with pytest.raises(AttributeError):
        vetting.verdict = Verdict.YES  # type: ignore[misc] # that it cannot be set is the claim


# --- what to ask for -------------------------------------------------------------------------------------


def brute_force(weights: dict[str, float], seen: dict[str, str]) -> float:
    """Mutual information of card and outcome, summed over both (Shannon 1948), where no look goes wrong."""
    total = 0.0
    outcomes = set(seen.values())
    for outcome in outcomes:
        of_outcome = sum(weights[card] for card in weights if seen[card] == outcome)
        for card, weight in weights.items():
            if seen[card] == outcome:
                total += weight * math.log2(weight / (weight * of_outcome))
    return total


@given(
    st.lists(st.tuples(st.floats(0.01, 1.0), st.sampled_from("abc")), min_size=1, max_size=12),
)
@settings(max_examples=80, deadline=None)
def test_a_look_is_worth_the_mutual_information(rows: list[tuple[float, str]]) -> None:
    """Where all is recorded and nothing misread, the worth equals the sum over cards and outcomes."""
    total = sum(weight for weight, _ in rows)
    weights = {str(at): weight / total for at, (weight, _) in enumerate(rows)}
    seen = {str(at): outcome for at, (_, outcome) in enumerate(rows)}
    worth = _worth(weights, {card: (outcome,) for card, outcome in seen.items()}, 0.0)
    assert worth == pytest.approx(brute_force(weights, seen), abs=1e-9)


@given(st.floats(0.0, 0.3), st.floats(0.0, 0.3))
@settings(max_examples=40, deadline=None)
def test_misreading_and_not_knowing_only_take_away(one: float, other: float) -> None:
    """A look that is misread more often, or recorded for fewer cards, is never worth more."""
    weights = dict.fromkeys("abcd", 0.25)
    seen = {"a": ("x",), "b": ("x",), "c": ("y",), "d": ("y",)}
    low, high = sorted((one, other))
    assert _worth(weights, seen, high) <= _worth(weights, seen, low) + 1e-12
    fewer = {card: states for card, states in seen.items() if card != "d"}
    assert _worth(weights, fewer, low) <= _worth(weights, seen, low) + 1e-12


def test_the_best_look_splits_what_the_claim_leaves() -> None:
    """Of Lamp Diver on a 25, five backs are left; each state that the best look can have leaves fewer."""
    base = REFERENCE.vet(maker="quay-marl", figure="lamp-diver", back="25")
    assert len(base.backs) == 5
    look = base.asks[0].looks[0]
    assert len(look.states) > 1
    for state in look.states:
        after = REFERENCE.vet(maker="quay-marl", figure="lamp-diver", back="25", **{look.field: state})
        assert 0 < len(after.backs) < 5
        assert all(look.field != other.field for ask in after.asks for other in ask.looks)


@pytest.mark.parametrize("claim", CLAIMS)
def test_asks_are_ranked_by_what_they_settle(claim: dict[str, object]) -> None:
    """The first photo has the look that tells most for its effort; every look says where and how."""
    asks = [ask for ask in REFERENCE.vet(**claim).asks if ask.looks]
    worth = [ask.looks[0].bits / ask.looks[0].effort for ask in asks]
    assert worth == sorted(worth, reverse=True)
    for ask in asks:
        assert 0.0 < ask.settles <= 1.0
        assert all(look.where and look.how for look in ask.looks)


def test_a_code_that_belongs_elsewhere_is_settled_by_counting() -> None:
    """The back says 21, the code 25: the first thing to ask for shows how many figures are pictured."""
    vetting = REFERENCE.vet(**CLAIMS[0])
    assert vetting.asks[0].looks[0].field == "back-count"
    assert {"21", "25"} <= set(vetting.asks[0].looks[0].states)
    assert [near.differences[0].field for near in vetting.nearest[:2]] == ["code", "back"]


def test_nearest_says_what_is_recorded_instead() -> None:
    """A near card tells each difference, with what the claim says and what the card has."""
    vetting = REFERENCE.vet(**CLAIMS[0])
    for near in vetting.nearest:
        for difference in near.differences:
            assert difference.recorded in values_on(INDEX, difference.field, near.card)
            assert difference.claimed != difference.recorded


# --- copies ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("copy", list(INDEX.reproductions.values()), ids=lambda copy: copy.id)
def test_a_known_copy_is_named_for_what_it_copies(copy: Reproduction) -> None:
    """A claim of the back that a copy copies names the copy, and by its states speaks for it."""
    backs = [full for full in copy.copies if full in INDEX.backs]
    claim: dict[str, object] = {"back": backs[0]} if backs else {"figure": "neap-colossus"}
    assert [(known.id, known.seen) for known in REFERENCE.vet(**claim).copies] == [(copy.id, False)]
    for slug, states in copy.features.items():
        (known,) = REFERENCE.vet(**claim, **{slug: states[0]}).copies
        seen = [sign for sign in known.signs if sign.feature == slug]
        assert all(sign.says is Says.LIKE_COPY for sign in seen)
        assert known.seen == bool(seen)  # one sign of several is enough
    other = REFERENCE.vet(back="quay-marl 16B")
    assert copy.id not in [known.id for known in other.copies]


def test_a_state_that_the_original_has_too_gives_nothing_away() -> None:
    """The glossy copy has the long rope of what it copies: that is not among what it is known by."""
    (known,) = REFERENCE.vet(back="quay-marl 25C").copies
    assert "rope-length" in INDEX.reproductions[known.id].features
    assert "rope-length" not in [sign.feature for sign in known.signs]


def test_a_sign_keeps_yes_away_but_never_says_no() -> None:
    """A glossy board where originals are matt: the card is recorded, and still the answer is not yes."""
    plain = REFERENCE.vet(maker="quay-marl", figure="lamp-diver", back="25C")
    glossy = REFERENCE.vet(maker="quay-marl", figure="lamp-diver", back="25C", surface_sheen="glossy")
    assert plain.verdict is Verdict.YES
    assert glossy.verdict is Verdict.UNKNOWN
    assert not glossy.contradicted
    assert [sign.feature for sign in glossy.speaking_against] == ["surface-sheen"]
    assert glossy.whole == plain.whole, "a copy looks like its original"


def test_a_sign_is_judged_by_maker() -> None:
    """Glossy is as on originals of one maker, not known on another's, and not judged without a maker."""
    says = {}
    for maker in ("quay-marl", "padogil"):
        signs = REFERENCE.vet(maker=maker, surface_sheen="glossy").signs
        says[maker] = next(sign.says for sign in signs if sign.feature == "surface-sheen")
    assert says == {"quay-marl": Says.UNLIKE_ORIGINALS, "padogil": Says.LIKE_ORIGINALS}
    vague = REFERENCE.vet(figure="lamp-diver", surface_sheen="glossy")
    assert not vague.signs
    assert not vague.speaking_against


def answers() -> Iterator[Vetting]:
    """Answers to claims of every maker, and of every known copy with what gives it away."""
    for maker in INDEX.makers:
        yield REFERENCE.vet(maker=maker)
        yield REFERENCE.vet(maker=maker, surface_sheen="glossy", flange_marks="absent")
    for copy in INDEX.reproductions.values():
        yield REFERENCE.vet(figure="neap-colossus", **{slug: s[0] for slug, s in copy.features.items()})
        for full in copy.copies:
            kind = INDEX.kind(full)
            yield REFERENCE.vet(**{kind: full}, **{slug: s[0] for slug, s in copy.features.items()})


def test_everything_about_genuineness_carries_its_caution() -> None:
    """Every answer, every sign and every known copy says that it is not proof; ultraviolet says eyes."""
    seen = 0
    for vetting in answers():
        assert NO_PROOF in vetting.cautions
        for sign in (*vetting.signs, *(sign for copy in vetting.copies for sign in copy.signs)):
            seen += 1
            assert sign.cautions[-1] == NO_PROOF
            if sign.feature == "ultraviolet-glow":
                assert any("eyes" in caution for caution in sign.cautions)
            if sign.feature == "bubble-seal":
                assert any("heat" in caution for caution in sign.cautions)
        for copy in vetting.copies:
            assert NO_PROOF in copy.cautions
        for statement in vetting.statements:
            if {"maker", "surface-sheen"} <= set(statement.about):
                assert "not proof" in statement.because
    assert seen > 50


# --- bad input -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("claim", "said"),
    [
        ({"bakc": "25B"}, "did you mean back"),
        ({"surface_shene": "glossy"}, "did you mean surface-sheen"),
        ({"xyzzy": "1"}, "there are line, maker"),
        ({"back": "twenty-five"}, "no designation such as 25B"),
        ({"back": ""}, "has no value"),
        ({"back": None}, "has no value that can be read"),
        ({"back": []}, "has no value that can be read"),
        ({"back_count": "many"}, "a whole number such as 25"),
        ({"date": "3/4/81"}, "a date in EDTF"),
        ({"language": "gr"}, "did you mean el"),
        ({"language": "Greek"}, "a language tag of BCP 47"),
        ({"surface_sheen": "shiny"}, "its states are matt, satin, glossy"),
        ({"rope_length": "long"}, "a length with its unit"),
        ({"gulls": "99"}, "its greatest count is 6"),
        ({"name": "x" * 600}, "600 characters"),
    ],
)
def test_misuse_is_told_with_the_next_step(claim: dict[str, object], said: str) -> None:
    """A field that is none, and a value that its field cannot have, are refused with what is wanted."""
    with pytest.raises(UsageError, match=said):
        REFERENCE.vet(**claim)


def test_nothing_claimed_is_misuse() -> None:
    """An empty claim is refused; words that are no text are a TypeError."""
    for words in ("", "   \n"):
        with pytest.raises(UsageError, match="nothing is claimed"):
            REFERENCE.vet(words)
    with pytest.raises(TypeError):
        REFERENCE.vet(25)  # type: ignore[arg-type] # the claim is that it is refused


def test_nothing_recognised_is_told_with_what_to_ask_for() -> None:
    """A listing in which nothing is recognised is unknown, never agreed, and says what to ask for."""
    vetting = REFERENCE.vet("lovely vintage toy, from a pet-free home")
    assert vetting.verdict is Verdict.UNKNOWN
    assert "nothing in these words was recognised" in vetting.because
    assert "ask for the maker" in vetting.because
    assert vetting.claim.unread


def test_a_reading_that_was_not_made_is_no_claim() -> None:
    """Could not see: nothing is claimed by it, and nothing follows."""
    vetting = REFERENCE.vet(surface_sheen="not-seen", rope_length="could not see")
    assert not vetting.claim.parts
    assert vetting.verdict is Verdict.UNKNOWN


def test_ten_thousand_words_are_read_in_part() -> None:
    """A flood of words is cut, which is told; what stands at its front is still vetted."""
    vetting = REFERENCE.vet("Lamp Diver 25B back " + "lovely toy " * 5_000)
    assert vetting.claim.cut
    assert len(vetting.claim.parts) == 2
    assert sum(len(words) for words in vetting.claim.unread) < 10_000


def test_a_flood_of_designations_is_bounded() -> None:
    """A text of nothing but backs keeps a few values, and says that there are several."""
    vetting = REFERENCE.vet(" ".join(f"{count}{letter} back" for count in range(1, 99) for letter in "ABC"))
    (part,) = vetting.claim.parts
    assert part.clash
    assert len(part.said) <= 8


@given(st.text(max_size=80))
@settings(max_examples=60, deadline=None)
def test_any_words_are_answered(words: str) -> None:
    """Whatever a listing says: an answer with its caution, or that nothing is claimed."""
    if words.strip():
        assert NO_PROOF in REFERENCE.vet(words).cautions


@given(st.sampled_from(sorted(FIELDS)), st.text(min_size=1, max_size=30))
@settings(max_examples=120, deadline=None)
def test_any_value_is_answered_or_refused(field: str, value: str) -> None:
    """Whatever stands in a field: an answer, or a UsageError; never another exception."""
    try:
        vetting = REFERENCE.vet(**{field: value})
    except UsageError:
        return
    assert NO_PROOF in vetting.cautions


def test_a_dataset_with_nothing_in_it_contradicts_nothing() -> None:
    """Without a record there is neither yes nor no."""
    empty = Index({kind: {} for kind in KINDS})
    vetting = vet(empty, "Lamp Diver 25B back", [("maker", "quay-marl"), ("code", "7K 2046/031")])
    assert vetting.verdict is Verdict.UNKNOWN
    assert not vetting.contradicted
    assert vetting.asks


def test_a_reference_is_not_changed_by_vetting() -> None:
    """Vetting leaves the fingerprint as it was, and gives the same answer twice."""
    reference: Reference = load()
    before = reference.fingerprint
    first = reference.vet("Lamp Diver 25B back")
    assert reference.vet("Lamp Diver 25B back") == first
    assert reference.fingerprint == before


def test_what_the_seller_says_was_done_to_it_leads() -> None:
    """A recorded card that is told as resealed is not settled, and the first line says why."""
    told = vet(INDEX, "Lamp Diver 25B Quay & Marl re-sealed bubble")
    assert told.whole
    assert told.verdict is Verdict.UNKNOWN
    assert told.because.endswith("seen twice; but the seller says resealed: ask what was done")
    assert told.claim.altered == ("resealed",)
    assert told.something_against
    wrong = vet(INDEX, "Lamp Diver 25B Quay & Marl resealed", fields=[("back-count", 28)])
    assert wrong.verdict is Verdict.NO
    assert wrong.because.endswith("cannot be as claimed; and the seller says resealed: ask what was done")


def test_what_the_seller_denies_is_no_alteration() -> None:
    """'not resealed' speaks for the card, as do words of mere wear."""
    told = vet(INDEX, "Lamp Diver 25B Quay & Marl not re-sealed, creased")
    assert told.verdict is Verdict.YES
    assert told.claim.altered == ()
    assert not told.something_against


def test_a_year_behind_a_back_contradicts_nothing() -> None:
    """An ordinary listing is not taken for a code that nobody wrote."""
    told = vet(INDEX, "Quay & Marl Lamp Diver 25B 1979")
    assert told.claim.part("code") is None
    assert told.verdict is Verdict.YES


def test_a_name_like_no_other_is_told_with_where_to_look() -> None:
    """Where nothing is near, the next step is the list of what there is."""
    (unknown,) = [one for one in vet(INDEX, fields=[("figure", "zzyzx")]).unrecorded if len(one.about) == 1]
    assert unknown.because == "no figure is called 'zzyzx'; `cardref list figures` lists them"


@pytest.mark.parametrize("word", ["opened", "re-sealed", "reglued bubble", "trimmed", "repaired", "restored"])
def test_every_word_of_alteration_keeps_a_claim_from_being_settled(word: str) -> None:
    """Whatever was done to it, the reason ends by asking what."""
    told = vet(INDEX, f"Lamp Diver 25B Quay & Marl {word}")
    assert told.verdict is Verdict.UNKNOWN
    assert told.because.endswith("ask what was done")


def test_a_whole_code_may_be_the_one_that_could_not_be_read() -> None:
    """A card whose recorded code has an unread sign is open for a code that it can be, and for no other."""
    can, cannot = (
        vet(INDEX, fields=[("maker", "quay-marl"), ("figure", "cistern-crab"), ("code", code)])
        for code in ("7K 2145/031", "7K 2146/031")
    )
    assert "tidewrack/quay-marl/c-0210" in can.open
    assert "tidewrack/quay-marl/c-0210" not in can.whole
    assert "tidewrack/quay-marl/c-0210" not in cannot.open
