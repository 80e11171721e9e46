"""Two sources have the same citation."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.source import Source
from cardref.notation.folding import fold
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    seen: dict[tuple[object, ...], Entry] = {}
    for entry, source in corpus.records("source", Source):
        if not source.citation:
            continue
        first = seen.setdefault((fold(source.citation), source.date, source.link), entry)
        if first is not entry and first.id != entry.id:
            yield Hit(
                entry,
                f"{corpus.named(entry)} and {corpus.named(first)} have the same citation: keep one of them, "
                "or say what tells them apart",
                ("citation",),
                value=source.citation,
                also=(Also(first, "is cited alike", ("citation",)),),
            )


RULE = Rule(
    id="duplicate-source",
    family="identity",
    severity=Severity.WARNING,
    summary="Two sources have the same citation.",
    rationale=("One source entered twice makes a statement look as if two sources agreed on it."),
    check=_check,
    good=Example(
        "sources.yaml",
        """\
sources:
  - {id: spring-list, kind: catalogue, citation: "Spring list, 1981 (invented)", date: 1981-02}
  - {id: late-list, kind: catalogue, citation: "Late list, 1984 (invented)", date: "1984"}
  - {id: binder, kind: specimen, citation: "A binder (invented)", date: "2021"}
  - {id: fair-photo, kind: photograph, citation: "Fair photographs (invented)", date: "2021"}
  - {id: old-listing, kind: listing, citation: "A listing (invented)", date: "2020"}
  - {id: harbour-list, kind: reference, citation: "The harbour list (invented)", date: "2015"}
""",
    ),
    bad=Example(
        "sources.yaml",
        """\
sources:
  - {id: spring-list, kind: catalogue, citation: "Spring list, 1981 (invented)", date: 1981-02}
  - {id: late-list, kind: catalogue, citation: "Late list, 1984 (invented)", date: "1984"}
  - {id: binder, kind: specimen, citation: "A binder (invented)", date: "2021"}
  - {id: fair-photo, kind: specimen, citation: "a binder (invented)", date: "2021"}
  - {id: old-listing, kind: listing, citation: "A listing (invented)", date: "2020"}
  - {id: harbour-list, kind: reference, citation: "The harbour list (invented)", date: "2015"}
""",
        "source/fair-photo",
        "citation",
    ),
)
