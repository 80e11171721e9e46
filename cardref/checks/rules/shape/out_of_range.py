"""A number is smaller or larger than its field allows."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.shape._problems import problems
from cardref.finding import Severity

__all__ = ["RULE"]

_PATH = "lines/lanternfish/cards/pell-orrin.more.yaml"

RULE = Rule(
    id="out-of-range",
    family="shape",
    severity=Severity.ERROR,
    summary="A number is smaller or larger than its field allows.",
    rationale=(
        "Nobody saw a card zero times, and no back pictures two thousand figures: a digit too many or too "
        "few is the usual reason."
    ),
    check=problems("out-of-range"),
    good=Example(
        _PATH,
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    sources: [binder]
    sightings: [{source: binder, count: 1}]
""",
    ),
    bad=Example(
        _PATH,
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    sources: [binder]
    sightings: [{source: binder, count: 0}]
""",
        record="lanternfish/pell-orrin/c-020",
        field="sightings.count",
    ),
)
