"""``cardref show ID``: one record, what follows from it, and its sources."""

import argparse
from collections.abc import Iterable, Iterator

from attrs import frozen

from cardref.cli.common import add_dataset, add_format, open_reference, print_json
from cardref.errors import AmbiguousRecord, UnknownRecord
from cardref.facts.bounds import Bounds, released
from cardref.facts.called import called, listed, some
from cardref.facts.pictures import pictures_of
from cardref.facts.printings import earlier_backs, first_back
from cardref.facts.printings import run as run_of
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.figure import Figure
from cardref.model.kinds import Record, short_id
from cardref.model.maker import Maker
from cardref.reference import Reference
from cardref.storage.plain import plain
from cardref.text import clip, columns, count_of, visible

SUMMARY = "Show one record, what follows from it, and its sources."
EXAMPLE = "cardref show 'quay-marl 25B'"


@frozen
class Derived:
    """One thing that follows from the records: what it is, in words, and the records it stands on."""

    name: str
    words: str
    records: tuple[str, ...] = ()


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("id", nargs="+", help="an id, a name, or maker and designation")
    add_dataset(parser)
    add_format(parser, "text", "json")


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    reference = open_reference(args)
    asked = " ".join(args.id)
    full = _one(reference, asked)
    record = reference.index.get(full)
    assert record is not None  # noqa: S101 - just found
    derived = list(_derived(reference.index, full, record))
    if args.format == "json":
        print_json(
            {
                "kind": reference.kind_of(full),
                "record": plain(record),
                "derived": [{"name": d.name, "words": d.words, "records": list(d.records)} for d in derived],
                "sources": [plain(reference.sources[s]) for s in _sources(record) if s in reference.sources],
                "layer": reference.layer_of(full),
            }
        )
        return 0
    for gone in reference.index.retired_named(asked):
        if gone != full and full in reference.index.current(gone):
            tombstone = reference.index.retired[gone]
            print(visible(f"{gone} is retired ({tombstone.reason}); this took its place:"))
    print("\n".join(_text(reference, full, record, derived)))
    return 0


def _one(reference: Reference, asked: str) -> str:
    found = reference.index.find(asked)
    if len(found) == 1:
        return found[0]
    if found:
        raise AmbiguousRecord(asked, found)
    for gone in reference.index.retired_named(asked):
        reason = reference.index.retired[gone].reason
        raise UnknownRecord(
            asked, otherwise=f"it was retired, and nothing took its place: {clip(reason, 200)}"
        )
    raise UnknownRecord(asked, "record", reference.index.suggest(asked))


def _sources(record: Record) -> tuple[str, ...]:
    own: tuple[str, ...] = getattr(record, "sources", ())
    sides = (source for side in getattr(record, "sides", ()) for source in side.sources)
    seen = (sighting.source for sighting in getattr(record, "sightings", ()))
    return tuple(dict.fromkeys((*own, *sides, *seen)))


# --- what follows ----------------------------------------------------------------------------------------


def _derived(index: Index, full: str, record: Record) -> Iterator[Derived]:
    if isinstance(record, Back):
        yield from _of_back(index, record)
    elif isinstance(record, Face):
        cards = index.cards_by_face.get(full, ())
        yield Derived("cards", f"on {count_of(len(cards), 'card')}: {_named(index, cards)}", cards)
    elif isinstance(record, Card):
        yield from _of_card(index, record)
    elif isinstance(record, Figure):
        yield from _of_figure(index, full)
    elif isinstance(record, Maker):
        backs = tuple(back.id for back in index.backs.values() if back.maker == short_id(full))
        yield Derived(
            "backs", f"{count_of(len(backs), 'back')} recorded: {_designations(index, backs)}", backs
        )


def _of_back(index: Index, back: Back) -> Iterator[Derived]:
    line, maker, _ = back.id.split("/")
    yield _release(index, back.id)
    seen = pictures_of(index).get(back.id)
    if seen is not None:
        yield Derived(
            "pictures", f"{count_of(seen.shown, 'picture')}: {some(index, seen.figures, 12)}", seen.figures
        )
    siblings = tuple(i for i in index.backs_by_group[line, maker, back.count] if i != back.id)
    if siblings:
        yield Derived("siblings", f"same count: {_designations(index, siblings)}", siblings)
    earlier = earlier_backs(index, back.id)
    perhaps = f", perhaps {len(earlier.perhaps)} more" if earlier.perhaps else ""
    yield Derived(
        "earlier",
        f"{count_of(len(earlier.surely), 'back')} of this maker came before{perhaps}",
        earlier.surely,
    )
    cards = index.cards_by_back.get(back.id, ())
    yield Derived("cards", f"{count_of(len(cards), 'front')} known on it: {_named(index, cards)}", cards)


def _of_card(index: Index, card: Card) -> Iterator[Derived]:
    face, back = index.faces.get(card.face), index.backs.get(card.back)
    if face is not None:
        yield Derived("front", f"{called(index, face.id)}; code {_code(face)}", (face.id,))
    if back is not None:
        yield Derived("back", called(index, back.id), (back.id,))
    yield _release(index, card.id)
    if card.seen:
        yield Derived("seen", f"{count_of(card.seen, 'specimen')} recorded")


def _code(face: Face) -> str:
    if face.printed_codes:
        return " ".join(face.printed_codes)
    return {"none": "none printed", "unread": "hidden, not read"}.get(str(face.codes), "not recorded")


def _of_figure(index: Index, figure: str) -> Iterator[Derived]:
    faces = index.faces_by_figure.get(figure, ())
    cards = index.cards_of(figure)
    yield Derived(
        "fronts", f"{count_of(len(faces), 'front')}, {count_of(len(cards), 'card')} recorded", faces
    )
    makers = dict.fromkeys(f"maker/{index.backs[back].maker}" for back in run_of(index, figure))
    for maker in makers:
        first = first_back(index, figure, maker)
        yield Derived("first back", f"{short_id(maker)}: {first.because}", first.records)


def _release(index: Index, full: str) -> Derived:
    return Derived("reached the shops", _between(released(index, full)))


def _between(bounds: Bounds) -> str:
    early, late = bounds.earliest, bounds.latest
    if early is None and late is None:
        return "nothing recorded tells when"
    words = []
    for word, limit in (("not before", early), ("not after", late)):
        if limit is not None:
            words.append(f"{word} {'about ' if limit.about else ''}{limit.day} ({limit.because})")
    return ", ".join(words)


def _named(index: Index, cards: Iterable[str]) -> str:
    return listed([called(index, card) for card in cards], 4) or "none"


def _designations(index: Index, backs: Iterable[str]) -> str:
    return listed([str(index.backs[back].designation) for back in backs], 16)


# --- text ------------------------------------------------------------------------------------------------


def _text(reference: Reference, full: str, record: Record, derived: list[Derived]) -> Iterator[str]:
    yield called(reference.index, full)
    yield f"  id: {full} ({reference.kind_of(full)})"
    yield from _layer(reference, full)
    said = {
        key: value
        for key, value in plain(record).items()
        if key not in ("id", "features", "sources", "sides")
    }
    for key, value in said.items():
        yield f"  {key.replace('_', ' ')}: {clip(_words(value), 300)}"
    features = plain(record).get("features", {})
    if isinstance(features, dict) and features:
        yield "  features: " + ", ".join(f"{k} {_words(v)}" for k, v in features.items())
    if derived:
        yield "what follows"
    width = max((columns(d.name) for d in derived), default=0)
    for item in derived:
        yield f"  {item.name:{width}}  {clip(item.words, 300)}"
    yield from _support(reference, record)


def _layer(reference: Reference, full: str) -> Iterator[str]:
    """Which of several datasets the record comes from."""
    names = reference.layers
    if len(names) > 1:
        below = names[names.index(reference.layer_of(full)) + 1 :]
        over = f", which lies over {listed(map(visible, below))}" if below else ""
        yield f"  from: {visible(reference.layer_of(full))}{over}"


def _words(value: object) -> str:
    if isinstance(value, dict):
        return "; ".join(f"{key.replace('_', ' ')} {_words(item)}" for key, item in value.items())
    if isinstance(value, list):
        return ", ".join(_words(item) for item in value)
    text = str(value)
    return short_id(text) if text.count("/") in (1, 2) and " " not in text and text.islower() else text


def _support(reference: Reference, record: Record) -> Iterator[str]:
    for side in getattr(record, "sides", ()):
        who = ", ".join(map(short_id, side.sources)) or "no source"
        yield f"disputed: {clip(side.claim, 200)} ({who})"
    sources = _sources(record)
    if sources:
        yield "sources"
    for source in sources:
        known = reference.sources.get(source)
        words = "unknown"
        if known is not None:
            date = f", {known.date}" if known.date else ""
            words = f"{known.citation} ({known.kind.value}{date})"
        yield f"  {short_id(source)}: {clip(words, 200)}"
