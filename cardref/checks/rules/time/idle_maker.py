"""A maker is recorded as active long before or after anything it made."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.timing import started
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.maker import Maker
from cardref.notation.edtf import Date

__all__ = ["RULE"]

_LONG = 3
"""So many years with nothing recorded are worth a word."""


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    recorded = _recorded(index)
    for entry, maker in corpus.records("maker", Maker):
        years = recorded.get(maker.id)
        if maker.active is None or years is None or maker.active.uncertain or maker.active.approximate:
            continue
        first, last = min(years), max(years)
        begins, ends = maker.active.earliest, maker.active.latest
        early = first[0] - begins.year if begins is not None else 0
        late = ends.year - last[0] if ends is not None else 0
        # Years that do not even hold what is recorded are told as that.
        if max(early, late) <= _LONG or min(early, late) < 0:
            continue
        gap, year, full = (early, first[0], first[1]) if early > late else (late, last[0], last[1])
        told = "first" if early > late else "last"
        yield Hit(
            entry,
            f"{called(index, maker.id)} was active {maker.active}, but the {told} thing recorded of it is "
            f"of {year}, {gap} years off: correct when it was active, or record what it made then",
            ("active",),
            value=str(maker.active),
            also=side(corpus, full, f"of {year}"),
        )


def _recorded(index: Index) -> dict[str, list[tuple[int, str]]]:
    """Maker id -> the years of its waves and backs, each with the record."""
    found: dict[str, list[tuple[int, str]]] = {}

    def add(maker: str, date: Date | None, full: str) -> None:
        if date is not None:
            for day in (date.earliest, date.latest):
                if day is not None:
                    found.setdefault(maker, []).append((day.year, full))

    for wave in index.waves.values():
        add(wave.maker, wave.date, wave.id)
    for back in index.backs.values():
        add(f"maker/{back.maker}", _date(index, back), back.id)
    return found


def _date(index: Index, back: Back) -> Date | None:
    date = started(index, back)
    return date if date is not None or back.series not in index.series else index.series[back.series].years


RULE = Rule(
    id="idle-maker",
    family="time",
    severity=Severity.NOTE,
    summary="A maker is recorded as active long before or after anything it made.",
    rationale=(
        "Years in which a firm is said to have made cards, and none is known, are a gap in the record or a "
        "slip in the years. A forger's card of such a year would pass."
    ),
    check=_check,
    needs=("wave", "back"),
    good=changed("makers.yaml", "active: 1982/1983", "active: 1982/1985"),
    bad=changed("makers.yaml", "active: 1982/1983", "active: 1982/1993", "maker/morvane", "active"),
)
