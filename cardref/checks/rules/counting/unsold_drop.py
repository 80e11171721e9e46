"""A wave drops a figure that was not sold, or brings back one that was not dropped."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.counting import disputed_by_maker, range_after
from cardref.facts.timing import debut_waves, place_of_wave
from cardref.finding import Severity
from cardref.model.evidence import Standing
from cardref.model.wave import Wave

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    ranges = range_after(index)
    # Where the backs speak against a wave about the figure, that is the thing to tell.
    disputed = disputed_by_maker(index)
    for waves in index.waves_by_maker.values():
        sold: frozenset[str] = frozenset()
        for wave in waves:
            if wave.standing is Standing.REFUTED:
                continue
            before = frozenset() if wave.starts_over else sold
            for number, figure in enumerate(wave.drops):
                known = figure in before or figure in wave.debuts or figure in wave.returns
                if not known and (wave.maker, figure) not in disputed:
                    yield from _hit(corpus, wave, "drops", number, figure)
            for number, figure in enumerate(wave.returns):
                odd = figure in before or not _sold_earlier(corpus, wave, figure)
                if odd and (wave.maker, figure) not in disputed:
                    yield from _hit(corpus, wave, "returns", number, figure, sold=figure in before)
            sold = ranges[wave.id].figures


def _sold_earlier(corpus: Corpus, wave: Wave, figure: str) -> bool:
    index = corpus.index
    places = place_of_wave(index)
    waves = debut_waves(index).get((wave.maker, figure), ())
    return any(places[one.id] < places[wave.id] for one in waves)


def _hit(
    corpus: Corpus, wave: Wave, field: str, number: int, figure: str, *, sold: bool = False
) -> Iterator[Hit]:
    index = corpus.index
    if wave.id not in corpus.by_id:
        return
    name, maker = figure_name(index, figure), called(index, wave.maker)
    debuts = debut_waves(index).get((wave.maker, figure), ())
    when = f"it debuts in {called(index, debuts[0].id)}" if debuts else "no wave debuts it"
    if field == "drops":
        said = f"drops {name}, which {maker} did not sell then ({when}): name the figure that was dropped"
    elif sold:
        said = f"brings back {name}, which {maker} was still selling: say which wave dropped it"
    else:
        said = f"brings back {name}, which {maker} had never sold ({when}): list it under debuts"
    yield Hit(
        corpus.by_id[wave.id],
        f"{called(index, wave.id)} {said}",
        (field, number),
        value=figure,
        also=side(corpus, debuts[0].id, f"debuts {name}", "debuts") if debuts else (),
    )


RULE = Rule(
    id="unsold-drop",
    family="counting",
    severity=Severity.ERROR,
    summary="A wave drops a figure that was not sold, or brings back one that was not dropped.",
    rationale=(
        "What is dropped was sold before, and what returns was dropped. Otherwise the wrong figure is "
        "named, and the right one seems to have been sold all the time."
    ),
    check=_check,
    needs=("wave",),
    good=changed("lines/lanternfish/line.yaml", "years: 1981/1983", "years: 1981/1984"),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "date: 1982-09\n",
        "date: 1982-09\n    drops: [bell-ringer]\n",
        "lanternfish/wave/mv-1",
        "drops",
    ),
)
