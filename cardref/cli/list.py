"""``cardref list KIND [FIELD=VALUE ...]``: records of a kind as a table."""

import argparse
from collections.abc import Callable, Iterable, Mapping
from enum import Enum
from typing import get_args, get_type_hints

from cardref.cli.common import add_dataset, add_format, open_reference, print_csv, print_json, print_table
from cardref.errors import UsageError
from cardref.facts.pictures import pictured
from cardref.facts.printings import printing_order
from cardref.index import Index, fold
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.kinds import BY_PLURAL, KINDS, Record, short_id
from cardref.storage.plain import plain, plain_value
from cardref.storage.references import links
from cardref.text import clip, closest, count_of, quoted

SUMMARY = "List records of a kind as a table: makers, figures, backs, faces, cards, stickers, sources ..."
EXAMPLE = "cardref list backs maker=quay-marl figure=lamp-diver --first 3"

# Columns of the table, a kind each. JSON has everything; a table has what fits a screen.
_COLUMNS: dict[str, tuple[str, ...]] = {
    "line": ("id", "title", "home", "makers"),
    "series": ("id", "title", "years"),
    "wave": ("id", "maker", "series", "date", "debuts"),
    "figure": ("id", "name", "names"),
    "maker": ("id", "name", "latin", "country", "active"),
    "back": ("id", "designation", "maker", "series", "released", "standing", "cards"),
    "face": ("id", "figure", "maker", "series", "name", "codes", "cards"),
    "card": ("id", "figure", "back", "made", "standing", "seen"),
    "sticker": ("id", "kind", "text", "by"),
    "feature": ("id", "title", "kind", "side", "tool", "effort"),
    "source": ("id", "kind", "date", "citation"),
    "scheme": ("id", "makers", "valid", "where"),
    "reproduction": ("id", "title", "extent", "known"),
    "term": ("id", "word", "what"),
    "tombstone": ("id", "replaced_by", "reason"),
    "waiver": ("rule", "record", "reason", "expires"),
    "dataset": ("id", "title", "version", "licence"),
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("kind", help=f"one of {', '.join(BY_PLURAL)}")
    parser.add_argument(
        "where",
        nargs="*",
        default=[],
        metavar="FIELD=VALUE",
        help="only records that say so; all must hold",
    )
    parser.add_argument(
        "--first", metavar="N", type=_at_least_one, help="only the first N; backs: the earliest"
    )
    add_dataset(parser)
    add_format(parser, "text", "json", "csv")


def _at_least_one(text: str) -> int:
    number = int(text) if text.isascii() and text.isdigit() and len(text) <= 9 else 0
    if number < 1:
        raise argparse.ArgumentTypeError("N is a whole number from 1")
    return number


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    kind = _kind(args.kind)
    index = open_reference(args).index
    tests = [_test(index, kind, *_asked(kind, word)) for word in args.where]
    table: Mapping[str, Record] = index.backs if kind == "back" else index.tables[kind]
    rows = [record for record in table.values() if all(test(record) for test in tests)]
    if kind == "back":
        rows = _in_printing_order(index, rows)
    found, rows = len(rows), rows[: args.first]
    head = (*_COLUMNS[kind], "layer") if index.layers else _COLUMNS[kind]
    if args.format == "json":
        print_json([{**plain(record), **_derived(index, record)} for record in rows])
    elif args.format == "csv":
        print_csv(head, ([_cell(index, record, name, 10_000) for name in head] for record in rows))
    elif rows:
        print_table(head, [[_cell(index, record, name, 44) for name in head] for record in rows])
        left_out = f", the first {len(rows)} shown" if len(rows) < found else ""
        print(f"{count_of(found, KINDS[kind].name, KINDS[kind].plural)}{left_out}")
    else:
        words = " ".join(args.where)
        print(f"no {KINDS[kind].plural} recorded{f' with {clip(words, 200)}' if words else ''}")
    return 0


def _in_printing_order(index: Index, rows: list[Record]) -> list[Record]:
    """Maker by maker, the earliest back first."""
    place = {full: at for at, full in enumerate(i for ids in printing_order(index).values() for i in ids)}
    return sorted(rows, key=lambda record: place[getattr(record, "id", "")])


def _kind(text: str) -> str:
    word = text.strip().lower()
    if word in BY_PLURAL:
        return BY_PLURAL[word].name
    if word in KINDS:
        return word
    near = closest(word, BY_PLURAL, 1)
    hint = f"did you mean {near[0]}?" if near else f"the kinds are {', '.join(BY_PLURAL)}"
    raise UsageError(f"there is no kind {quoted(text)}; {hint}")


def _asked(kind: str, word: str) -> tuple[str, str]:
    """Field and value of a FIELD=VALUE."""
    name, equals, wanted = word.partition("=")
    name = name.strip().replace("-", "_")
    fields = _fields(kind)
    if not equals or not wanted.strip():
        raise UsageError(f"{quoted(word)} is not FIELD=VALUE; for example standing=confirmed")
    if name not in fields:
        near = closest(name, fields, 1)
        hint = f"did you mean {near[0]}?" if near else f"the fields are {', '.join(fields)}"
        raise UsageError(f"{KINDS[kind].plural} have no field {quoted(name)}; {hint}")
    return name, wanted


def _test(index: Index, kind: str, name: str, wanted: str) -> Callable[[Record], bool]:
    """Whether a record says so."""
    _refuse_unknown(index, kind, name, wanted)
    asked, kinds = fold(wanted), _referred(kind, name)
    meant = frozenset(index.find(wanted, kinds) if kinds else ())

    def holds(record: Record) -> bool:
        return any(
            value in meant or _answers_to(index, value, asked) for value in _values(index, record, name)
        )

    return holds


def _fields(kind: str) -> tuple[str, ...]:
    own = list(KINDS[kind].record.__annotations__)
    base = [field for cls in KINDS[kind].record.__mro__ for field in vars(cls).get("__annotations__", {})]
    derived = {
        "back": ("line", "maker", "figure"),
        "face": ("line", "maker"),
        "card": ("line", "maker", "figure", "series"),
    }
    return tuple(dict.fromkeys([*own, *base, *derived.get(kind, ("line",)), "layer"]))


def _referred(kind: str, name: str) -> tuple[str, ...]:
    """The kinds of the records that a field names; () for a field that names none."""
    if name in ("figure", "maker", "series", "line"):
        return (name,)
    return tuple(
        of for link in links(kind) if link.path == (name,) and link.on == "value" for of in link.kinds
    )


def _refuse_unknown(index: Index, kind: str, name: str, wanted: str) -> None:
    """What no record can say, such as a misspelt figure, must not look like an empty answer."""
    kinds, words = _referred(kind, name), _words(index, kind, name)
    if name == "layer" and not words:
        raise UsageError("there are no layers here: lay a dataset over another with --over")
    if kinds and not index.find(wanted, kinds):
        near = [name for of in kinds for name in index.suggest(wanted, of)][:3]
        plural = KINDS[kinds[0]].plural
        hint = (
            f"did you mean {' or '.join(map(short_id, near))}?"
            if near
            else f"`cardref list {plural}` lists them"
        )
        raise UsageError(f"no {' or '.join(kinds)} is called {quoted(wanted)}; {hint}")
    if words and fold(wanted) not in map(fold, words):
        raise UsageError(f"{name} is one of {', '.join(words)}, not {quoted(wanted)}")
    if name == "count" and not wanted.strip().isdecimal():
        raise UsageError(f"count is a whole number such as 25, not {quoted(wanted)}")


def _words(index: Index, kind: str, name: str) -> tuple[str, ...]:
    """The words that a field is limited to; () for a field that is not."""
    if name == "layer":
        return index.layers
    hint = get_type_hints(KINDS[kind].record).get(name)
    choices = [of for of in (hint, *get_args(hint)) if isinstance(of, type) and issubclass(of, Enum)]
    return tuple(str(one.value) for of in choices for one in of)


def _answers_to(index: Index, value: str, asked: str) -> bool:
    if fold(value) == asked or fold(short_id(value)) == asked:
        return True
    return asked in index.names and value in index.names[asked]


def _line_of(record: Record) -> str:
    full: str = getattr(record, "id", "")
    return full.partition("/")[0]


def _values(index: Index, record: Record, name: str) -> Iterable[str]:
    """The values of a field, derived ones included, as texts."""
    if name == "line":
        return (_line_of(record),)
    if name == "maker" and isinstance(record, Back | Face | Card):
        return (f"maker/{record.maker}",)
    if name == "layer":
        return (_layer(index, record),)
    if name == "figure" and isinstance(record, Back):
        seen = pictured(index.backs, record)
        return seen.figures if seen else ()
    if isinstance(record, Card) and name in ("figure", "series"):
        face = index.faces.get(record.face)
        return (getattr(face, name),) if face else ()
    value = plain(record).get(name, ())
    if isinstance(value, dict):
        return tuple(str(v) for pair in value.items() for v in pair)
    return tuple(map(str, value)) if isinstance(value, list) else (str(value),)


def _derived(index: Index, record: Record) -> dict[str, object]:
    """What a row says beyond the record's own fields."""
    found: dict[str, object] = {}
    if isinstance(record, Back):
        found = {"maker": record.maker, "cards": len(index.cards_by_back.get(record.id, ()))}
    elif isinstance(record, Face):
        found = {"maker": record.maker, "cards": len(index.cards_by_face.get(record.id, ()))}
    elif isinstance(record, Card):
        face = index.faces.get(record.face)
        found = {"maker": record.maker, "figure": face.figure if face else "", "seen": record.seen}
    return {**found, "layer": _layer(index, record)} if index.layers else found


def _layer(index: Index, record: Record) -> str:
    """The layer that a record comes from; "" where there is only one."""
    return index.origin.get(getattr(record, "id", ""), "")


def _cell(index: Index, record: Record, name: str, width: int) -> str:
    if name == "back" and isinstance(record, Card) and record.back in index.backs:
        back = index.backs[record.back]
        return str(back.designation) if back.maker == record.maker else back.label
    if name == "figure" and isinstance(record, Card):
        return short_id(str(_derived(index, record)["figure"]))
    if name == "name" and not isinstance(record, Face):
        return clip(getattr(record, name), width)
    if name == "names":
        return clip(", ".join(dict.fromkeys(n.text for n in getattr(record, name)[1:])), width)
    value = _derived(index, record).get(name, plain_value(getattr(record, name, "")))
    # An id is shown short; only a field that refers holds ids, and a date with a stroke is none.
    refers = name in ("figure", "maker") or any(link.path == (name,) for link in links(_kind_of(record)))
    items = value if isinstance(value, list) else [value]
    words = (short_id(str(item)) if refers else str(item) for item in items if item is not None)
    return clip(", ".join(words), width)


def _kind_of(record: Record) -> str:
    return type(record).__name__.lower()
