"""The engine beside a plain re-implementation that enumerates everything that an observer may do.

The re-implementation shares no code with the engine: no bit sets, no layers, no logarithms, no closed form.
"""

import itertools
import math
from collections.abc import Mapping
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.identification.feature import Feature
from cardref.identification.reading import DOES_NOT_APPLY
from cardref.identification.session import Session
from cardref.identification.table import Table

FAR = "another number"
Outcomes = list[Any]
Spec = dict[
    str, Any
]  # kind, states, error, parent, when, cells (by candidate: shares by state, None, or "-")


def plain_outcomes(spec: Spec) -> Outcomes:
    """Everything that a look at a feature can give, but for "does not apply"."""
    if spec["kind"] == "count":
        seen = {state for cell in spec["cells"] if isinstance(cell, dict) for state in cell}
        outcomes: Outcomes = [*sorted({n + d for n in seen for d in (-1, 0, 1) if n + d >= 0}), FAR]
    else:
        outcomes = list(spec["states"] or ("present", "absent"))
    return outcomes + (["-"] if not spec["parent"] and any(cell == "-" for cell in spec["cells"]) else [])


def plain_read_as(spec: Spec, state: object, outcome: object) -> float:
    """The probability that one state is read as ``outcome``, straight from the definition."""
    outcomes, error = plain_outcomes(spec), max(float(spec["error"]), 1e-12)
    if len(outcomes) == 1:
        return 1.0
    if outcome == state:
        return 1.0 - error
    if spec["kind"] != "count" or not isinstance(state, int):
        return error / (len(outcomes) - 1)
    near = [n for n in (state - 1, state + 1) if n >= 0]
    if outcome in near:
        return error * 0.9 / len(near)
    return error * 0.1 / (len(outcomes) - 1 - len(near))


def plain_row(spec: Spec, cell: object, prior: list[float]) -> dict[Any, float]:
    """The probability of every outcome of a look at ``cell``."""
    outcomes = plain_outcomes(spec)
    if cell == "-" and not spec["parent"]:
        cell = {"-": 1.0}
    if not isinstance(cell, dict):
        rates: dict[Any, float] = {}
        for other, weight in zip(spec["cells"], prior, strict=True):
            shares = {"-": 1.0} if other == "-" and not spec["parent"] else other
            if isinstance(shares, dict):
                for state, share in shares.items():
                    rates[state] = rates.get(state, 0.0) + weight * share
        if not rates:
            return dict.fromkeys(outcomes, 1.0 / len(outcomes))
        cell = {state: rate / sum(rates.values()) for state, rate in rates.items()}
    return {y: sum(share * plain_read_as(spec, s, y) for s, share in cell.items()) for y in outcomes}


def plain_joint(
    specs: dict[str, Spec], prior: list[float], candidate: int, seen: Mapping[str, set[Any]]
) -> float:
    """The probability of everything seen: a sum over all ways in which all features may have been read."""
    names = list(specs)  # parents come first
    rows = {name: plain_row(specs[name], specs[name]["cells"][candidate], prior) for name in names}
    total = 0.0
    for ways in itertools.product(*([*plain_outcomes(specs[name]), "-"] for name in names)):
        read = dict(zip(names, ways, strict=True))
        chance = 1.0
        for name, outcome in read.items():
            spec = specs[name]
            applies = not spec["parent"] or read[spec["parent"]] in spec["when"]
            if applies:
                own = "-" in plain_outcomes(spec)
                chance *= rows[name].get(outcome, 0.0) if outcome != "-" or own else 0.0
            elif outcome != "-":
                chance = 0.0
            if name in seen and outcome not in seen[name]:
                chance = 0.0
        # A feature without parents whose "does not apply" is an outcome of its own occurs twice in `ways`.
        doubled = sum(1 for name in names if "-" in plain_outcomes(specs[name]) and read[name] == "-")
        total += chance / 2**doubled
    return total


def plain_posterior(specs: dict[str, Spec], prior: list[float], seen: Mapping[str, set[Any]]) -> list[float]:
    """The probability of every candidate after everything seen, by Bayes' rule."""
    weights = [p * plain_joint(specs, prior, n, seen) for n, p in enumerate(prior)]
    return [weight / sum(weights) for weight in weights]


def entropy(shares: list[float]) -> float:
    """Shannon's entropy in bits."""
    return -sum(p * math.log2(p) for p in shares if p > 0.0)


def plain_gain(specs: dict[str, Spec], prior: list[float], seen: Mapping[str, set[Any]], name: str) -> float:
    """The expected fall in entropy over everything that a look at ``name`` can give."""
    before = plain_posterior(specs, prior, seen)
    known = [plain_joint(specs, prior, n, seen) for n in range(len(prior))]
    gain = entropy(before)
    for outcome in {*plain_outcomes(specs[name]), "-"}:
        more = {**seen, name: {outcome}}
        joint = [plain_joint(specs, prior, n, more) for n in range(len(prior))]
        chance = sum(p * j / k for p, j, k in zip(before, joint, known, strict=True))
        if chance > 1e-300:
            after = [p * j / k / chance for p, j, k in zip(before, joint, known, strict=True)]
            gain -= chance * entropy(after)
    return gain


# --- random small tables

ERRORS = st.sampled_from([0.0, 0.01, 0.05, 0.1, 0.3])


@st.composite
def tables(draw: st.DrawFn) -> tuple[dict[str, Spec], list[float]]:
    """Two to six candidates by one to four features, every kind of cell, some features hanging on others."""
    size = draw(st.integers(2, 6))
    specs: dict[str, Spec] = {}
    for number in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(["presence", "choice", "count"]))
        states = {"presence": (), "choice": ("a", "b", "c")[: draw(st.integers(1, 3))], "count": ()}[kind]
        words: list[Any] = list(states or ("present", "absent"))
        values = [0, 1, 3, 7] if kind == "count" else words
        parent, when = "", tuple[str, ...]()
        hosts = [name for name, spec in specs.items() if spec["kind"] != "count"]
        hangs = draw(st.booleans())
        if hosts and hangs:
            parent = draw(st.sampled_from(hosts))
            choice: list[str] = list(specs[parent]["states"] or ("present", "absent"))
            when = tuple(draw(st.sets(st.sampled_from(choice), min_size=1)))
        cells: list[object] = []
        for candidate in range(size):
            some = st.dictionaries(
                st.sampled_from(values), st.sampled_from([1.0, 2.0]), min_size=1, max_size=2
            )
            cell: object = draw(st.one_of(st.none(), st.just("-"), some, some, some))
            if isinstance(cell, dict):
                cell = {state: share / sum(cell.values()) for state, share in cell.items()}
            if parent:
                above: Any = specs[parent]["cells"][candidate]
                if above == "-" or (isinstance(above, dict) and not set(above) & set(when)):
                    cell = "-"
            cells.append(cell)
        error = draw(ERRORS)
        specs[f"f{number}"] = {
            "kind": kind, "states": states, "error": error, "parent": parent, "when": when, "cells": cells
        }  # fmt: skip
    prior = [draw(st.sampled_from([1.0, 1.0, 2.0, 5.0])) for _ in range(size)]
    return specs, [weight / sum(prior) for weight in prior]


def engine_table(specs: dict[str, Spec], prior: list[float]) -> Table:
    """The same table for the engine."""
    features = [
        Feature(name, s["kind"], s["states"], misread=s["error"], parent=s["parent"], when=s["when"])
        for name, s in specs.items()
    ]
    names = [f"c{n}" for n in range(len(prior))]
    rows = {
        candidate: {
            name: DOES_NOT_APPLY if s["cells"][n] == "-" else s["cells"][n]
            for name, s in specs.items()
            if s["cells"][n] is not None
        }
        for n, candidate in enumerate(names)
    }
    return Table(features, rows, prior=dict(zip(names, prior, strict=True)))


def readings(draw: st.DrawFn, specs: dict[str, Spec], prior: list[float]) -> dict[str, set[Any]]:
    """Readings of some features that one observer can have made."""
    seen: dict[str, set[Any]] = {}
    for name, spec in specs.items():
        outcomes = [outcome for outcome in plain_outcomes(spec) if outcome not in (FAR, "-")]
        options: list[st.SearchStrategy[set[Any]]] = [st.just(set())]
        if outcomes:
            options += [st.sets(st.sampled_from(outcomes), min_size=1, max_size=2)] * 2
        if spec["kind"] == "count":
            options.append(st.just({FAR}))
        if spec["parent"] or "-" in plain_outcomes(spec):
            options.append(st.just({"-"}))
        choice = draw(st.one_of(options))
        if choice and plain_joint(specs, prior, 0, {**seen, name: choice}) > 0.0:
            seen[name] = choice
    return seen


def given_to(session: Session, seen: Mapping[str, set[Any]]) -> Session:
    """The session after all of ``seen``."""
    for name, states in seen.items():
        if states == {"-"}:
            session = session.observe(name, "-")
        else:
            session = session.observe(name, {999 if state == FAR else state for state in states})
    return session


def engine_posterior(session: Session) -> list[float]:
    """The probability of every candidate, in the order of the table."""
    return [session.candidate(name).posterior for name in session.table.candidates]


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_posteriors_equal_enumeration(data: st.DataObject) -> None:
    """Every posterior is Bayes' rule over everything that an observer may have read, to 1e-9."""
    specs, prior = data.draw(tables())
    seen = data.draw(st.composite(readings)(specs, prior))
    session = given_to(Session(engine_table(specs, prior)), seen)
    assert engine_posterior(session) == pytest.approx(plain_posterior(specs, prior, seen), abs=1e-9)


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_gain_equals_enumeration(data: st.DataObject) -> None:
    """The closed form of what a look is worth is the expected fall in entropy over all outcomes, to 1e-9."""
    specs, prior = data.draw(tables())
    seen = data.draw(st.composite(readings)(specs, prior))
    session = given_to(Session(engine_table(specs, prior)), seen)
    looks = {look.feature: look.bits for look in session.next_features}
    for name in specs:
        if name not in seen:
            assert looks.get(name, 0.0) == pytest.approx(plain_gain(specs, prior, seen, name), abs=1e-9)


@given(st.data())
@settings(max_examples=20, deadline=None)
def test_gain_is_what_the_engine_itself_would_conclude(data: st.DataObject) -> None:
    """What a look is said to be worth is what the engine's own beliefs lose in entropy on the average."""
    specs, prior = data.draw(tables())
    seen = data.draw(st.composite(readings)(specs, prior))
    session = given_to(Session(engine_table(specs, prior)), seen)
    for look in session.next_features:
        spec = specs[look.feature]
        expected, total = 0.0, 0.0
        for outcome in {*plain_outcomes(spec), *(["-"] if spec["parent"] else [])}:
            after = given_to(session, {look.feature: {outcome}})
            if after.contradictions:
                continue  # this outcome cannot come up beside what was read already
            chance = math.exp(after.belief.evidence - session.belief.evidence)
            total += chance
            expected += chance * entropy(engine_posterior(after))
        assert total == pytest.approx(1.0, abs=1e-9)
        assert look.bits == pytest.approx(entropy(engine_posterior(session)) - expected, abs=1e-9)


@given(st.data())
@settings(max_examples=40, deadline=None)
def test_order_of_looks_does_not_matter(data: st.DataObject) -> None:
    """The same looks in another order, or with one taken back on the way, give the same belief."""
    specs, prior = data.draw(tables())
    seen = data.draw(st.composite(readings)(specs, prior))
    table = engine_table(specs, prior)
    straight = given_to(Session(table), seen)
    shuffled = Session(table)
    for name in data.draw(st.permutations(list(seen))):
        shuffled = given_to(shuffled, {name: seen[name]})
    if seen:
        name = data.draw(st.sampled_from(list(seen)))
        shuffled = given_to(shuffled.retract(name), {name: seen[name]})
    assert engine_posterior(shuffled) == pytest.approx(engine_posterior(straight), abs=1e-12)
    assert [c.id for c in shuffled.candidates] == [c.id for c in straight.candidates]
    assert shuffled.belief.evidence == pytest.approx(straight.belief.evidence, abs=1e-9)
