"""What a maker's waves add up to is not what its backs picture."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, some
from cardref.facts.counting import Difference, range_differences
from cardref.facts.timing import debut_waves
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
    figure = (*one.missing, *one.undebuted, *one.early, *one.dropped)[0]
    # When every back of the wave, or a later one too, says the same, the waves stand alone.
    many = len(one.missing) + len(one.early) > 1
    alone = len(one.backs) < one.of or (one.of == 1 and not one.later and many)
    full, place = _place(corpus.index, one, figure)
    wave, back = corpus.by_id.get(full), corpus.by_id.get(one.backs[0])
    if wave is not None and (back is None or not alone):
        also = sides(corpus, one.backs, "pictures otherwise", ("pictures",))
        if full != one.wave.id:
            also = (*side(corpus, one.wave.id, "the first wave in which it shows", "debuts"), *also)
        yield Hit(wave, message, place, value=figure, also=also)
    elif back is not None:
        also = side(corpus, one.wave.id, "the wave it is recorded for", "debuts")
        yield Hit(back, message, ("wave",) if many else ("pictures",), value=figure, also=also)


def _place(index: Index, one: Difference, figure: str) -> tuple[str, Pointer]:
    """The wave (full id) where the slip most likely is, and where in it."""
    if figure in one.wave.debuts:
        return one.wave.id, ("debuts", one.wave.debuts.index(figure))
    if figure in one.missing:
        # Debuted by an earlier wave. Where that has no back of its own, nothing has shown the figure since.
        debut = next(iter(debut_waves(index).get((one.wave.maker, figure), ())), None)
        shown = any(back.wave == debut.id for back in index.backs.values()) if debut is not None else True
        if debut is not None and not shown:
            return debut.id, ("debuts", debut.debuts.index(figure))
        return one.wave.id, ("drops",)
    return one.wave.id, ("returns",) if figure in one.dropped else ("debuts",)


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
