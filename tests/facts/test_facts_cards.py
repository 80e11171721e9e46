"""Which figure stands on which back: recorded, possible, missing; and never a no for want of a record."""

from attrs import evolve

from cardref.facts.answer import Answer, Verdict
from cardref.facts.cards import can_stand, exists, missing, recorded
from cardref.model.back import Pictures
from cardref.model.card import Made
from cardref.model.evidence import Standing
from cardref.model.maker import BackPolicy
from cardref.notation.designation import Designation
from tests.facts.indexes import sample, sample_with

PO = "lanternfish/pell-orrin"
FIGURE = "lanternfish/figure/"


def test_an_answer_has_only_the_grounds_that_it_is_given() -> None:
    """Yes, no and unknown by name; no record, source or sighting stands behind what names none."""
    for answer, verdict in (
        (Answer.yes("so"), Verdict.YES),
        (Answer.no("so"), Verdict.NO),
        (Answer.unknown("so"), Verdict.UNKNOWN),
    ):
        assert answer == Answer(verdict, "so", (), (), 0)
    assert Answer.yes("so", ("r",), ("s",), 3) == Answer(Verdict.YES, "so", ("r",), ("s",), 3)


def test_a_recorded_card_answers_with_its_sources_and_sightings() -> None:
    """Yes by the best supported record, counting what was seen."""
    answer = recorded(sample(), f"{FIGURE}reef-pilot", f"{PO}/b-001")
    assert (answer.verdict, answer.records, answer.sightings) == (Verdict.YES, (f"{PO}/c-001",), 2)
    assert answer.sources == ("source/binder",)


def test_what_is_not_recorded_is_unknown() -> None:
    """Pictured, never written down: nobody knows."""
    assert exists(sample(), f"{FIGURE}gull-warden", f"{PO}/b-001").verdict is Verdict.UNKNOWN


def test_what_a_back_does_not_picture_cannot_be() -> None:
    """A maker with its own range excludes what its back does not picture."""
    assert exists(sample(), f"{FIGURE}tide-clerk", f"{PO}/b-004").verdict is Verdict.NO


def test_a_generic_back_takes_what_its_maker_sold() -> None:
    """Policy allows it; a figure the maker never brought out stays unknown."""
    maker = evolve(sample().makers["maker/morvane"], backs=BackPolicy.GENERIC)
    back = evolve(sample().backs["lanternfish/morvane/b-001"], pictures=None, count=0)
    index = sample_with(("maker", maker), ("back", back))
    assert can_stand(index, f"{FIGURE}tide-clerk", back.id).verdict is Verdict.UNKNOWN
    listed = sample_with(("maker", maker))
    assert can_stand(listed, f"{FIGURE}night-keeper", back.id).verdict is Verdict.UNKNOWN


def test_a_blank_back_tells_nothing_of_its_figure() -> None:
    """It leaves nobody out: whatever figure is claimed on it is unknown, and the back is the ground."""
    blank = evolve(sample().backs[f"{PO}/b-001"], count=0, designation=Designation(0), pictures=Pictures())
    answer = can_stand(sample_with(("back", blank)), f"{FIGURE}tide-clerk", blank.id)
    assert (answer.verdict, answer.records) == (Verdict.UNKNOWN, (blank.id,))
    assert "is blank" in answer.because


def test_standings_tell_how_far_to_go() -> None:
    """Refuted is no, disputed and unverified are unknown, a proof is no sale."""
    card = sample().cards[f"{PO}/c-001"]
    verdicts = {
        standing: recorded(
            sample_with(("card", evolve(card, standing=standing))), f"{FIGURE}reef-pilot", card.back
        ).verdict
        for standing in Standing
    }
    assert verdicts[Standing.REFUTED] is Verdict.NO
    assert verdicts[Standing.DISPUTED] is verdicts[Standing.UNVERIFIED] is Verdict.UNKNOWN
    proof = sample_with(("card", evolve(card, made=Made.PROOF)))
    assert recorded(proof, f"{FIGURE}reef-pilot", card.back).verdict is Verdict.UNKNOWN


def test_an_exception_lets_a_figure_stand_anywhere() -> None:
    """What is recorded as odd and true is possible."""
    card = evolve(sample().cards[f"{PO}/c-002"], back=f"{PO}/b-004", exception="Packed with what was left.")
    answer = can_stand(sample_with(("card", card)), f"{FIGURE}tide-clerk", f"{PO}/b-004")
    assert (answer.verdict, answer.records) == (Verdict.YES, (card.id,))


def test_missing_and_recorded_make_up_everything_pictured() -> None:
    """Every figure of every back is either recorded on it or missing, never both."""
    index = sample()
    gaps = {(one.figure, one.back) for one in missing(index)}
    known = {(index.faces[card.face].figure, card.back) for card in index.cards.values()}
    pictured = {(f, b) for b, figures in _shown().items() for f in figures}
    assert gaps | known == pictured
    assert not gaps & known
    assert {one.back.split("/")[1] for one in missing(index, maker="morvane")} <= {"morvane"}


def _shown() -> dict[str, frozenset[str]]:
    from cardref.facts.pictures import shown_on  # noqa: PLC0415 - used by one test

    return dict(shown_on(sample()))
