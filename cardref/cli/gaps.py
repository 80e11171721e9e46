"""``cardref gaps``: what cannot be told apart, what is unrecorded, and which look would help most."""

import argparse
from collections.abc import Iterator

from cardref.cli.common import add_dataset, add_format, open_reference, print_csv, print_json
from cardref.errors import UnknownRecord, UsageError
from cardref.facts.called import figure_name, listed
from cardref.gaps.as_json import COLUMNS, as_json, as_rows
from cardref.gaps.find import CLAIMED, Gaps, OpenCard, Pair, PairKind, Unknown, gaps
from cardref.index import Index
from cardref.model.kinds import short_id
from cardref.text import clip, count_of

SUMMARY = (
    "Say where the reference is blind, and what to record next. Told are backs that nothing tells apart, or "
    "one look only, and states and cards that nobody recorded."
)
EXAMPLE = "cardref gaps --maker quay-marl --most 5"

MOST = 8


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("--line", default="", help="only this line")
    parser.add_argument("--maker", default="", help="only this maker's backs and cards")
    parser.add_argument(
        "--most", metavar="N", type=int, default=MOST, help="list at most N of a sort as text (default: 8)"
    )
    add_dataset(parser)
    add_format(parser, "text", "json", "csv")


def run(args: argparse.Namespace) -> int:
    """Print the answer. Gaps are no fault: the status is 0."""
    if args.most < 1:
        raise UsageError("--most needs a number from 1")
    reference = open_reference(args)
    index = reference.index
    line = getattr(index.one(args.line, "line"), "id", "") if args.line else ""
    found = gaps(index, line, _maker(index, args.maker))
    if args.format == "json":
        print_json(
            {
                "format": 1,
                "dataset": reference.name,
                "version": reference.version,
                "fingerprint": reference.fingerprint,
                **as_json(found),
            }
        )
    elif args.format == "csv":
        print_csv(COLUMNS, as_rows(found))
    else:
        print("\n".join(_text(index, found, args.most)))
    return 0


def _maker(index: Index, text: str) -> str:
    if not text:
        return ""
    found = index.maker_named(text)
    if len(found) != 1:
        near = [short_id(one) for one in index.suggest(text, "maker")]
        raise UnknownRecord(text, "maker", near, "`cardref list makers` lists them")
    return short_id(found[0])


def _text(index: Index, found: Gaps, most: int) -> Iterator[str]:
    if not found.backs:
        yield "no backs are recorded: nothing was compared"
        return
    yield from _next(index, found.next)
    yield from _pairs(index, found, most)
    useful = [one for one in found.unknown if one.separates or one.strengthens]
    if len(useful) > 1:
        yield f"{count_of(len(useful), 'state')} that nobody recorded would help, the most useful first:"
        yield from _within((_state(index, one) for one in useful), most)
    idle = len(found.unknown) - len(useful)
    if idle:
        yield f"{count_of(idle, 'more state')} not recorded, of backs that several looks tell from all others"
    yield from _cards(index, found.cards, most)


def _within(lines: Iterator[str], most: int) -> Iterator[str]:
    shown = 0
    for line in lines:
        shown += 1
        if shown <= most:
            yield f"  {line}"
    if shown > most:
        yield f"  and {shown - most} more (--most {shown}, or --format csv)"


def _label(index: Index, full: str) -> str:
    back = index.backs.get(full)
    return clip(back.label, 80) if back else clip(full, 80)


def _next(index: Index, one: Unknown | None) -> Iterator[str]:
    if one is None:
        yield "nothing more to record of any back would help to tell it from another"
        return
    name = "" if one.feature == CLAIMED else f" ({clip(one.feature, 40)})"
    tool = "" if one.tool == "eye" else f", with {one.tool}"
    yield f"record next: {clip(one.title, 60)}{name} of {_label(index, one.back)}{tool}"
    yield f"  why: {_why(index, one)}"
    yield f"  where: {clip(one.where, 120)}"
    yield f"  how: {clip(one.how, 200)}"


def _why(index: Index, one: Unknown) -> str:
    if not one.from_backs:
        return "it may tell it from others once more"
    names = listed((_label(index, back) for back in one.from_backs), 5)
    if one.separates:
        why = f"nothing recorded tells it from {names} now"
        if one.strengthens:
            why = f"nothing recorded, or one look only, tells it from {names} now"
    else:
        why = f"one look only, or signs of copies, tell it from {names} now"
    if one.also:
        why += f"; to be recorded of {listed((_label(index, back) for back in one.also), 4)} as well"
    return why


def _state(index: Index, one: Unknown) -> str:
    from_backs = listed((_label(index, back) for back in one.from_backs), 3)
    also = ", to be recorded of both" if one.also else ""
    chance = f"{one.separates + one.strengthens:.2f}"
    return (
        f"{chance}  {_label(index, one.back)} {clip(one.feature, 40)}: might tell it from {from_backs}{also}"
    )


_SAYS = {
    PairKind.NEVER: ("pair", "of backs that nothing recorded tells apart"),
    PairKind.SIGNS: ("pair", "that only signs of copies tell apart"),
    PairKind.ONCE: ("pair", "that one look alone tells apart, the most fragile first"),
}


def _pairs(index: Index, found: Gaps, most: int) -> Iterator[str]:
    hard = [pair for pair in found.pairs if pair.kind is not PairKind.ONCE]
    if not hard:
        compared = count_of(found.compared, "pair")
        yield f"every pair of backs with one count is told apart by something ({compared} compared)"
    for kind, (noun, says) in _SAYS.items():
        of_kind = [pair for pair in found.pairs if pair.kind is kind]
        if of_kind:
            yield f"{count_of(len(of_kind), noun)} {says}:"
            yield from _within((_pair(index, pair) for pair in of_kind), most)


def _pair(index: Index, pair: Pair) -> str:
    other = index.backs[pair.other].designation
    names = f"{_label(index, pair.one)}, {other}"
    if pair.kind is PairKind.ONCE:
        return f"{names}: {clip(pair.by[0], 40)}, misread {pair.misread:.0%} of the time"
    if pair.kind is PairKind.SIGNS:
        return f"{names}: {listed(pair.by, 4)}"
    if pair.close:
        return f"{names}: {listed(pair.close, 3)} differs by less than its tool can tell"
    if pair.unknown:
        return f"{names}: recorded of one only: {listed(pair.unknown, 5)}"
    return f"{names}: all that is recorded is alike; another difference is wanted"


def _cards(index: Index, cards: tuple[OpenCard, ...], most: int) -> Iterator[str]:
    absent = [card for card in cards if card.standing is None]
    doubtful = [card for card in cards if card.standing is not None]
    if absent:
        yield f"{count_of(len(absent), 'card')} could exist, recorded neither as seen nor as refuted:"
        yield from _within(_by_back(index, absent), most)
    if doubtful:
        yield f"{count_of(len(doubtful), 'card')} recorded, but neither confirmed nor refuted:"
        yield from _within(_by_back(index, doubtful), most)


def _by_back(index: Index, cards: list[OpenCard]) -> Iterator[str]:
    """A line for each back, those with the fewest first: they are the nearest to being complete."""
    groups: dict[str, list[OpenCard]] = {}
    for card in cards:
        groups.setdefault(card.back, []).append(card)
    for back, group in sorted(groups.items(), key=lambda pair: len(pair[1])):
        names = listed((_named(index, card) for card in group), 4)
        yield f"{_label(index, back)}: {names}"


def _named(index: Index, card: OpenCard) -> str:
    name = figure_name(index, card.figure)
    return name if card.standing is None else f"{name} ({card.standing.value})"
