"""An identification as people read it at a fair: the answer first, why, and the one next look."""

from collections.abc import Iterator

from cardref.identification import told, words
from cardref.identification.answer import Candidate, Ending, percent
from cardref.identification.identify import Identification
from cardref.identification.sights import ANOTHER, CardLook
from cardref.model.feature import FeatureKind
from cardref.text import clip, count_of

__all__ = ["MOST", "answer", "example", "features", "ranked"]

MOST = 8
"""So many candidates fit on a screen with the rest of the answer."""

LEAST_SHARE = 0.01

LIKELY = 0.5
"""What is more probable than all others together is named first."""


def answer(ident: Identification, most: int = MOST) -> Iterator[str]:
    """The answer, within a screen: what it is, why, what to do next."""
    yield from _verdict(ident)
    yield from ranked(ident, most)
    notes = [clip(note, 90) for entry in ident.entries.values() for note in entry.notes]
    if notes:
        more = f"; {len(notes) - 6} more" if len(notes) > 6 else ""
        yield f"read: {'; '.join(notes[:6])}{more}"
    for feature, above in ident.contradictions:
        yield words.contradiction(feature, above)
    if ident.verdict is Ending.UNRECORDED:
        yield words.LOOK_AGAIN
    for line in told.card(ident.recorded):
        yield _small(line)
    yield from _next(ident)
    for line in told.copies(ident.contenders, ident.signs) or [told.CAUTION]:
        yield _small(line)


_LABELS = ("Known copy:", "To settle it", "Take care:", "Sign:", "The card:")


def _small(line: str) -> str:
    return _lowered(line) if line.startswith(_LABELS) else line


def _kind(ident: Identification, number: int) -> str:
    return f"{count_of(number, ident.by.value)} of {clip(ident.line, 60)}"


def _verdict(ident: Identification) -> Iterator[str]:
    end, size = ident.conclusion, len(ident.candidates)
    top = end.remaining[0]
    if end.ending is Ending.IDENTIFIED:
        yield f"identified as far as recorded: {top}"
    elif end.ending is not Ending.OPEN:
        first, *rest = ident.told_verdict()
        yield from (_lowered(first), *rest)
    elif not ident.looked:
        yield f"nothing seen yet: {_kind(ident, size)} to choose from"
    elif end.count == 1:
        yield f"most probably {top}, not certain yet"
    elif top.posterior >= LIKELY:
        others = f"{end.count - 1} of {_kind(ident, size)}"
        yield f"probably {top}, not certain yet: {others} remain beside it"
    else:
        yield f"{end.count} of {_kind(ident, size)} remain"
    if ident.inferred:
        yield f"line {clip(ident.line, 60)}: {ident.inferred}; if it is another, say line=..."
    if ident.by == "card" and ident.looked and end.ending in (Ending.OPEN, Ending.IDENTIFIED):
        likeliest = ident.printings[0]
        if likeliest.posterior >= LIKELY:
            yield f"its printing: {clip(likeliest.label, 80)} ({percent(likeliest.posterior)})"


def _lowered(line: str) -> str:
    return line[:1].lower() + line[1:]


def ranked(ident: Identification, most: int = MOST) -> Iterator[str]:
    """The candidates with their shares and what speaks against each, and what speaks for the first."""
    if not ident.looked:
        return
    first = [one for n, one in enumerate(ident.candidates[:most]) if n == 0 or one.posterior >= LEAST_SHARE]
    rows: list[tuple[str, str, list[str]]] = []
    for one in first:
        share, against = percent(one.posterior), _against(ident, one)
        if ident.by == "back" and rows and rows[-1][:2] == (share, against):
            rows[-1][2].append(one.name)
        else:
            rows.append((share, against, [one.name]))
    width = max(len(share) for share, _, _ in rows)
    for share, against, names in rows:
        yield f"  {share:>{width}}{' each' if len(names) > 1 else ''}  {_together(names)}{against}"
    left = ident.conclusion.count - len(first)
    if left > 0:
        yield f"  and {left} more"
    good, _, silent = told.fits(first[0], ident.entries)
    if good:
        yield f"  for the first: {'; '.join(good[:8])}"
    if silent:
        yield f"  not recorded of it: {', '.join(silent[:6])}"


def _together(names: list[str]) -> str:
    """Designations in a row, the maker said once."""
    shown, last = [], ""
    for name in names:
        maker, _, designation = name.rpartition(" ")
        shown.append(designation if maker == last else name)
        last = maker
    return ", ".join(shown)


def _against(ident: Identification, one: Candidate) -> str:
    _, bad, _ = told.fits(one, ident.entries)
    more = f"; {len(bad) - 2} more" if len(bad) > 2 else ""
    return f"   against: {'; '.join(bad[:2])}{more}" if bad else ""


def _next(ident: Identification) -> Iterator[str]:
    look = ident.next_feature
    if look is None:
        return
    surer = " (to be surer)" if ident.verdict is Ending.IDENTIFIED else ""
    yield f"next{surer}: {told.tooled(look)}"
    yield f"  where: {look.where}"
    yield f"  how: {look.how}"
    yield f"  then add: {example(look)}"
    if look.cautions:
        yield f"  take care: {'; '.join(look.cautions)}"


def example(look: CardLook) -> str:
    """How a look's reading is given."""
    if look.kind == FeatureKind.LENGTH:
        return f"{look.feature}='4 mm'"
    if look.kind == FeatureKind.COUNT:
        return f"{look.feature}=3"
    states = [state for state in look.states if state != ANOTHER]
    shown = states if len(states) <= 6 else [*states[:5], "..."]
    return f"{look.feature}={' or '.join(shown)}"


def features(ident: Identification) -> Iterator[str]:
    """Everything that there is to look at, a line each."""
    cards = ident.cards
    yield f"to tell the {ident.by.value}s of {clip(ident.line, 60)} apart (a whole code: code=...):"
    for name, sight in cards.sights.items():
        yield f"  {name}: {sight.feature.name}. {clip(sight.where, 100)}"
    yield "signs of copies, which do not count for the printing:"
    for name, sight in cards.signs.items():
        yield f"  {name}: {sight.feature.name}. {clip(sight.where, 100)}"
    yield told.CAUTION
