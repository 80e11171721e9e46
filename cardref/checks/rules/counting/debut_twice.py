"""A figure debuts for one maker in two waves."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, figure_name
from cardref.facts.counting import disputed_by_maker
from cardref.facts.timing import debut_waves
from cardref.finding import Severity
from cardref.model.evidence import Standing

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    disputed = disputed_by_maker(index)
    for (maker, figure), waves in debut_waves(index).items():
        # A reissue starts over, and what is refuted is there to say so.
        real = [wave for wave in waves if wave.standing is not Standing.REFUTED]
        if (maker, figure) in disputed:
            continue  # its backs speak against one of the waves, and that is told
        for number, wave in enumerate(real[1:], 1):
            if _starts_over(corpus, wave.id, real[number - 1].id) or wave.id not in corpus.by_id:
                continue
            first = real[number - 1]
            name = figure_name(index, figure)
            yield Hit(
                corpus.by_id[wave.id],
                f"{called(index, wave.id)} debuts {name}, but {called(index, first.id)} of "
                f"{called(index, maker)} had done so: take it out of one of them; a figure that comes back "
                "is listed under returns",
                ("debuts", wave.debuts.index(figure)),
                value=figure,
                also=side(corpus, first.id, f"debuts {name} too", "debuts", first.debuts.index(figure)),
            )


def _starts_over(corpus: Corpus, wave: str, first: str) -> bool:
    """Whether the range starts anew somewhere behind ``first`` and up to ``wave``."""
    index = corpus.index
    line, maker = wave.partition("/")[0], index.waves[wave].maker
    between = False
    for one in index.waves_by_maker[line, maker]:
        if between and one.starts_over:
            return True
        between = between or one.id == first
        if one.id == wave:
            break
    return False


RULE = Rule(
    id="debut-twice",
    family="counting",
    severity=Severity.ERROR,
    summary="A figure debuts for one maker in two waves.",
    rationale=(
        "A figure comes out once. Of two debuts one is wrong, and with it the first back of the figure, "
        "which is what many collectors look for."
    ),
    check=_check,
    good=changed("lines/lanternfish/line.yaml", "years: 1981/1983", "years: 1981/1984"),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "debuts: [kelp-weaver, bell-ringer]",
        "debuts: [kelp-weaver, bell-ringer, gull-warden]",
        "lanternfish/wave/po-2",
        "debuts",
    ),
)
