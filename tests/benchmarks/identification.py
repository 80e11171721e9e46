"""How fast the engine is beside a straightforward numpy implementation.

1,000, 10,000 and 100,000 candidates by 60 features, five looks made, one of them misread. Both sides know of
misreads. Two tables: "one rate" has choices of three states, so that candidates differ in the number of
misfits only; "mixed" has 20 presences, 30 choices of three to five states and 10 counts, so that a misfit
weighs differently from feature to feature and the belief has several times as many layers.

- *next look*: which of the features that were not looked at is worth most. numpy: a weighted histogram of
  every column (``numpy.bincount``) and the entropies of the outcomes.
- *top 20*: one more look, which may be misread, then the twenty best. numpy: one more column of misfits, then
  a stable sort by misfits, which is the order of the candidates where all looks have one rate.

"engine" is the inner work alone, "API" what a caller of ``Session`` waits for. The goals are ratios to what
the same numpy work took on the machine where they were set.
"""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import numpy.typing as npt

from cardref.identification.feature import Feature
from cardref.identification.session import Session
from cardref.identification.table import Table
from cardref.identification.worth import information
from tests.benchmarks.common import Row, race

ERROR = 0.05
SIZES = (1_000, 10_000, 100_000)
GOALS = {
    (10_000, "next look, engine"): 0.56,
    (10_000, "next look, API"): 1.75,
    (100_000, "next look, engine"): 0.42,
    (100_000, "next look, API"): 1.27,
    (100_000, "top 20, engine"): 1.34,
    (100_000, "top 20, API"): 3.9,
}
TABLES = {"one rate": [3] * 60, "mixed": [2] * 20 + [3] * 10 + [4] * 10 + [5] * 10 + [4] * 10}
"""How many states each feature has; from the fiftieth on the mixed table has counts."""

Codes = npt.NDArray[np.int64]


def _states(kind: str, at: int) -> tuple[str | int, ...]:
    size = TABLES[kind][at]
    if size == 2:
        return ("present", "absent")
    if kind == "mixed" and at >= 50:
        return (10, 13, 17, 25)
    return tuple(f"s{number}" for number in range(size))


def _made(kind: str, candidates: int) -> tuple[Table, Codes]:
    chance = np.random.default_rng(7)
    sizes = TABLES[kind]
    features = []
    for at in range(len(sizes)):
        states = _states(kind, at)
        named = [state for state in states if isinstance(state, str)]
        sort = "presence" if len(states) == 2 else "choice" if named else "count"
        features.append(Feature(f"f{at}", sort, named if sort == "choice" else (), misread=ERROR))
    codes = np.stack([chance.integers(size, size=candidates) for size in sizes], axis=1).astype(np.int64)
    states_of = [_states(kind, at) for at in range(len(sizes))]
    rows = {
        f"c{n}": {f"f{at}": states_of[at][code] for at, code in enumerate(row)}
        for n, row in enumerate(codes.tolist())
    }
    return Table(features, rows), codes


def _looks(kind: str, codes: Codes) -> list[tuple[int, int]]:
    """Six looks at candidate 0, the third of them misread."""
    sizes = TABLES[kind]
    return [(at, int(codes[0, at] + (n == 2)) % sizes[at]) for n, at in enumerate((0, 21, 31, 41, 5, 45))]


def _raced(ours: Callable[[], object], theirs: Callable[[], object], times: int) -> tuple[float, float]:
    """Seconds for one run of each; so many runs count as one, for a single one is too short to measure."""

    def repeated(work: Callable[[], object]) -> Callable[[], None]:
        def run() -> None:
            for _ in range(times):
                work()

        return run

    mine, other = race(repeated(ours), repeated(theirs))
    return mine / times, other / times


def _numpy_next_look(
    columns: list[Codes], sizes: list[int], weights: "npt.NDArray[Any]", done: set[int]
) -> int:
    total = weights.sum()
    best, chosen = -1.0, -1
    for at, (column, size) in enumerate(zip(columns, sizes, strict=True)):
        if at in done:
            continue
        mass = np.bincount(column, weights=weights, minlength=size) / total
        p = mass * (1.0 - ERROR) + (1.0 - mass) * ERROR / (size - 1)
        noise = -(1.0 - ERROR) * np.log2(1.0 - ERROR) - ERROR * np.log2(ERROR / (size - 1))
        gain = -(p * np.log2(p)).sum() - noise
        if gain > best:
            best, chosen = gain, at
    return chosen


def _numpy_top(misfits: "npt.NDArray[Any]", column: "npt.NDArray[Any]", code: int) -> list[int]:
    found: list[int] = np.argsort(misfits + (column != code), kind="stable")[:20].tolist()
    return found


def _engine_next_look(session: Session) -> int:
    strata = session.belief.strata
    best, chosen = -1.0, -1
    for at in range(len(session.table.columns)):
        if at not in session._readings:
            bits = information(session.table.splits[at], strata)
            if bits > best:
                best, chosen = bits, at
    return chosen


def _fresh(session: Session) -> Session:
    """The same session with nothing remembered."""
    return session._with(session._readings, next(iter(session._readings)))


def _rows_of(kind: str, size: int) -> Iterator[Row]:
    table, codes = _made(kind, size)
    looks = _looks(kind, codes)
    session = Session(table)
    for at, code in looks[:-1]:
        session = session.observe(f"f{at}", _states(kind, at)[code])
    session.next_features  # noqa: B018 - what depends on the table alone is worked out once for all sessions
    columns = [np.ascontiguousarray(codes[:, at]) for at in range(codes.shape[1])]
    narrow = [column.astype(np.int8) for column in columns]
    misfits = np.zeros(size, np.int8)
    weights = np.ones(size)
    for at, code in looks[:-1]:
        misfits += narrow[at] != code
        weights *= np.where(columns[at] == code, 1.0 - ERROR, ERROR / (TABLES[kind][at] - 1))
    done = {at for at, _ in looks[:-1]}
    last, code = looks[-1]
    state = _states(kind, last)[code]
    parts = session.observe(f"f{last}", state)._families[last].parts
    times = max(2, 100_000 // size)

    def numpy_look() -> int:
        return _numpy_next_look(columns, TABLES[kind], weights, done)

    def numpy_top() -> list[int]:
        return _numpy_top(misfits, narrow[last], code)

    works: dict[str, tuple[Callable[[], object], Callable[[], object]]] = {
        "next look, engine": (lambda: _engine_next_look(session), numpy_look),
        "next look, API": (lambda: _fresh(session).next_feature, numpy_look),
        "top 20, engine": (lambda: session.belief.times(parts).ranked(20), numpy_top),
        "top 20, API": (lambda: session.observe(f"f{last}", state).candidates[:20], numpy_top),
    }
    for work, (ours, theirs) in works.items():
        mine, other = _raced(ours, theirs, times)
        yield Row(f"{work}, {kind}, {size:,} x 60", mine, "numpy", other, GOALS.get((size, work)))


def rows() -> Iterator[Row]:
    """All comparisons."""
    for size in SIZES:
        for kind in TABLES:
            yield from _rows_of(kind, size)
