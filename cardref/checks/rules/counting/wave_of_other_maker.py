"""A back pictures a wave that is another maker's, or of another series' time."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    waves = index.waves
    for entry, back in corpus.records("back", Back):
        wave = waves.get(back.wave) if back.wave else None
        if wave is not None and wave.maker != f"maker/{back.maker}":
            yield Hit(
                entry,
                f"{called(index, back.id)} is recorded for {called(index, wave.id)}, which is a wave of "
                f"{called(index, wave.maker)}: name a wave of its own maker",
                ("wave",),
                value=wave.id,
                also=side(corpus, wave.id, f"a wave of {called(index, wave.maker)}", "maker"),
            )


def _more(wave: str) -> str:
    return f"""
        - id: b-009
          designation: 4C
          series: lanternfish
          wave: {wave}
          count: 4
          pictures: {{based_on: b-002}}
          features: {{waves-drawn: 5}}
          released: 1982-12
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="wave-of-other-maker",
    family="counting",
    severity=Severity.WARNING,
    summary="A back is recorded for a wave of another maker.",
    rationale=(
        "Makers brought figures out at their own times. A back that is counted by another maker's wave is "
        "dated and added up by somebody else's calendar."
    ),
    check=_check,
    good=backs(_more("po-1")),
    bad=backs(_more("mv-1"), BACK, "wave"),
)
