"""Three species of penguins told by bill and flipper, beside a naive Bayes computation that shares no code.

Data: Palmer penguins (A. M. Horst, A. P. Hill & K. B. Gorman 2020, CC0; measured by K. B. Gorman, T. D.
Williams & W. R. Fraser 2014, PLoS ONE 9:e90081), as the package ``palmerpenguins`` carries them.
"""

import csv
import math
from importlib import metadata
from statistics import NormalDist
from types import SimpleNamespace

import pytest

from cardref.identification.feature import Feature, Span
from cardref.identification.session import Session
from cardref.identification.table import Table

# The divisions of the caliper or ruler, and the width of the recorded ranges, in mm: wide enough for several
# birds of a species to fall into one.
MEASURED = {"bill_length_mm": (0.1, 4.0), "bill_depth_mm": (0.1, 2.0), "flipper_length_mm": (1.0, 10.0)}
BLUNDERS = 0.02
Bird = dict[str, str]


@pytest.fixture(scope="module")
def birds() -> list[Bird]:
    """All penguins that were measured, from the file itself: importing the package warns about its tools."""
    files = metadata.files("palmerpenguins") or []
    path = next(file.locate() for file in files if file.name == "penguins.csv")
    with open(str(path), encoding="utf-8", newline="") as text:  # noqa: PTH123 - a path of another package's
        return [bird for bird in csv.DictReader(text) if bird["bill_length_mm"] != "NA"]


def ranges(birds: list[Bird], species: str, name: str) -> dict[tuple[float, float], int]:
    """How many birds of a species lie in which range of a measure."""
    width = MEASURED[name][1]
    found: dict[tuple[float, float], int] = {}
    for bird in birds:
        if bird["species"] == species:
            low = math.floor(float(bird[name]) / width) * width
            found[low, low + width] = found.get((low, low + width), 0) + 1
    return found


def test_species_from_lengths_as_by_naive_bayes(birds: list[Bird]) -> None:
    """Learnt from every other bird, the others have the posteriors of naive Bayes; 97 % are right."""
    learnt, asked = birds[::2], birds[1::2]
    species = sorted({bird["species"] for bird in birds})
    recorded = {kind: {name: ranges(learnt, kind, name) for name in MEASURED} for kind in species}
    common = {kind: sum(bird["species"] == kind for bird in learnt) for kind in species}
    features = [Feature(name, "length", misread=BLUNDERS, resolution=r) for name, (r, _) in MEASURED.items()]
    rows = {
        kind: {name: {Span(*span): n for span, n in spans.items()} for name, spans in measures.items()}
        for kind, measures in recorded.items()
    }
    table = Table(features, rows, prior=common)
    right = 0
    for bird in asked:
        session = Session(table)
        for name, (resolution, _) in MEASURED.items():
            reading = SimpleNamespace(value=float(bird[name]), resolution=resolution)
            session = session.observe(name, reading)
        weights = {kind: common[kind] * likelihood(recorded, kind, bird) for kind in species}
        expected = {kind: weight / sum(weights.values()) for kind, weight in weights.items()}
        assert {c.id: c.posterior for c in session.candidates} == pytest.approx(expected, abs=1e-9)
        right += session.candidates[0].id == bird["species"]
    assert right / len(asked) >= 0.97


def likelihood(
    recorded: dict[str, dict[str, dict[tuple[float, float], int]]], kind: str, bird: Bird
) -> float:
    """Naive Bayes, from the definition: the product over the measures, each with its share of blunders."""
    product = 1.0
    for name, (resolution, width) in MEASURED.items():
        ends = [end for measures in recorded.values() for span in measures[name] for end in span]
        reading = NormalDist(float(bird[name]), resolution / math.sqrt(6.0))
        spans = recorded[kind][name]
        inside = sum(n * (reading.cdf(high) - reading.cdf(low)) / width for (low, high), n in spans.items())
        blunder = 1.0 / (max(ends) - min(ends) + 2.0 * resolution)
        product *= (1.0 - BLUNDERS) * inside / sum(spans.values()) + BLUNDERS * blunder
    return product
