"""A barcode stands on faces of two figures."""

from cardref.checks.examples import faces
from cardref.checks.rule import Rule
from cardref.checks.rules.identity._shared import shared
from cardref.finding import Severity

__all__ = ["RULE"]


RULE = Rule(
    id="shared-barcode",
    family="identity",
    severity=Severity.NOTE,
    summary="A barcode stands on faces of two figures.",
    rationale=(
        "Makers did use a barcode twice, so this need not be wrong. It is worth a second look, because "
        "a number copied to the wrong record looks just the same."
    ),
    check=shared("barcode", "barcode"),
    good=faces("""
        - id: f-020
          figure: gull-warden
          series: lanternfish
          languages: [en]
          name: Gull Warden
          barcode: "7300011000017"
          codes: [L-017/06]
          sources: [binder]
        - id: f-021
          figure: brine-smith
          series: lanternfish
          languages: [en]
          name: Brine Smith
          barcode: "6291041500213"
          codes: [L-016/06]
          sources: [binder]
    """),
    bad=faces(
        """
        - id: f-020
          figure: gull-warden
          series: lanternfish
          languages: [en]
          name: Gull Warden
          barcode: "7300011000017"
          codes: [L-017/06]
          sources: [binder]
        - id: f-021
          figure: brine-smith
          series: lanternfish
          languages: [en]
          name: Brine Smith
          barcode: "7300011000017"
          codes: [L-016/06]
          sources: [binder]
    """,
        "lanternfish/pell-orrin/f-021",
        "barcode",
    ),
)
