"""Records that follow one another in a circle."""

from collections.abc import Iterator, Mapping

from cardref.checks.corpus import Corpus
from cardref.checks.examples import backs
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.back import Back
from cardref.model.bookkeeping import Tombstone
from cardref.model.feature import Feature
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    backs = dict(corpus.records("back", Back))
    after = {entry.id: (entry, (back.after,)) for entry, back in backs.items() if back.after}
    yield from _circles(corpus, after, ("after",), "the printing it follows")
    based = {
        entry.id: (entry, (back.pictures.based_on,))
        for entry, back in backs.items()
        if back.pictures is not None and back.pictures.based_on
    }
    yield from _circles(corpus, based, ("pictures", "based_on"), "the back whose pictures it builds on")
    features = {}
    for entry, feature in corpus.records("feature", Feature):
        if feature.applies is not None:
            parent = corpus.index.feature(feature.applies.feature, entry.file.line)
            if parent is not None:
                features[entry.id] = (entry, (parent.id,))
    yield from _circles(
        corpus, features, ("applies", "feature"), "the feature without which it cannot be seen"
    )
    retired = {
        entry.id: (entry, tombstone.replaced_by)
        for entry, tombstone in corpus.records("tombstone", Tombstone)
    }
    yield from _circles(corpus, retired, ("replaced_by",), "what took its place")


def _circles(
    corpus: Corpus, steps: Mapping[str, tuple[Entry, tuple[str, ...]]], pointer: Pointer, what: str
) -> Iterator[Hit]:
    """Every circle once, at the record of it that stands first."""
    done: set[str] = set()
    for start in steps:
        path: dict[str, None] = {}
        waiting: list[tuple[str, bool]] = [(start, False)]
        while waiting:
            at, leaving = waiting.pop()
            if leaving:
                path.pop(at)
                done.add(at)
            elif at in path:
                ring = list(path)
                ring = ring[ring.index(at) :]
                yield _hit(corpus, [steps[full][0] for full in ring], pointer, what)
            elif at not in done and at in steps:
                path[at] = None
                waiting.append((at, True))
                waiting += ((following, False) for following in steps[at][1])


def _hit(corpus: Corpus, ring: list[Entry], pointer: Pointer, what: str) -> Hit:
    first, others = ring[0], ring[1:]
    way = " -> ".join(
        [*map(corpus.named, ring[:6]), *(["..."] if len(ring) > 6 else []), corpus.named(first)]
    )
    return Hit(
        first,
        f"{corpus.named(first)} is, step by step, {what} of itself ({way}): one of these must name another",
        pointer,
        value=" ".join(entry.id for entry in ring[1:6]),
        also=tuple(Also(entry, "the next step", pointer) for entry in others[:8]),
    )


RULE = Rule(
    id="circular-link",
    family="links",
    severity=Severity.ERROR,
    summary="Records follow one another in a circle.",
    rationale=(
        "A printing cannot follow itself, and pictures that build on one another in a circle picture "
        "nothing: every count along the circle is then unfounded."
    ),
    check=_check,
    good=backs(
        """
        - id: b-002
          designation: 3B
          series: lanternfish
          count: 3
          pictures: {based_on: b-001}
          languages: [fr]
          after: b-001
          features: {maker-line: two-lines}
          sources: [binder]
    """,
        maker="morvane",
    ),
    bad=backs(
        """
        - id: b-002
          designation: 3B
          series: lanternfish
          count: 3
          pictures: {based_on: b-002}
          languages: [fr]
          after: b-001
          features: {maker-line: two-lines}
          sources: [binder]
    """,
        "lanternfish/morvane/b-002",
        "pictures.based_on",
        maker="morvane",
    ),
)
