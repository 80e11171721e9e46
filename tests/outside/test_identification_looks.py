"""What a look is worth, beside published tables: gains of questions, and the fewest looks that can do.

Sources are named at each table. Both decision tables have been printed and reprinted often; they were entered
from memory, and the results agree with the published ones to every digit given.
"""

import itertools
import math
from collections import Counter
from collections.abc import Iterable, Mapping

import pytest

from cardref.identification.answer import Ending
from cardref.identification.feature import Feature
from cardref.identification.session import Session
from cardref.identification.table import Table

# J. R. Quinlan 1986, "Induction of Decision Trees", Machine Learning 1:81-106, table 1: fourteen Saturday
# mornings by outlook, temperature, humidity, wind, and whether one plays.
SATURDAYS = """
    S H H f n, S H H t n, O H H f y, R M H f y, R C N f y, R C N t n, O C N t y,
    S M H f n, S C N f y, R M N f y, S M N t y, O M H t y, O H N f y, R M H t n
"""

# J. Cendrowska 1987, "PRISM: An algorithm for inducing modular rules", Int. J. Man-Machine Studies 27:349:
# which contact lenses to fit, by age, prescription, astigmatism and tears, the last varying fastest.
LENSES = """
    none soft none hard none soft none hard
    none soft none hard none soft none none
    none none none hard none soft none none
"""


def decision_table(
    features: Mapping[str, Iterable[str]], rows: Iterable[tuple[tuple[str, ...], str]]
) -> Table:
    """A table whose candidates are the answers of a decision table, as common as they occur in it."""
    cells: dict[str, dict[str, list[str]]] = {}
    count: Counter[str] = Counter()
    for states, answer in rows:
        count[answer] += 1
        for name, state in zip(features, states, strict=True):
            cells.setdefault(answer, {}).setdefault(name, []).append(state)
    catalogue = [Feature(name, "choice", sorted(states), misread=0.0) for name, states in features.items()]
    return Table(catalogue, cells, prior=dict(count))


def gains(table: Table) -> dict[str, float]:
    """The worth of every look."""
    return {look.feature: look.bits for look in Session(table).next_features}


def entropy(shares: Iterable[float]) -> float:
    """Shannon's entropy in bits."""
    return -sum(p * math.log2(p) for p in shares)


def test_gains_of_the_saturday_mornings() -> None:
    """The gains are those of Quinlan 1986 (who cuts 0.2467 to 0.246), and outlook comes first."""
    mornings = [line.split() for line in SATURDAYS.replace("\n", " ").split(",")]
    features = {"outlook": "SOR", "temperature": "HMC", "humidity": "HN", "wind": "tf"}
    table = decision_table(features, [(tuple(row[:4]), row[4]) for row in mornings])
    assert table.prior == (5.0, 9.0)  # n, y: their entropy is the 0.940 of the paper
    assert entropy([9 / 14, 5 / 14]) == pytest.approx(0.940286, abs=5e-7)
    assert gains(table) == {
        "outlook": pytest.approx(0.246750, abs=5e-7),
        "humidity": pytest.approx(0.151836, abs=5e-7),
        "wind": pytest.approx(0.048127, abs=5e-7),
        "temperature": pytest.approx(0.029223, abs=5e-7),
    }
    assert list(gains(table)) == ["outlook", "humidity", "wind", "temperature"]


def test_gains_of_the_contact_lenses() -> None:
    """The gains are those of Cendrowska's table, and tears are asked first."""
    features = {
        "age": ("young", "pre", "presbyopic"),
        "prescription": ("myope", "hypermetrope"),
        "astigmatism": ("no", "yes"),
        "tears": ("reduced", "normal"),
    }
    rows = zip(itertools.product(*features.values()), LENSES.split(), strict=True)
    table = decision_table(features, rows)
    assert sorted(table.prior or ()) == [4.0, 5.0, 15.0]
    assert entropy([15 / 24, 5 / 24, 4 / 24]) == pytest.approx(1.3261, abs=5e-5)
    assert gains(table) == {
        "tears": pytest.approx(0.5488, abs=5e-5),
        "astigmatism": pytest.approx(0.3770, abs=5e-5),
        "prescription": pytest.approx(0.0395, abs=5e-5),
        "age": pytest.approx(0.0394, abs=5e-5),
    }


def every_question(shares: list[float]) -> Table:
    """Candidates this common, and every yes-or-no question there is about them, none ever misread."""
    names = [f"c{n}" for n in range(len(shares))]
    questions = [
        set(some) for size in range(1, len(names) // 2 + 1) for some in itertools.combinations(names, size)
    ]
    features = [Feature(f"q{n}", "presence", misread=0.0) for n in range(len(questions))]
    rows = {name: {f"q{n}": name in some for n, some in enumerate(questions)} for name in names}
    return Table(features, rows, prior=dict(zip(names, shares, strict=True)), unrecorded=0.0)


def mean_looks(table: Table, shares: list[float]) -> float:
    """The looks made until identified, on the average, when the look worth most is always made."""
    total = 0.0
    for name, share in zip(table.candidates, shares, strict=True):
        session, looks = Session(table), 0
        while session.conclusion.ending is Ending.OPEN:
            question = session.next_feature
            assert question is not None
            state = table.column(question.feature).cell(table.number(name))
            assert isinstance(state, tuple)
            session = session.observe(question.feature, state[0][0])
            looks += 1
        assert session.conclusion.ending is Ending.IDENTIFIED
        assert session.candidates[0].id == name
        total += share * looks
    return total


def test_no_fewer_looks_than_huffman() -> None:
    """D. A. Huffman 1952, Proc. IRE 40:1098: no questions need fewer than 2.30, ours need no more."""
    shares = [0.25, 0.25, 0.2, 0.15, 0.15]
    assert entropy(shares) == pytest.approx(2.2855, abs=5e-5)
    assert mean_looks(every_question(shares), shares) == pytest.approx(2.30)


def test_as_few_looks_as_the_entropy_where_halving_is_possible() -> None:
    """With {1/2, 1/4, 1/8, 1/16, 4 x 1/64} the looks needed are the entropy itself, 2 (Huffman 1952)."""
    shares = [1 / 2, 1 / 4, 1 / 8, 1 / 16, *[1 / 64] * 4]
    assert entropy(shares) == pytest.approx(2.0)
    assert mean_looks(every_question(shares), shares) == pytest.approx(2.0)
