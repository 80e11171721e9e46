"""A product number stands on faces of two figures."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.checks.rules.identity._shared import shared
from cardref.finding import Severity

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    yield from shared(corpus, "number", "product number")


RULE = Rule(
    id="shared-number",
    family="identity",
    severity=Severity.NOTE,
    summary="A product number stands on faces of two figures.",
    rationale=(
        "Makers did use a product number twice, so this need not be wrong. It is worth a second look, "
        "because a number copied to the wrong record looks just the same."
    ),
    check=_check,
    good=Example(
        "lines/lanternfish/faces/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
faces:
  - id: f-020
    figure: gull-warden
    series: lanternfish
    languages: [en]
    name: Gull Warden
    number: "4017"
    codes: [L-017/06]
    sources: [binder]
""",
    ),
    bad=Example(
        "lines/lanternfish/faces/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
faces:
  - id: f-020
    figure: gull-warden
    series: lanternfish
    languages: [en]
    name: Gull Warden
    number: "3014"
    codes: [L-017/06]
    sources: [binder]
""",
        "lanternfish/pell-orrin/f-020",
        "number",
    ),
)
