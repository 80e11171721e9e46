"""A back whose pictures nobody listed counts another number than its maker's waves add up to."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.counting import counts, range_after
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.model.evidence import Standing
from cardref.model.maker import BackPolicy
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    said, ranges = counts(index), range_after(index)
    for entry, back in corpus.records("back", Back):
        if back.pictures is not None or back.wave not in ranges or back.standing is Standing.REFUTED:
            continue
        maker = index.makers.get(f"maker/{back.maker}")
        wave = index.waves[back.wave]
        if maker is None or maker.backs is not BackPolicy.OWN or wave.maker != maker.id or said[back.id].odd:
            continue
        size = len(ranges[back.wave].figures)
        # A wave without debuts says nothing of the range, and a blank back nothing of the wave.
        if size and back.count and size != back.count:
            yield Hit(
                entry,
                f"{called(index, back.id)} counts {back.count}, but the waves up to "
                f"{called(index, wave.id)} add up to {count_of(size, 'figure')}: correct the count or the "
                "wave, or record what it pictures",
                ("count",),
                value=str(back.count),
                also=side(corpus, wave.id, f"makes it {size}", "debuts"),
            )


def _more(count: int, letter: str) -> str:
    return f"""
        - id: b-009
          designation: "{count}{letter}"
          series: lanternfish
          wave: po-2
          count: {count}
          features: {{waves-drawn: 5}}
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="wave-count",
    family="counting",
    severity=Severity.WARNING,
    summary="A back counts another number of figures than its maker's waves add up to.",
    rationale=(
        "Where nobody has listed what a back pictures, the waves still tell how many figures were sold. A "
        "count that differs is mistyped, or the back belongs to another wave."
    ),
    check=_check,
    needs=("wave",),
    good=backs(_more(6, "B")),
    bad=backs(_more(8, "A"), BACK, "count"),
)
