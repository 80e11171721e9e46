"""``cardref identify [FEATURE=READING ...]``: which printing it is, and what to look at next."""

import argparse
import sys
from collections.abc import Iterator, Mapping

from cardref.cli.common import add_dataset, add_format, open_reference, print_json
from cardref.errors import NotationError, UsageError
from cardref.identification import told, words
from cardref.identification.answer import Candidate, Ending, percent
from cardref.identification.identify import Identification
from cardref.identification.sights import ANOTHER, CardLook
from cardref.model.feature import FeatureKind
from cardref.reference import Reference
from cardref.text import clip, count_of, quoted

SUMMARY = (
    "Say which printing a card is, from what can be seen of it, in any order; one misread does not rule the "
    "right one out. The letter is the answer, never something to see."
)
EXAMPLE = """cardref identify maker=quay-marl back-count=25 rope-length='4 mm'
  cardref identify --line tidewrack figure='lamp diver' code='7K 2046/0?1' beam='left|right' gulls=?
  cardref identify --line tidewrack --ask

a|b   one of these      ?   could not see      -   does not apply"""

MOST = 8
"""So many candidates fit on a screen with the rest of the answer."""

LEAST_SHARE = 0.01

LIKELY = 0.5
"""What is more probable than all others together is named first."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument(
        "looks", nargs="*", metavar="FEATURE=READING", help="what was seen; the start of a name is enough"
    )
    parser.add_argument(
        "--line", metavar="LINE", default="", help="the line, where what was seen fits several"
    )
    parser.add_argument(
        "--by", choices=("back", "card"), help="candidates: printed reverses, or fronts on reverses"
    )
    parser.add_argument(
        "--sure", metavar="SHARE", type=float, default=0.95, help="how sure is identified (default: 0.95)"
    )
    parser.add_argument("--most", metavar="N", type=int, default=MOST, help="list at most N (default: 8)")
    parser.add_argument("--ask", action="store_true", help="be asked, on a terminal: the best look first")
    parser.add_argument("--features", action="store_true", help="list what there is to look at, and stop")
    add_dataset(parser)
    add_format(parser, "text", "json")


def run(args: argparse.Namespace) -> int:
    """Print the answer; 1 where what was seen contradicts itself or goes with nothing recorded."""
    if args.most < 1:
        raise UsageError("--most needs a number from 1")
    if args.ask and not sys.stdin.isatty():
        raise UsageError("--ask needs a terminal to ask at: without one give FEATURE=READING")
    line, by, seen = _sorted_out(args)
    reference = open_reference(args)
    if args.ask:
        from cardref.cli.asking import ask, line_asked  # noqa: PLC0415 - only who wants to be asked needs it

        ident = _begun(reference, line or ("" if seen else line_asked(reference)), by, seen, args.sure)
        ident = ask(ident)
    else:
        ident = _begun(reference, line, by, seen, args.sure)
    if args.features:
        print("\n".join(_features(ident)))
        return 0
    if args.format == "json":
        from cardref.identification.as_json import as_json  # noqa: PLC0415 - text needs none

        print_json(
            {
                "format": 1,
                "dataset": reference.name,
                "version": reference.version,
                "fingerprint": reference.fingerprint,
                **as_json(ident, args.most),
            }
        )
    else:
        print("\n".join(answer(ident, args.most)))
    return 1 if ident.contradictions or ident.verdict is Ending.UNRECORDED else 0


def _sorted_out(args: argparse.Namespace) -> tuple[str, str, dict[str, str]]:
    """The line and what the candidates are, where they are said, and what was seen."""
    seen: dict[str, str] = {}
    said = {"line": args.line, "by": args.by or ""}
    for word in args.looks:
        name, equals, value = word.partition("=")
        name = name.strip()
        if not equals or not name:
            raise UsageError(f"{quoted(word)} is not FEATURE=READING; for example back-count=25")
        if name in said:
            if said[name] not in ("", value):
                raise UsageError(f"{name} was given twice, as {quoted(said[name])} and {quoted(value)}")
            said[name] = value
        elif seen.get(name, value) != value:
            both = f"{clip(seen[name], 40)}|{clip(value, 40)}"
            raise UsageError(
                f"{quoted(name)} was given twice, as {quoted(seen[name])} and {quoted(value)}: give the one "
                f"you trust, or {clip(name, 40)}='{both}' for one of the two"
            )
        else:
            seen[name] = value
    return said["line"], said["by"], seen


def _begun(reference: Reference, line: str, by: str, seen: Mapping[str, str], sure: float) -> Identification:
    """By back, unless what was seen can be seen on whole cards only."""
    from cardref.identification.identify import identify  # noqa: PLC0415 - slow, and --help does without

    index = reference.index
    if by:
        return identify(index, line, by, seen, threshold=sure)
    try:
        return identify(index, line, "back", seen, threshold=sure)
    except (UsageError, NotationError):
        try:
            ident = identify(index, line, "card", seen, threshold=sure)
        except (UsageError, NotationError):
            ident = None
        if ident is None:
            raise
        print("by card, for a back alone does not have all that was seen", file=sys.stderr)
        return ident


# --- the answer in words ---------------------------------------------------------------------------------


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


def _features(ident: Identification) -> Iterator[str]:
    cards = ident.cards
    yield f"to tell the {ident.by.value}s of {clip(ident.line, 60)} apart (a whole code: code=...):"
    for name, sight in cards.sights.items():
        yield f"  {name}: {sight.feature.name}. {clip(sight.where, 100)}"
    yield "signs of copies, which do not count for the printing:"
    for name, sight in cards.signs.items():
        yield f"  {name}: {sight.feature.name}. {clip(sight.where, 100)}"
    yield told.CAUTION
