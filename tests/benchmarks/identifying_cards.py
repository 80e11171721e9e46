"""How fast cards are identified through the public API, on the demo reference grown to more cards.

Copies of the line's backs and cards are added until there are 1,000, 10,000 and 100,000 cards; in each copy
of a back a third of the states are those of other backs, so that no two are alike. Some 65 features, one of
them of 200 states, a quarter of all cells unknown. Four looks are made that were proposed; measured is the
next.

- *next look*: ``ident.observe(...).next_feature``. numpy: a weighted histogram of every column over what is
  recorded in it, and the entropy of that, unknown cells left aside.
- *top 20*: ``ident.observe(...).candidates[:20]``. numpy: one more column of misfits, then a stable sort.

The goals are ratios to what numpy took for 60 features on the machine where they were set.
"""

import random
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import numpy as np
import numpy.typing as npt
from attrs import evolve

import cardref
from cardref.identification.belief import members
from cardref.identification.channel import Cell
from cardref.identification.feature import Span
from cardref.identification.identify import Identification
from cardref.index import Index
from cardref.model.back import Back
from tests.benchmarks.common import Row
from tests.benchmarks.identification import ERROR, _numpy_top, _raced

LINE = "tidewrack"
SIZES = (1_000, 10_000, 100_000)
GOALS = {(10_000, "next look"): 1.75, (100_000, "next look"): 1.27, (100_000, "top 20"): 3.9}
MADE = 4
HANGING = {
    "token": ("token-shape", "token-width"),
    "offer-panel": ("offer-kind", "offer-date"),
    "printer-mark": ("printer-mark-sign",),
}


def grown(size: int, seed: int = 3) -> cardref.Reference:
    """The demo reference with ``size`` cards of one line."""
    chance = random.Random(seed)
    index = cardref.load().index
    tables: dict[str, dict[str, Any]] = {kind: dict(table) for kind, table in index.tables.items()}
    cards = [card for card in index.cards.values() if card.id.startswith(f"{LINE}/")]
    backs = [back for back in index.backs.values() if back.id.startswith(f"{LINE}/")]
    for gone in chance.sample(cards, max(0, len(cards) - size)):
        del tables["card"][gone.id]
    pools: dict[str, list[tuple[str, ...]]] = {}
    for back in backs:
        for slug, states in back.features.items():
            pools.setdefault(slug, []).append(states)
    copies = 0
    total = len(cards)
    while total < size:
        copies += 1
        for back in backs:
            tables["back"][f"{back.id}x{copies}"] = _varied(back, f"{back.id}x{copies}", pools, chance)
        for card in cards[: size - total]:
            new = evolve(card, id=f"{card.id}x{copies}", back=f"{card.back}x{copies}")
            tables["card"][new.id] = new
            total += 1
    return cardref.Reference(Index(tables), "grown")


def _varied(back: Back, full: str, pools: dict[str, list[tuple[str, ...]]], chance: random.Random) -> Back:
    states = {
        slug: chance.choice(pools[slug]) if chance.random() < 1 / 3 else own
        for slug, own in back.features.items()
    }
    for parent, children in HANGING.items():
        for child in children:
            states.pop(child, None)
            if states.get(parent) == ("present",) and chance.random() < 0.8:
                states[child] = chance.choice([own for own in pools[child] if own != ("not-applicable",)])
    return evolve(back, id=full, features=states, pictures=None)


def _read_off(cell: Cell) -> object:
    if not isinstance(cell, tuple):
        return "?"
    state = cell[0][0]
    if isinstance(state, Span):
        return cardref.Length.between(Fraction(state.low), Fraction(state.high))
    return state


def _looked(ident: Identification, number: int) -> tuple[Identification, str, object]:
    """The identification after the looks proposed for one card, and the look to come."""
    table = ident.cards.table
    made = 0
    while True:
        look = ident.next_feature
        assert look is not None
        seen = _read_off(table.column(look.feature).cell(number))
        if made >= MADE and seen != "?":
            return ident, look.feature, seen
        ident = ident.observe(look.feature, seen)
        made += 1


def _numpy_next_look(
    columns: "list[npt.NDArray[np.int64]]", sizes: list[int], weights: "npt.NDArray[Any]"
) -> int:
    best, chosen = -1.0, -1
    for at, (column, size) in enumerate(zip(columns, sizes, strict=True)):
        mass = np.bincount(column, weights=weights, minlength=size + 1)[:size]
        known = mass.sum()
        if size < 2 or known <= 0.0:
            continue
        share = mass / known
        p = share * (1.0 - ERROR) + (1.0 - share) * ERROR / (size - 1)
        noise = -(1.0 - ERROR) * np.log2(1.0 - ERROR) - ERROR * np.log2(ERROR / (size - 1))
        gain = known * (-(p * np.log2(p)).sum() - noise)
        if gain > best:
            best, chosen = gain, at
    return chosen


def _rows_of(size: int) -> Iterator[Row]:
    start = grown(size).identify(LINE, "card")
    table = start.cards.table
    ident, feature, seen = _looked(start, len(table.candidates) // 2)
    ident.observe(feature, seen).next_features  # noqa: B018 - what depends on the table alone is worked out once
    columns, sizes = [], []
    for column in table.columns:
        known = [(bits, cell) for bits, cell in column.classes if isinstance(cell, tuple)]
        codes = np.full(len(table.candidates), len(known), np.int64)
        for code, (bits, _) in enumerate(known):
            codes[list(members(bits))] = code
        columns.append(codes)
        sizes.append(len(known))
    weights = np.zeros(len(table.candidates))
    for weight, bits in ident.session.belief.strata:
        weights[list(members(bits))] = weight
    narrow = (columns[table.feature_number[feature]] % 100).astype(np.int8)
    misfits = np.zeros(len(table.candidates), np.int8)
    times = max(2, 50_000 // size)
    mine, other = _raced(
        lambda: ident.observe(feature, seen).next_feature,
        lambda: _numpy_next_look(columns, sizes, weights),
        times,
    )
    about = f"cards, API, {len(table.candidates):,} x {len(table.columns)}"
    yield Row(f"next look, {about}", mine, "numpy", other, GOALS.get((size, "next look")))
    mine, other = _raced(
        lambda: ident.observe(feature, seen).candidates[:20], lambda: _numpy_top(misfits, narrow, 0), times
    )
    yield Row(f"top 20, {about}", mine, "numpy", other, GOALS.get((size, "top 20")))


def rows() -> Iterator[Row]:
    """All comparisons."""
    for size in SIZES:
        yield from _rows_of(size)
