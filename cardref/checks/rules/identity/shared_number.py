"""A product number stands on faces of two figures."""

from cardref.checks.examples import faces
from cardref.checks.rule import Rule
from cardref.checks.rules.identity._shared import shared
from cardref.finding import Severity

__all__ = ["RULE"]


RULE = Rule(
    id="shared-number",
    family="identity",
    severity=Severity.NOTE,
    summary="A product number stands on faces of two figures.",
    rationale=(
        "Makers did use a product number twice, so this need not be wrong. It is worth a second look, "
        "because a number copied to the wrong record looks just the same."
    ),
    check=shared("number", "product number"),
    good=faces("""
        - id: f-020
          figure: gull-warden
          series: lanternfish
          languages: [en]
          name: Gull Warden
          number: "4017"
          codes: [L-017/06]
          sources: [binder]
    """),
    bad=faces(
        """
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
