"""Two faces are recorded that nothing tells apart."""

from collections.abc import Iterable, Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import faces
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.model.face import Face
from cardref.model.kinds import short_id
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    groups: dict[tuple[object, ...], list[tuple[Entry, Face]]] = {}
    for entry, face in corpus.records("face", Face):
        groups.setdefault((face.maker, face.figure, face.codes), []).append((entry, face))
    for group in groups.values():
        if len(group) > 1:
            yield from _equal(corpus, group)


def _equal(corpus: Corpus, group: Iterable[tuple[Entry, Face]]) -> Iterator[Hit]:
    seen: dict[tuple[object, ...], Entry] = {}
    for entry, face in group:
        key = (
            face.series,
            frozenset(face.languages),
            face.name,
            face.number,
            face.barcode,
            face.picture,
            face.features,
        )
        first = seen.setdefault(key, entry)
        if first is not entry and first.id != entry.id:
            yield Hit(
                entry,
                f"{corpus.named(entry)} and face {short_id(first.id)} say the same in everything that is "
                "printed: record what tells them apart, or keep one",
                also=(Also(first, "is the same"),),
            )


RULE = Rule(
    id="duplicate-face",
    family="identity",
    severity=Severity.WARNING,
    summary="Two faces are recorded that nothing tells apart.",
    rationale=(
        "Two records of one front split its cards between them, so that neither shows all the backs it "
        "is known on."
    ),
    check=_check,
    good=faces("""
        - id: f-020
          figure: gull-warden
          series: lanternfish
          languages: [en]
          name: Gull Warden
          number: "3017"
          picture: with a lantern in the left hand
          codes: none
          sources: [binder]
    """),
    bad=faces(
        """
        - id: f-020
          figure: gull-warden
          series: lanternfish
          languages: [en]
          name: Gull Warden
          number: "3017"
          codes: none
          sources: [binder]
    """,
        "lanternfish/pell-orrin/f-020",
    ),
)
