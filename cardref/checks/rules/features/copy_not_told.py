"""A modern copy is recorded with nothing that gives it away."""

from collections.abc import Iterator

from cardref.checks.blame import sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, listed
from cardref.facts.features import features_of_line, overlap, states_of
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.reproduction import Reproduction

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for entry, copy in corpus.records("reproduction", Reproduction):
        if not copy.features or not copy.copies:
            continue
        alike = [slug for slug, states in copy.features.items() if _like_original(index, copy, slug, states)]
        if len(alike) == len(copy.features):
            yield Hit(
                entry,
                f"{called(index, copy.id)} is said to be given away by {listed(alike)}, but originals are "
                "recorded so too: record in what it differs",
                ("features", alike[0]),
                value=alike[0],
                also=sides(corpus, copy.copies, "what it copies", ("features",)),
            )


def _like_original(index: Index, copy: Reproduction, slug: str, states: tuple[str, ...]) -> bool:
    """Whether the originals are recorded in one of these states; what is not recorded does not count."""
    line = copy.id.partition("/")[0]
    feature = features_of_line(index, line).get(slug)
    if feature is None:
        return False
    genuine: set[str] = set()
    for full in copy.copies:
        genuine.update(states_of(index, full).get(slug, ()))
        maker = f"maker/{full.split('/')[1]}" if full.count("/") == 2 else ""
        if feature.sign is not None:
            genuine.update(feature.sign.genuine.get(maker, ()))
    return any(overlap(feature, one, other) for one in states for other in genuine)


RULE = Rule(
    id="copy-not-told",
    family="features",
    severity=Severity.WARNING,
    summary="A modern copy is recorded with nothing that gives it away.",
    rationale=(
        "A copy is listed so that people can tell it. If all that is said of it holds for originals too, "
        "good cards come under suspicion and the copy passes."
    ),
    check=_check,
    good=changed("lines/lanternfish/reproductions.yaml", 'known: "2009"', 'known: "2010"'),
    bad=changed(
        "lines/lanternfish/reproductions.yaml",
        "{board-glow: present}",
        "{board-glow: absent}",
        "lanternfish/reproduction/glossy-four",
        "features.board-glow",
    ),
)
