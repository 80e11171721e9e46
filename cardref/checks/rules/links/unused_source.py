"""A source that no record refers to."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.linking import used
from cardref.checks.rule import Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.kinds import KINDS
from cardref.storage.references import links

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    cited = used(corpus.targets, "source")
    for entry in corpus.entries("source"):
        if entry.id and entry.id not in cited:
            message = f"{corpus.named(entry)} is referred to by no record"
            yield Hit(entry, f"{message}: name it where it says something, or take it out")


RULE = Rule(
    id="unused-source",
    family="links",
    severity=Severity.NOTE,
    summary="No record refers to a source.",
    rationale=(
        "Somebody looked something up there. Either the records it supports do not say so yet, or it was "
        "entered twice and the other one is in use."
    ),
    check=_check,
    needs=tuple(kind for kind in KINDS if any("source" in link.kinds for link in links(kind))),
    good=one_card("sources: [fair-photo]"),
    bad=Example(
        "sources.yaml",
        """\
sources:
  - {id: spring-list, kind: catalogue, citation: "Spring list (invented)", date: 1981-02}
  - {id: late-list, kind: catalogue, citation: "Late list (invented)", date: "1984"}
  - {id: binder, kind: specimen, citation: "A binder (invented)", date: "2019"}
  - {id: fair-photo, kind: photograph, citation: "Fair photographs (invented)", date: "2021"}
  - {id: old-listing, kind: listing, citation: "A listing (invented)", date: "2020"}
  - {id: harbour-list, kind: reference, citation: "The harbour list (invented)", date: "2015"}
  - {id: talk, kind: interview, citation: "A talk with the printer, 2020 (invented)", date: "2020"}
""",
        "source/talk",
    ),
)
