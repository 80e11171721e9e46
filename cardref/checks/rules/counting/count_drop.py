"""A back counts fewer figures than an earlier one, and nothing was dropped."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.counting import counts
from cardref.facts.pictures import pictures_of
from cardref.facts.timing import place_of_wave
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.back import Back
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    said, lists = counts(index), pictures_of(index)
    for entry, back in corpus.records("back", Back):
        earlier = _larger(index, back)
        if earlier is None or said[back.id].odd or said[earlier.id].odd:
            continue
        if lists[back.id] is not None and lists[earlier.id] is not None:
            continue  # both lists are known and are compared figure by figure
        dropped = _dropped(index, earlier, back)
        if dropped is None or earlier.count - back.count <= dropped:
            continue
        yield Hit(
            entry,
            f"{called(index, back.id)} counts {back.count}, but the earlier {called(index, earlier.id)} "
            f"counts {earlier.count}, and {count_of(dropped, 'figure')} were dropped between them: correct "
            "the count, or record what was dropped",
            ("count",),
            value=str(back.count),
            also=side(corpus, earlier.id, f"counts {earlier.count}", "count"),
        )


def _larger(index: Index, back: Back) -> Back | None:
    """The earlier back of the same maker and series that a back follows, where it counts more."""
    for full in (back.after, back.pictures.based_on if back.pictures is not None else ""):
        other = index.backs.get(full) if full else None
        if other is not None and other.count > back.count and _alike(other, back):
            return other
    return None


def _alike(one: Back, other: Back) -> bool:
    return one.maker == other.maker and one.series == other.series


def _dropped(index: Index, earlier: Back, back: Back) -> int | None:
    """How many figures the waves between two backs drop; None where that cannot be told."""
    own = len(back.pictures.minus) if back.pictures is not None else 0
    places = place_of_wave(index)
    if earlier.wave not in places or back.wave not in places:
        return own
    total = own
    for wave in index.waves_by_maker.get((back.id.split("/")[0], f"maker/{back.maker}"), ()):
        if places[earlier.wave] < places[wave.id] <= places[back.wave]:
            if wave.starts_over:
                return None
            total += len(wave.drops)
    return total


def _more(count: int, letter: str) -> str:
    return f"""
        - id: b-009
          designation: "{count}{letter}"
          series: lanternfish
          count: {count}
          after: b-003
          features: {{waves-drawn: 5}}
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="count-drop",
    family="counting",
    severity=Severity.WARNING,
    summary="A back counts fewer figures than an earlier one, and nothing was dropped.",
    rationale=(
        "Counts grow as figures come out. A smaller one means that something was dropped, which somebody "
        "will have noticed, or that a digit is wrong."
    ),
    check=_check,
    good=backs(_more(6, "B")),
    bad=backs(_more(5, "A"), BACK, "count"),
)
