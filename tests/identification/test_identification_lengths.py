"""Lengths: recorded as ranges, read with a ruler."""

import math
from statistics import NormalDist
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.errors import NotationError, UsageError
from cardref.identification.answer import Ending
from cardref.identification.feature import Feature, Span
from cardref.identification.reading import COULD_NOT_SEE, read
from cardref.identification.session import Session
from cardref.identification.table import Table
from cardref.model.feature import MISREAD
from cardref.notation.length import Length


def two_backs(short: object, long: object) -> Table:
    """Two backs that are alike in everything but the length of one printed detail."""
    features = [Feature("rope", "length"), Feature("star", "presence"), Feature("tens", "count")]
    alike = {"star": "present", "tens": 25}
    return Table(features, {"short": {"rope": short, **alike}, "long": {"rope": long, **alike}})


@pytest.mark.parametrize("recorded", [("1 mm", "3 mm"), ("about 1 mm", "about 3 mm"), ("1.0 mm", "3.0 mm")])
def test_a_fine_ruler_tells_one_from_three_millimetres(recorded: tuple[str, str]) -> None:
    """One reading with 1 mm divisions tells a detail of about 1 mm from one of about 3 mm.

    Common practice, no source.
    """
    session = Session(two_backs(*recorded))
    for reading, expected in (("1 mm", "short"), ("3 mm", "long")):
        conclusion = session.observe("rope", reading).conclusion
        assert conclusion.ending is Ending.IDENTIFIED
        assert [candidate.id for candidate in conclusion.remaining] == [expected]


@pytest.mark.parametrize("recorded", [("1 mm", "3 mm"), ("about 1 mm", "about 3 mm"), ("1.0 mm", "3.0 mm")])
@pytest.mark.parametrize("mark", [0, 5])
def test_a_coarse_ruler_does_not_tell_one_from_three_millimetres(
    recorded: tuple[str, str], mark: int
) -> None:
    """A ruler with 5 mm divisions does not tell them apart, and we say that a closer look would.

    Common practice, no source.
    """
    session = Session(two_backs(*recorded)).observe("rope", f"{mark} mm to the nearest 5 mm")
    assert session.conclusion.ending is Ending.ALIKE
    assert {candidate.id for candidate in session.conclusion.remaining} == {"short", "long"}
    assert [pair.tried for pair in session.conclusion.pairs] == [("rope",)]
    assert "a closer look may help" in session.explain()


def density(spans: list[tuple[float, float]], value: float, uncertainty: float) -> float:
    """The likelihood of a reading, per mm, from the definition: JCGM 106:2012, by width of the span."""
    reading = NormalDist(value, uncertainty)
    return sum((reading.cdf(high) - reading.cdf(low)) / (high - low) for low, high in spans) / len(spans)


SPANS = st.lists(st.tuples(st.integers(0, 12), st.integers(1, 5)), min_size=1, max_size=2, unique=True)


@given(
    st.lists(st.one_of(st.none(), SPANS), min_size=2, max_size=5),
    st.integers(0, 20),
    st.sampled_from([0.5, 1.0, 5.0]),
    st.sampled_from([0.01, 0.1]),
)
@settings(max_examples=80, deadline=None)
def test_posterior_of_a_length_is_bayes_rule(
    cells: list[list[tuple[int, int]] | None], value: int, resolution: float, error: float
) -> None:
    """One reading gives every candidate what Bayes' rule gives it, unknown and several ranges included."""
    spans = [
        None if cell is None else [(float(low), float(low + width)) for low, width in cell] for cell in cells
    ]
    feature = Feature("rope", "length", misread=error)
    rows = {f"c{n}": {"rope": [Span(*s) for s in some]} if some else {} for n, some in enumerate(spans)}
    session = Session(Table([feature], rows)).observe(
        "rope", SimpleNamespace(value=value, resolution=resolution)
    )
    known = [some for some in spans if some]
    ends = [end for some in known for span in some for end in span] or [0.0]
    blunder = 1.0 / (max(ends) - min(ends) + 2.0)
    fits = [density(some, value, resolution / math.sqrt(6.0)) if some else None for some in spans]
    seen = [fit for fit in fits if fit is not None]
    typical = sum(seen) / len(seen) if seen else blunder
    weights = [(1 - error) * (typical if fit is None else fit) + error * blunder for fit in fits]
    expected = {f"c{n}": weight / sum(weights) for n, weight in enumerate(weights)}
    assert {c.id: c.posterior for c in session.candidates} == pytest.approx(expected, abs=1e-9)


def entropy(shares: list[float]) -> float:
    """Shannon's entropy in bits."""
    return -sum(p * math.log2(p) for p in shares if p > 0.0)


@pytest.mark.parametrize(
    "spans", [[(0.5, 1.5), (2.5, 3.5)], [(1.0, 1.01), (2.0, 3.0), (2.0, 8.0)], [(1.0, 5.0)] * 2]
)
@pytest.mark.parametrize("resolution", [1.0, 5.0])
def test_worth_of_a_measurement_is_its_integral(spans: list[tuple[float, float]], resolution: float) -> None:
    """What a measurement is said to be worth equals a fine numerical integral over all readings."""
    error = MISREAD[Feature("rope", "length").kind]
    feature = Feature("rope", "length", resolution=resolution)
    table = Table([feature], {f"c{n}": {"rope": Span(*span)} for n, span in enumerate(spans)})
    looks = Session(table).next_features
    low, high = min(s for s, _ in spans), max(e for _, e in spans)
    reach = high - low + 4 * resolution
    step = resolution / 50
    points = [low - 2 * resolution + step * n for n in range(round(reach / step) + 1)]
    uncertainty = resolution / math.sqrt(6.0)
    rows = []
    for span in spans:
        row = [(1 - error) * density([span], v, uncertainty) * step + error / len(points) for v in points]
        rows.append([p / sum(row) for p in row])
    mean = [sum(column) / len(rows) for column in zip(*rows, strict=True)]
    expected = entropy(mean) - sum(map(entropy, rows)) / len(rows)
    assert (looks[0].bits if looks else 0.0) == pytest.approx(expected, abs=2e-3)


def test_a_range_without_width_can_be_read() -> None:
    """A length recorded as exactly 3 mm is not ruled out by being narrow."""
    session = Session(two_backs(Span(1.0, 1.0), Span(3.0, 3.0))).observe("rope", "3 mm")
    assert session.candidates[0].id == "long"
    assert session.conclusion.ending is Ending.IDENTIFIED


def test_a_wide_range_does_not_win_by_being_wide() -> None:
    """A candidate recorded as 1 to 9 mm is less probable at 3 mm than one recorded as 2.5 to 3.5 mm."""
    session = Session(two_backs(Span(1.0, 9.0), Span(2.5, 3.5))).observe("rope", "3 mm")
    assert session.candidates[0].id == "long"


def test_a_blunder_does_not_rule_the_truth_out() -> None:
    """A length misread by far costs no more than a blunder: three further looks make up for it."""
    others = {f"star-{n}": Feature(f"star-{n}", "presence") for n in range(3)}
    rows = {
        "true": {"rope": "3 mm", **dict.fromkeys(others, "present")},
        "false": {"rope": "30 mm", **dict.fromkeys(others, "absent")},
    }
    session = Session(Table([Feature("rope", "length"), *others.values()], rows)).observe("rope", "30 mm")
    assert session.candidates[0].id == "false"
    for star in others:
        session = session.observe(star, "present")
    assert session.candidates[0].id == "true"
    assert [fit.feature for fit in session.candidates[0].misfits] == ["rope"]


def test_readings_of_every_form() -> None:
    """A text, a Length, a value with its divisions, a range and one of several lengths are all understood."""
    rope = Feature("rope", "length")
    assert read(rope, "4 mm") == read(rope, Length.parse("4 mm"))
    assert read(rope, "4 mm") == read(rope, SimpleNamespace(value=4, resolution=1))
    bounds = read(rope, "3-5 mm").lengths[0]
    assert bounds == read(rope, SimpleNamespace(low=3, high=5)).lengths[0]
    assert bounds.uncertainty == pytest.approx(1 / math.sqrt(3.0))
    assert [length.value for length in read(rope, "4 mm|6 mm").lengths] == [4.0, 6.0]
    assert read(rope, "?").blank is COULD_NOT_SEE


def test_one_of_two_lengths_keeps_both() -> None:
    """Reading 4 mm or 1 mm speaks for both candidates alike."""
    session = Session(two_backs("1 mm", "4 mm")).observe("rope", "4 mm|1 mm")
    assert session.candidate("short").posterior == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("reading", "error"),
    [
        (4, UsageError), (4.5, UsageError), (True, UsageError), (None, UsageError), ("4", NotationError),
        ("", NotationError), ("nan mm", NotationError), ("4 miles", NotationError), ([], UsageError),
        (SimpleNamespace(value=math.nan, resolution=1), UsageError),
        (SimpleNamespace(value=1, resolution=0), UsageError),
        (SimpleNamespace(value=-1, resolution=1), UsageError),
        (SimpleNamespace(value=1, resolution=math.inf), UsageError),
        (SimpleNamespace(low=3, high=3), UsageError),
        (SimpleNamespace(low="3", high=4), UsageError),
    ],
)  # fmt: skip
def test_what_is_no_length_is_refused(reading: Any, error: type[Exception]) -> None:
    """A length without a unit, without divisions or without sense is refused with what to write instead."""
    with pytest.raises(error) as caught:
        Session(two_backs("1 mm", "3 mm")).observe("rope", reading)
    assert "mm" in str(caught.value) or "finite" in str(caught.value) or "?" in str(caught.value)


@pytest.mark.parametrize("cell", [3, "3", Span(3.0, 1.0), Span(-1.0, 1.0), Span(0.0, math.inf), [], {}])
def test_a_cell_that_is_no_length_is_refused(cell: object) -> None:
    """A table does not take what is no range of lengths."""
    with pytest.raises((UsageError, NotationError)):
        two_backs(cell, "3 mm")


def test_lengths_that_reach_far_stay_bounded() -> None:
    """Metres and tenths of millimetres in one feature: what a look is worth stays a number, and quick."""
    rows = {f"c{n}": {"rope": Span(n * 100.0, n * 100.0 + 0.1)} for n in range(50)}
    looks = Session(Table([Feature("rope", "length", resolution=0.1)], rows)).next_features
    assert 3.0 < looks[0].bits <= math.log2(50)
