"""A back is older than the wave it pictures."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import backs_before_waves, doubted
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    told = "back-before-wave"
    for shared in backs_before_waves(index, {full: rule for full, rule in doubt.items() if rule != told}):
        name, date = called(index, shared.key), index.waves[shared.key].date
        if shared.at_fault and shared.key in corpus.by_id:
            yield Hit(
                corpus.by_id[shared.key],
                f"{name} is dated {date}, but {count_of(len(shared.items), 'back')} that picture it are "
                f"older, back {shared.items[0].label} with {shared.items[0].released} first: correct "
                "the wave's date",
                ("date",),
                value=str(date),
                also=sides(corpus, (back.id for back in shared.items), f"older than {date}", ("released",)),
            )
            continue
        for back in shared.items:
            if back.id not in corpus.by_id:
                continue
            yield Hit(
                corpus.by_id[back.id],
                f"{called(index, back.id)} was released {back.released}, but pictures {name}, which reached "
                f"the shops {date}: correct the date, or name the wave that it pictures",
                ("released",),
                value=str(back.released),
                also=side(corpus, shared.key, f"dated {date}", "date"),
            )


def _more(date: str) -> str:
    return f"""
        - id: b-009
          designation: 6B
          series: lanternfish
          wave: po-2
          count: 6
          pictures: {{based_on: b-003}}
          features: {{waves-drawn: 5}}
          released: {date}
          standing: confirmed
          sources: [binder]
    """


RULE = Rule(
    id="back-before-wave",
    family="time",
    severity=Severity.WARNING,
    summary="A back was released before the wave it pictures.",
    rationale=(
        "A back pictures what can be bought. One that is older than the figures on it has a wrong date or "
        "the wrong wave, and everything that is dated by it follows."
    ),
    check=_check,
    good=backs(_more("1982-04")),
    bad=backs(_more("1981-11"), BACK, "released"),
)
