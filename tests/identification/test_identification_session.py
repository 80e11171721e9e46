"""What a session answers, and what it says to input that makes no sense."""

import math
import pickle
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import cardref
from cardref.errors import NotationError, UsageError
from cardref.identification.answer import Candidate, Conclusion, Ending
from cardref.identification.belief import Belief, _strata, bit_set, members
from cardref.identification.feature import Feature
from cardref.identification.reading import COULD_NOT_SEE, DOES_NOT_APPLY
from cardref.identification.session import Session
from cardref.identification.table import Aside, Table

HUE = Feature("hue", "choice", ("red", "blue", "green"))
TENS = Feature("tens", "count")
LENGTH = Feature("rope", "length")
FEATURES = [
    Feature("star", "presence"),
    HUE,
    TENS,
    Feature("strap", "presence"),
    Feature("strap-hue", "choice", ("red", "blue"), parent="strap", when="present"),
]
ROWS: dict[str, dict[str, Any]] = {
    "a": {"star": "present", "hue": "red", "tens": 25, "strap": "present", "strap-hue": "red"},
    "b": {"star": "present", "hue": "blue", "tens": 25, "strap": "present", "strap-hue": "blue"},
    "c": {"star": "absent", "hue": "red", "tens": 28, "strap": "absent"},
    "d": {"star": "absent", "hue": "green", "tens": 43, "strap": "absent"},
}


def table(**more: Any) -> Table:
    """Four candidates, told apart by every feature."""
    return Table(FEATURES, ROWS, **more)


def observed(session: Session, **readings: Any) -> Session:
    """The session after several looks; ``_`` stands for ``-``."""
    for name, reading in readings.items():
        session = session.observe(name.replace("_", "-"), reading)
    return session


def order(session: Session) -> list[str]:
    """The candidates, best first."""
    return [candidate.id for candidate in session.candidates]


# --- one misread


def test_one_misread_never_rules_the_truth_out() -> None:
    """Whichever look is misread, in whatever way, the truth comes first when the others were read right."""
    stars = [Feature(f"star-{n}", "presence") for n in range(3)]
    rows = {
        "a": {"hue": "red", "tens": 25, "star-0": False, "star-1": False, "star-2": False},
        "b": {"hue": "blue", "tens": 28, "star-0": False, "star-1": True, "star-2": True},
        "c": {"hue": "green", "tens": 43, "star-0": True, "star-1": False, "star-2": True},
    }
    states: dict[str, tuple[Any, ...]] = {star.id: (True, False) for star in stars}
    states |= {"hue": ("red", "blue", "green"), "tens": (24, 25, 28, 43, 99)}
    for truth, row in rows.items():
        for wrong, others in states.items():
            for misread in set(others) - {row[wrong]}:
                session = Session(Table([HUE, TENS, *stars], rows))
                for name, state in row.items():
                    session = session.observe(name, misread if name == wrong else state)
                assert order(session)[0] == truth
                assert all(candidate.posterior > 0.0 for candidate in session.candidates)


def test_a_count_slips_to_its_neighbours() -> None:
    """27 speaks for 28 rather than for 25, and 26 for 25; but neither is out."""
    assert order(observed(Session(table()), tens=27))[0] == "c"
    assert order(observed(Session(table()), tens=26))[:2] == ["a", "b"]
    far = observed(Session(table()), tens=99)
    assert [candidate.posterior for candidate in far.candidates] == pytest.approx([0.25] * 4)


def test_an_unsure_reading_is_the_sum_of_its_states() -> None:
    """Red or blue speaks for both alike and against green; all three say nothing."""
    session = observed(Session(table()), hue={"red", "blue"})
    assert session.candidate("a").posterior == pytest.approx(session.candidate("b").posterior)
    assert order(session)[3] == "d"
    same = observed(Session(table()), hue="green|red|blue")
    assert [candidate.posterior for candidate in same.candidates] == pytest.approx([0.25] * 4)


def test_what_nobody_recorded_is_no_evidence_against() -> None:
    """A candidate of which a feature is not recorded stays as probable when that feature is read."""
    rows = {"known": {"star": "present"}, "other": {"star": "absent"}, "unknown": {}}
    for state in ("present", "absent"):
        session = Session(Table(FEATURES[:1], rows)).observe("star", state)
        assert session.candidate("unknown").posterior == pytest.approx(1 / 3)
        assert [fit.agrees for fit in session.candidate("unknown").fits] == [None]


def test_a_state_that_none_is_recorded_with_does_not_rule_out_the_unrecorded() -> None:
    """A state that no candidate has speaks no louder against those of which nothing is recorded."""
    rows = {"red": {"hue": "red"}, "blue": {"hue": "blue"}, "unknown": {}}
    session = Session(Table([FEATURES[1]], rows)).observe("hue", "green")
    assert session.candidate("unknown").posterior == pytest.approx(1 / 3)


# --- features that hang on others


def test_a_clash_is_counted_once_at_the_parent() -> None:
    """A red strap costs a card without a strap one misread, not two; and the misfit is told at the strap."""
    both = observed(Session(table()), strap="present", strap_hue="red")
    alone = observed(Session(table()), strap_hue="red")
    for session in (both, alone):
        ratio = session.candidate("c").posterior / session.candidate("a").posterior
        # One misread of the strap, and the hue as likely as it is among all straps recorded: one half.
        assert ratio == pytest.approx((0.05 / 0.95) * (0.5 / 0.95))
        assert [fit.feature for fit in session.candidate("c").misfits] == ["strap"]
        assert [fit.feature for fit in session.candidate("a").matches] == ["strap", "strap-hue"]
    fit = alone.candidate("c").misfits[0]
    assert (fit.seen, fit.by) == ("present", ("strap-hue",))
    assert str(fit) == "strap: present (by strap-hue), recorded: absent"


def test_does_not_apply_is_read_at_the_parent() -> None:
    """Reading "does not apply" for the strap's hue is worth as much as seeing that there is no strap."""
    by_child = observed(Session(table()), strap_hue="-")
    by_parent = observed(Session(table()), strap="absent")
    for name in ROWS:
        assert by_child.candidate(name).posterior == pytest.approx(by_parent.candidate(name).posterior)
    assert [fit.feature for fit in by_child.candidate("a").misfits] == ["strap"]
    both = observed(by_child, strap="absent")
    assert both.candidate("c").posterior == pytest.approx(by_parent.candidate("c").posterior)


def test_a_child_is_worth_nothing_once_its_parent_is_absent() -> None:
    """With no strap seen, nobody is sent to look for the strap's hue."""
    session = observed(Session(table()), strap="absent")
    assert "strap-hue" not in [look.feature for look in session.next_features]
    assert "strap-hue" in [look.feature for look in Session(table()).next_features]


def test_readings_that_contradict_are_told_and_both_counted() -> None:
    """No strap and a red strap: an answer with the reason, in either order, and the rest still counts."""
    one = observed(Session(table()), strap="absent", strap_hue="red", star="present", hue="red")
    other = observed(Session(table()), hue="red", strap_hue="red", star="present", strap="absent")
    for session in (one, other):
        assert session.contradictions == (("strap-hue", ("strap",)),)
        assert "'strap-hue' does not go with what was read of 'strap'" in session.explain()
        assert sum(candidate.posterior for candidate in session.candidates) == pytest.approx(1.0)
    assert order(one) == order(other)
    assert order(one)[0] == "a"


def test_does_not_apply_beside_another_part_is_no_misfit_of_its_own() -> None:
    """The token's shape was seen, so its width applies: the contradiction is told, and held to nothing."""
    ident = cardref.load().identify("tidewrack").observe("token-width", "-").observe("token-shape", "anchor")
    session = ident.session
    assert session.contradictions == (("token-width", ("token",)),)
    fits = [session.candidate(one.id) for one in ident.candidates]
    told = {fit.feature for one in fits for fit in (*one.matches, *one.misfits)}
    assert told == {"token", "token-shape"}


def test_does_not_apply_can_be_a_state_of_its_own() -> None:
    """Without a parent in the table, "does not apply" is one more thing to be seen."""
    rows: dict[str, dict[str, Any]] = {
        "a": {"hue": "red"}, "b": {"hue": "blue"}, "c": {"hue": DOES_NOT_APPLY}
    }  # fmt: skip
    session = Session(Table([FEATURES[1]], rows)).observe("hue", "-")
    assert order(session)[0] == "c"
    assert [fit.recorded for fit in session.candidates[0].matches] == ["does not apply"]
    assert [fit.recorded for fit in session.candidate("a").misfits] == ["red"]


def test_cells_as_records_write_them() -> None:
    """Texts of states, counts and lengths, one or several, and "not-applicable", are cells as they stand."""
    written = {
        "x": {"hue": ("red", "blue"), "tens": ("25",), "strap": ("present",), "strap-hue": ("red",)},
        "y": {
            "tens": ("25", "28"),
            "strap": ("absent",),
            "strap-hue": ("not-applicable",),
            "rope": ("1 mm",),
        },
        "z": {"strap": ("present", "absent"), "strap-hue": ("blue", "not-applicable"), "rope": ("2-3 mm",)},
    }
    session = Session(Table([*FEATURES, LENGTH], written)).observe("tens", "28").observe("strap-hue", "-")
    assert {fit.feature: fit.recorded for fit in session.candidate("y").fits} == {
        "tens": "25 or 28",
        "strap": "absent",
    }
    assert order(session)[0] == "y"
    assert session.candidate("x").misfits[-1].by == ("strap-hue",)
    assert session.candidate("z").misfits == ()


# --- what is proposed


def test_the_look_worth_most_for_its_effort_comes_first() -> None:
    """Twice the effort for the same bits comes later; of equals the cheaper, then the first in the table."""
    same = {"a": {"one": True, "two": True, "three": True}, "b": {"one": False, "two": False, "three": False}}
    features = [
        Feature("one", "presence", effort=2.0), Feature("two", "presence"), Feature("three", "presence")
    ]  # fmt: skip
    looks = Session(Table(features, same)).next_features
    assert [look.feature for look in looks] == ["two", "three", "one"]
    assert looks[0].bits == pytest.approx(looks[2].bits)
    assert looks[0].per_effort == pytest.approx(2 * looks[2].per_effort)


def test_what_was_looked_at_is_not_proposed_again() -> None:
    """Neither what was read nor what could not be seen is proposed; the latter tells nothing."""
    session = observed(Session(table()), star="?", hue="red")
    assert not {"star", "hue"} & {look.feature for look in session.next_features}
    assert order(session) == order(observed(Session(table()), hue="red"))
    assert [fit.feature for fit in session.candidates[0].fits] == ["hue"]


def test_nothing_more_is_proposed_than_is_worth_it() -> None:
    """Where no look is worth 0.01 bit, none is the next."""
    rows = {"a": {"star": "present"}, "b": {"star": "present"}}
    assert Session(Table(FEATURES[:1], rows)).next_feature is None


# --- conclusions


def test_identified() -> None:
    """When the first candidate reaches the threshold it is identified, and a higher threshold needs more."""
    readings = {"star": "present", "hue": "red", "tens": 25}
    assert observed(Session(table()), **readings).conclusion.ending is Ending.IDENTIFIED
    strict = observed(Session(table(), 0.99), star="present", hue="red")
    assert strict.conclusion.ending is Ending.OPEN


def test_open_names_the_looks_that_would_split() -> None:
    """What remains is told with the looks that would split it, best first."""
    conclusion = observed(Session(table()), star="present").conclusion
    assert conclusion.ending is Ending.OPEN
    assert [candidate.id for candidate in conclusion.remaining][:2] == ["a", "b"]
    assert conclusion.looks[0].feature in ("hue", "strap-hue")


def test_cannot_be_told_apart_is_told_in_pairs() -> None:
    """With something not recorded, "cannot be told apart" is not transitive: pairs are told."""
    rows = {"a": {"star": "present"}, "b": {}, "c": {"star": "absent"}}
    session = Session(Table([FEATURES[0], FEATURES[1]], rows)).observe("star", "?")
    conclusion = session.conclusion
    assert conclusion.ending is Ending.ALIKE
    assert [(pair.one, pair.other, pair.tried) for pair in conclusion.pairs] == [
        ("a", "b", ()), ("a", "c", ("star",)), ("b", "c", ())
    ]  # fmt: skip
    text = session.explain()
    assert "No recorded feature tells apart: a and b; b and c." in text
    assert "a and c by 'star'" in text


def test_probably_not_recorded() -> None:
    """Something that agrees with no candidate is said to be probably not recorded, with the nearest one."""
    session = observed(Session(table()), star="present", hue="green", tens=34, strap="absent")
    conclusion = session.conclusion
    assert conclusion.ending is Ending.UNRECORDED
    assert session.unrecorded > 0.5
    assert session.explain().startswith("Probably not recorded: ")
    assert "Against" in session.explain()


def test_one_misfit_is_tolerated() -> None:
    """A single misread among several looks does not make the thing unrecorded."""
    session = observed(Session(table()), star="present", hue="red", tens=25, strap="absent")
    assert session.tolerance >= 1
    assert session.conclusion.ending is Ending.IDENTIFIED
    assert session.conclusion.remaining[0].id == "a"


def test_tolerance_is_that_of_the_binomial_distribution() -> None:
    """With one rate the tolerance is the smallest t with P(Bin(m, e) <= t) >= 0.99."""
    features = [Feature(f"f{n}", "presence", misread=0.05) for n in range(30)]
    session = Session(Table(features, {"a": {f"f{n}": True for n in range(30)}, "b": {}}))
    for looks in range(31):
        chances = [math.comb(looks, j) * 0.05**j * 0.95 ** (looks - j) for j in range(looks + 1)]
        assert session.tolerance == next(t for t in range(looks + 1) if sum(chances[: t + 1]) >= 0.99)
        if looks < 30:
            session = session.observe(f"f{looks}", True)


def test_unrecorded_is_bayes_rule_with_even_outcomes() -> None:
    """None of these reads every outcome alike: its probability is Bayes' rule with 1/k for each look."""
    session = observed(Session(table(unrecorded=0.1)), star="present", hue="green")
    none = 0.1 * (1 / 2) * (1 / 3)
    e = 0.05
    ones = [(1 - e) * e / 2, (1 - e) * e / 2, e * e / 2, e * (1 - e)]
    assert session.unrecorded == pytest.approx(none / (none + 0.9 * sum(ones) / 4))


def test_contradictory_looks_without_misreads_still_have_an_answer() -> None:
    """Features said never to be misread that fit no candidate: no division by zero, and words."""
    features = [Feature(f"f{n}", "presence", misread=0.0) for n in range(60)]
    rows = {"a": {f"f{n}": True for n in range(60)}, "b": {f"f{n}": n % 2 == 0 for n in range(60)}}
    session = Session(Table(features, rows))
    for n in range(60):
        session = session.observe(f"f{n}", "absent")
    assert session.conclusion.ending is Ending.UNRECORDED
    assert sum(candidate.posterior for candidate in session.candidates) == pytest.approx(1.0)
    assert session.explain()


def test_before_any_look_there_is_an_answer() -> None:
    """Nothing looked at: the candidates, the first look, and words; a lone one is not called identified."""
    session = Session(table())
    assert session.conclusion.ending is Ending.OPEN
    assert session.explain().startswith("Nothing was looked at yet: 4 candidates to choose from.")
    lone = Session(Table(FEATURES, {"a": ROWS["a"]}))
    assert lone.conclusion.ending is Ending.ALIKE
    assert lone.explain().startswith("There is only one: a")
    assert observed(lone, star="present", tens=25).conclusion.ending is Ending.IDENTIFIED


def test_a_prior_is_used_and_said() -> None:
    """Weights say how common candidates are; the default is even, and both are told."""
    weighted = Session(table(prior={"a": 7, "b": 1, "c": 1, "d": 1}))
    assert weighted.candidate("a").posterior == pytest.approx(0.7)
    assert "how common" in weighted.explain()
    assert "equally common" in Session(table()).explain()


# --- beside


def test_what_is_beside_takes_no_part_in_the_belief() -> None:
    """A known copy changes no probability of any candidate; what tells it from its original is told apart."""
    copy = Aside({**ROWS["a"], "hue": "blue"}, of=("a",))
    looks = {"star": "present", "tens": 25, "strap": "present", "strap-hue": "red"}
    plain, with_copy = (
        observed(Session(table()), **looks),
        observed(Session(table(beside={"copy": copy})), **looks),
    )
    assert [(c.id, c.posterior) for c in plain.candidates] == [
        (c.id, c.posterior) for c in with_copy.candidates
    ]
    assert len(with_copy.candidates) == 4
    (beside,) = with_copy.beside
    assert (beside.id, beside.of) == ("copy", "a")
    assert beside.bits == pytest.approx(0.0)
    assert [look.feature for look in beside.looks] == ["hue"]
    assert "the looks do not tell the two apart; look at: hue" in with_copy.explain()
    (seen,) = with_copy.observe("hue", "blue").beside
    assert seen.bits == pytest.approx(math.log2(0.95 / 0.025))
    assert seen.looks == ()
    (against,) = with_copy.observe("hue", "red").beside
    assert against.bits == pytest.approx(-math.log2(0.95 / 0.025))


def test_what_is_beside_has_no_probability() -> None:
    """Asking for the probability of what is kept beside is answered with where to look."""
    session = Session(table(beside={"copy": Aside(ROWS["a"])}))
    with pytest.raises(UsageError, match="beside"):
        session.candidate("copy")


def test_no_feature_is_misread_less_often_than_said() -> None:
    """A least rate of misreads raises the rates below it, and leaves those above."""
    features = [Feature("one", "presence", misread=0.01), Feature("two", "presence", misread=0.2)]
    careful = Table(features, {"a": {"one": True}, "b": {"one": False}}, least_misread=0.05)
    assert [column.feature.error for column in careful.columns] == [0.05, 0.2]
    assert Session(careful).observe("one", True).candidates[0].posterior == pytest.approx(0.95)


def test_titles_are_said_and_ids_are_kept() -> None:
    """A candidate is called by its title in sentences; its id stays what it was."""
    session = observed(Session(table(titles={"a": "25A (a)"})), star="present", hue="red")
    assert session.candidates[0].id == "a"
    assert str(session.candidates[0]).startswith("25A (a) (")
    assert "25A (a)" in session.explain()


# --- tracing back


def test_every_fit_can_be_traced_to_its_record() -> None:
    """Where a cell comes from is asked for only when somebody wants to know, and handed on unread."""
    asked = []

    def where(candidate: str, feature: str) -> object:
        asked.append((candidate, feature))
        return ("record", candidate, "source-1")

    session = observed(Session(table(where=where)), star="present", hue="blue")
    first = session.candidates[0]
    assert not asked
    assert [fit.where for fit in first.matches] == [("record", "b", "source-1")] * 2
    assert asked == [("b", "star"), ("b", "hue")]
    assert Session(table()).observe("star", True).candidates[0].matches[0].where is None


# --- sessions are values


def test_a_session_never_changes() -> None:
    """An observation leaves the old session as it was; taking it back restores the belief."""
    start = Session(table())
    before = [(c.id, c.posterior) for c in start.candidates]
    after = start.observe("star", "present")
    assert [(c.id, c.posterior) for c in start.candidates] == before
    assert dict(start.readings) == {}
    assert [(c.id, c.posterior) for c in after.retract("star").candidates] == before
    with pytest.raises(AttributeError):
        after.threshold = 0.5  # type: ignore[misc] # the claim is that this cannot be done


def test_a_session_pickles() -> None:
    """A session can be kept and taken up again."""
    session = observed(Session(table()), star="present", strap_hue="red")
    session.conclusion  # noqa: B018 - what was worked out before must not be in the way
    again = pickle.loads(pickle.dumps(session))  # noqa: S301 - our own
    assert [(c.id, c.posterior) for c in again.candidates] == [
        (c.id, c.posterior) for c in session.candidates
    ]
    assert again.explain() == session.explain()


def test_candidates_are_a_sequence() -> None:
    """Candidates can be counted, sliced and gone through, and are made only as far as asked for."""
    candidates = observed(Session(table()), star="present").candidates
    everyone = list(candidates)
    assert len(candidates) == 4
    assert candidates[:2] == tuple(everyone[:2])
    assert candidates[-1] == everyone[-1]
    assert candidates[1:3] == tuple(everyone[1:3])
    assert candidates[9:] == ()
    assert repr(candidates) == "<4 candidates: a (47 %), b (47 %), c (3 %), ...>"
    with pytest.raises(IndexError):
        candidates[4]


# --- bad input


def test_an_unknown_feature_is_answered_with_what_was_meant() -> None:
    """A feature that does not exist: which was probably meant, and which there are."""
    with pytest.raises(UsageError, match="no feature is called 'strap-hu'; did you mean strap-hue"):
        Session(table()).observe("strap-hu", "red")
    with pytest.raises(UsageError, match="There are: star, hue, tens, strap, strap-hue"):
        Session(table()).observe("zzz", "red")


@pytest.mark.parametrize(
    ("feature", "reading", "message"),
    [
        ("hue", "bleu", "did you mean blue"),
        ("hue", "Red", "did you mean red"),
        ("hue", "", "There are: red, blue, green"),
        ("hue", 3, "There are: red, blue, green"),
        ("hue", "red|mauve", "'mauve'"),
        ("hue", set(), "0 states"),
        ("star", "maybe", "There are: present, absent"),
        ("star", None, "There are: present, absent"),
        ("tens", "many", "whole number"),
        ("tens", -1, "whole number"),
        ("tens", 2.5, "whole number"),
        ("tens", True, "whole number"),
        ("tens", 10**12, "whole number"),
        ("tens", "9" * 5000, "whole number"),
        ("tens", range(5000), "whole number"),
        ("tens", list(range(5000)), "5000 states"),
        ("hue", "-", "applies to every candidate"),
        ("hue", "\x1b[31mred", "x1b"),
    ],
)
def test_a_reading_without_sense_is_refused(feature: str, reading: object, message: str) -> None:
    """A reading that the feature cannot have is refused with what it can be, safe to print."""
    with pytest.raises(UsageError) as caught:
        Session(table()).observe(feature, reading)
    assert message in str(caught.value)
    assert "\x1b" not in str(caught.value)


def test_the_same_feature_twice_is_refused_with_the_way_out() -> None:
    """A second reading of one feature is no second opinion: the first has to be taken back."""
    session = observed(Session(table()), star="present")
    with pytest.raises(UsageError, match="'star' was read already, as 'present': take it back first"):
        session.observe("star", "present")
    assert session.retract("star").observe("star", "absent").readings["star"].states == ("absent",)


def test_what_could_not_be_seen_can_be_read_later() -> None:
    """Saying "could not see" is no reading: a better light may bring one."""
    session = observed(Session(table()), star=COULD_NOT_SEE).observe("star", "present")
    assert order(session) == order(observed(Session(table()), star="present"))


def test_taking_back_what_was_not_read_is_refused() -> None:
    """Only what was looked at can be taken back; which that is, is told."""
    with pytest.raises(UsageError, match=r"'hue' was not looked at\. There are: star"):
        observed(Session(table()), star="present").retract("hue")
    with pytest.raises(UsageError, match="no feature is called"):
        Session(table()).retract("nothing")


def test_an_unknown_candidate_is_answered_with_what_was_meant() -> None:
    """A candidate that does not exist is not made up."""
    with pytest.raises(UsageError, match="no candidate is called 'e'"):
        Session(table()).candidate("e")


@pytest.mark.parametrize("threshold", [0.5, 1.0, -1, math.nan, "high", True])
def test_a_threshold_without_sense_is_refused(threshold: Any) -> None:
    """A threshold is above one half and below one."""
    with pytest.raises(UsageError):
        Session(table(), threshold)


LOOP = [
    Feature("x", "presence", parent="y", when="present"),
    Feature("y", "presence", parent="x", when="present"),
]


@pytest.mark.parametrize(
    ("features", "rows", "more", "message"),
    [
        ([], {}, {}, "no candidates"),
        ([HUE, HUE], {"a": {}}, {}, "one name"),
        ([HUE], {"a": {"huge": "red"}}, {}, "did you mean hue"),
        ([HUE], {"a": {"hue": "rouge"}}, {}, "There are: red, blue, green"),
        ([HUE], {"a": {"hue": []}}, {}, "shares above 0"),
        ([HUE], {"a": {"hue": {"red": 0.0}}}, {}, "shares above 0"),
        ([HUE], {"a": {"hue": {"red": math.nan}}}, {}, "finite"),
        ([FEATURES[4]], {"a": {}}, {}, "which is no feature"),
        ([LENGTH], {"a": {"rope": DOES_NOT_APPLY}}, {}, "parent feature"),
        ([HUE], {"a": {}}, {"prior": {"b": 1}}, "one number for each"),
        ([HUE], {"a": {}}, {"prior": {"a": 0}}, "above 0"),
        ([HUE], {"a": {}}, {"prior": {"a": math.inf}}, "finite"),
        ([HUE], {"a": {}}, {"unrecorded": 1.0}, "below 1"),
        ([HUE], {"a": {}}, {"beside": {"a": Aside({})}}, "both a candidate and beside"),
        ([HUE], {"a": {}}, {"beside": {"x": Aside({}, of=("b",))}}, "no candidate is called"),
        ([HUE], {"a": {}}, {"beside": {"x": Aside({}), "y": Aside({}, of=("x",))}}, "only candidates"),
        (LOOP, {"a": {}}, {}, "in a circle"),
        ([LENGTH, Feature("x", "presence", parent="rope", when="3 mm")], {"a": {}}, {}, "hangs on a length"),
        ([HUE, Feature("x", "presence", parent="hue", when="pink")], {"a": {}}, {}, "There are: red"),
    ],
)  # fmt: skip
def test_a_table_without_sense_is_refused(features: Any, rows: Any, more: Any, message: str) -> None:
    """A table that cannot be answered from is refused with the reason."""
    with pytest.raises(UsageError) as caught:
        Table(features, rows, **more)
    assert message in str(caught.value)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        ({"kind": "colour"}, "There are: presence, choice, count, length"),
        ({"kind": "choice"}, "needs its states"),
        ({"kind": "choice", "states": ("a", "a")}, "each once"),
        ({"kind": "count", "states": ("a",)}, "not listed"),
        ({"kind": "count", "misread": 0.6}, "0 to 0.5"),
        ({"kind": "count", "misread": math.nan}, "finite"),
        ({"kind": "count", "effort": 0}, "above 0"),
        ({"kind": "count", "resolution": -1}, "above 0"),
        ({"kind": "count", "parent": "x"}, "both a parent"),
    ],
)
def test_a_feature_without_sense_is_refused(arguments: Any, message: str) -> None:
    """A feature that cannot be is refused with the reason."""
    with pytest.raises(UsageError) as caught:
        Feature("x", **arguments)
    assert message in str(caught.value)


def test_text_from_data_is_never_printed_raw() -> None:
    """Whatever a table is called, what is shown can be printed."""
    features = [Feature("f\x1b", "choice", ("s\x1b", "t\u202e")), Feature("g", "presence", title="\x9bx")]
    rows = {"c\x1b[2J": {"f\x1b": "s\x1b", "g": True}, "d\u202e": {"f\x1b": "t\u202e", "g": False}}
    start = Session(Table(features, rows, beside={"e\x1b": Aside(rows["d\u202e"])}))
    sessions = [start, start.observe("g", True), start.observe("g", True).observe("f\x1b", "t\u202e")]
    for session in sessions:
        shown = session.explain() + repr(session.candidates) + "".join(map(str, session.candidates[0].fits))
        assert not set("\x1b\x9b\u202e") & set(shown)


WRITTEN = ["present", "red", "25", "?", "-", "4 mm", "1-3 mm", "a|b", "|", "red|red", Ending.OPEN]
SCALARS = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=8), st.binary(max_size=3),
    st.sampled_from(WRITTEN), st.frozensets(st.sampled_from(WRITTEN), max_size=2),
)  # fmt: skip
ANYTHING = st.recursive(
    SCALARS, lambda inner: st.one_of(st.lists(inner, max_size=3), st.tuples(inner, inner)), max_leaves=4
)


@given(st.sampled_from([*FEATURES, LENGTH]), ANYTHING)
@settings(max_examples=300, deadline=None)
def test_any_reading_is_understood_or_refused(feature: Feature, reading: object) -> None:
    """Whatever is given as a reading, there is an answer or a clear refusal, never anything else."""
    rows = {name: {**row, "rope": f"{n} mm"} for n, (name, row) in enumerate(ROWS.items())}
    session = Session(Table([*FEATURES, LENGTH], rows))
    try:
        session = session.observe(feature.id, reading)
    except (UsageError, NotationError) as refused:
        assert len(str(refused)) < 600  # noqa: PT017 - either is right, and a refusal is short
    assert session.explain()
    assert sum(candidate.posterior for candidate in session.candidates) == pytest.approx(1.0)


# --- bit sets


@given(st.sets(st.integers(0, 5000)))
@settings(max_examples=50, deadline=None)
def test_bit_sets_and_their_members_are_inverse(numbers: set[int]) -> None:
    """The members of a set made of numbers are those numbers, in order."""
    assert list(members(bit_set(numbers))) == sorted(numbers)


@given(st.lists(st.floats(0.01, 100.0), min_size=1, max_size=300))
@settings(max_examples=40, deadline=None)
def test_probabilities_are_those_of_the_prior(prior: list[float]) -> None:
    """However many different weights there are, every candidate has its own, and equals keep their order."""
    belief = Belief.given(prior)
    total = math.fsum(prior)
    for number, weight in enumerate(prior):
        assert belief.probability(number) == pytest.approx(weight / total, abs=1e-12)
    assert belief.credible(0.5).bit_count() <= len(prior)
    best = [number for number, _ in belief.ranked(len(prior))]
    assert best == sorted(range(len(prior)), key=lambda n: (-belief.weight(n), n))


@given(st.lists(st.floats(1e-9, 100.0), min_size=1, max_size=300))
@settings(max_examples=40, deadline=None)
def test_strata_keep_every_candidate_and_all_mass(prior: list[float]) -> None:
    """At most 32 sets that share no member; their mass is 1, and exact where there are few weights."""
    belief = Belief.given(prior)
    strata = belief.strata
    assert len(strata) <= 32
    assert math.fsum(share * bits.bit_count() for share, bits in strata) == pytest.approx(1.0, abs=1e-9)
    together = 0
    for _, bits in strata:
        assert not together & bits
        together |= bits
    assert [share for share, _ in strata] == sorted((share for share, _ in strata), reverse=True)
    if len(set(prior)) <= 32:
        assert all(
            belief.probability(n) == pytest.approx(share, abs=1e-12)
            for share, bits in strata
            for n in members(bits)
        )


@given(st.lists(st.floats(1e-6, 1.0), min_size=20, max_size=200))
@settings(max_examples=40, deadline=None)
def test_a_large_table_puts_near_weights_together(prior: list[float]) -> None:
    """Beyond the exact size a belief has a bounded number of layers, sums to 1, and stays near the truth."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("cardref.identification.belief.EXACT", 10)
        patch.setattr("cardref.identification.belief.MOST_LAYERS", 16)
        belief = Belief.given(prior)
    assert len(belief.layers) <= 16
    total = math.fsum(prior)
    found = [belief.probability(n) for n in range(len(prior))]
    assert math.fsum(found) == pytest.approx(1.0, abs=1e-9)
    reach = math.log(max(prior) / min(prior)) / 16 * 2 + 1e-6  # steps are doubled until they are few enough
    for number, weight in enumerate(prior):
        assert abs(math.log(found[number] / (weight / total))) <= reach + 0.01


def test_types_are_public() -> None:
    """What is answered can be named in a caller's own annotations."""
    session = observed(Session(table()), star="present")
    assert isinstance(session.conclusion, Conclusion)
    assert isinstance(session.candidates[0], Candidate)


def test_layers_too_improbable_to_add_anything_are_put_together() -> None:
    """Where sums no longer grow there is no variance to look for, and nobody is lost."""
    strata = _strata([(1.0, 0b1), (1e-20, 0b10), (1e-40, 0b100)], 2)
    assert [bits for _, bits in strata] == [0b1, 0b110]
