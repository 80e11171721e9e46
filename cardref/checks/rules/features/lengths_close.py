"""Two lengths of siblings that differ by less than the feature's tool can tell."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.features import features_of_line, resolution_of
from cardref.facts.separation import siblings
from cardref.finding import Severity
from cardref.text import clip

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for group in siblings(index):
        told: set[tuple[str, frozenset[str]]] = set()
        for pair in group.close:
            entry = corpus.by_id.get(pair.other)
            if entry is None:
                continue
            for close in pair.close:
                slug = close.feature
                feature = features_of_line(index, pair.other.partition("/")[0])[slug]
                first, second = (index.backs[full].features[slug][0] for full in (pair.one, pair.other))
                key = (slug, frozenset((first, second)))
                if key in told:
                    continue
                told.add(key)
                one = index.backs[pair.one].designation
                yield Hit(
                    entry,
                    f"{called(index, pair.other)} has {slug} {clip(second, 40)}, and {one} has "
                    f"{clip(first, 40)}: {close.gap or 0:g} mm apart, but a {feature.tool.value} tells "
                    f"{resolution_of(feature):g} mm; measure again, or record one range for both",
                    ("features", slug),
                    value=f"{one} {second}",
                    also=side(corpus, pair.one, clip(first, 40), "features", slug),
                )


def _more(height: str) -> str:
    return f"""
        - id: b-009
          designation: 4C
          series: lanternfish
          count: 4
          pictures: {{based_on: b-002}}
          features: {{maker-line: two-lines, waves-drawn: 5, lantern-height: {height}}}
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="lengths-close",
    family="features",
    severity=Severity.NOTE,
    summary="Lengths of two backs differ by less than the tool can tell.",
    rationale=(
        "A ruler does not tell half a millimetre. Two ranges that are closer than that look like a "
        "difference in the list, and are none on the card."
    ),
    check=_check,
    needs=("back", "feature"),
    good=backs(_more("17-18 mm")),
    bad=backs(_more("15.5-18 mm"), BACK, "features.lantern-height"),
)
