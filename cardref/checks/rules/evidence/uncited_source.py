"""A source has no citation."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.source import Source

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, source in corpus.records("source", Source):
        if not source.citation:
            advice = "say who or what it is and when, so that it can be found"
            yield Hit(entry, f"{corpus.named(entry)} has no citation: {advice}")


RULE = Rule(
    id="uncited-source",
    family="evidence",
    severity=Severity.WARNING,
    summary="A source has no citation.",
    rationale=(
        "A source that nobody else can find is no source. The citation says who, what and when, so that "
        "it can be looked up again."
    ),
    check=_check,
    good=Example(
        "sources.yaml",
        """\
sources:
  - {id: spring-list, kind: catalogue, citation: "Spring list (invented)", date: 1981-02}
  - {id: late-list, kind: catalogue, citation: "Late list (invented)", date: "1984"}
  - {id: binder, kind: specimen, citation: "A binder (invented)", date: "2019"}
  - {id: fair-photo, kind: photograph, citation: "Fair photographs (invented)", date: "2021"}
  - {id: old-listing, kind: listing, citation: "A listing (invented)", date: "2020"}
  - {id: harbour-list, kind: reference, citation: "The harbour list (invented)", date: "2015"}
""",
    ),
    bad=Example(
        "sources.yaml",
        """\
sources:
  - {id: spring-list, kind: catalogue, citation: "Spring list (invented)", date: 1981-02}
  - {id: late-list, kind: catalogue, date: "1984"}
  - {id: binder, kind: specimen, citation: "A binder (invented)", date: "2019"}
  - {id: fair-photo, kind: photograph, citation: "Fair photographs (invented)", date: "2021"}
  - {id: old-listing, kind: listing, citation: "A listing (invented)", date: "2020"}
  - {id: harbour-list, kind: reference, citation: "The harbour list (invented)", date: "2015"}
""",
        "source/late-list",
    ),
)
