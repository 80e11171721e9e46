"""What a maker's waves add up to is not what its backs picture."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, some
from cardref.facts.counting import Difference, range_differences
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer

__all__ = ["RULE"]

_SAYS = {
    "missing": "{who} {verb} not picture {names}, which the waves up to {wave} sell",
    "undebuted": "{who} picture{s} {names}, which no wave of {maker} debuts",
    "early": "{who} picture{s} {names}, which only a later wave debuts",
    "dropped": "{who} picture{s} {names}, which a wave had dropped by then",
}


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for one in range_differences(index):
        groups = [(sort, getattr(one, sort)) for sort in _SAYS if getattr(one, sort)]
        many = len(one.backs) > 1
        first = called(index, one.backs[0])
        who = f"{first} and {len(one.backs) - 1} more of its wave" if many else first
        parts = [
            _SAYS[sort].format(
                who=who if number == 0 else "and",
                verb="do" if many else "does",
                s="" if many else "s",
                names=some(index, figures, 3),
                wave=called(index, one.wave.id),
                maker=called(index, one.wave.maker),
            )
            for number, (sort, figures) in enumerate(groups)
        ]
        yield from _hit(corpus, one, f"{', '.join(parts)}: correct the wave, or what the back pictures")


def _hit(corpus: Corpus, one: Difference, message: str) -> Iterator[Hit]:
    index = corpus.index
    wave = corpus.by_id.get(one.wave.id)
    back = corpus.by_id.get(one.backs[0])
    figure = (*one.missing, *one.undebuted, *one.early, *one.dropped)[0]
    # When every back of the wave, or a later one too, says the same, the wave stands alone.
    alone = len(one.backs) < one.of or (
        one.of == 1 and not one.later and len(one.missing) + len(one.early) > 1
    )
    if back is None or (wave is not None and not alone):
        if wave is not None:
            also = sides(corpus, one.backs, "pictures otherwise", ("pictures",))
            yield Hit(wave, message, _place(index, one, figure), value=figure, also=also)
        return
    also = side(corpus, one.wave.id, "the wave it is recorded for", "debuts")
    if len(one.missing) + len(one.early) > 1:
        yield Hit(back, message, ("wave",), value=figure, also=also)
    else:
        yield Hit(back, message, ("pictures",), value=figure, also=also)


def _place(index: Index, one: Difference, figure: str) -> Pointer:
    """Where in the wave the slip most likely is."""
    debuts = index.waves[one.wave.id].debuts
    if figure in debuts:
        return ("debuts", debuts.index(figure))
    if figure in one.missing:
        return ("drops",)
    return ("returns",) if figure in one.dropped else ("debuts",)


RULE = Rule(
    id="wave-sum",
    family="counting",
    severity=Severity.WARNING,
    summary="What a maker's waves add up to is not what its backs picture.",
    rationale=(
        "A maker with its own range pictures what it sells. A figure that is pictured before its wave, or "
        "sold and never pictured, was put into the wrong wave or onto the wrong back, and its first back is "
        "told wrongly."
    ),
    check=_check,
    needs=("wave", "back"),
    good=changed("lines/lanternfish/line.yaml", "kelp-weaver, bell-ringer]", "bell-ringer, kelp-weaver]"),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "debuts: [kelp-weaver, bell-ringer]",
        "debuts: [kelp-weaver]",
        "lanternfish/wave/po-2",
        "debuts",
    ),
)
