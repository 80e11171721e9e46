"""A role names the maker whose card it is anyway."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import CARD, cards
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.card import Card

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, card in corpus.records("card", Card):
        for role, maker in card.roles.items():
            if maker == f"maker/{card.maker}":
                yield Hit(
                    entry,
                    f"{called(corpus.index, card.id)} names {card.maker} as its {role.value}, whose card it "
                    "is anyway: name the other firm that was meant, or take it out",
                    ("roles", role.value),
                    value=maker,
                )


def _more(seller: str) -> str:
    return f"""
        - id: c-019
          face: f-003
          back: b-003
          roles: {{seller: {seller}}}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="needless-role",
    family="cards",
    severity=Severity.WARNING,
    summary="A role names the maker whose card it is anyway.",
    rationale=(
        "Roles are there for what is not to be expected: another printer, licensee or seller. The maker's "
        "own name in its place mostly hides which firm was meant."
    ),
    check=_check,
    good=cards(_more("thalweg")),
    bad=cards(_more("pell-orrin"), CARD, "roles.seller"),
)
