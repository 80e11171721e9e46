"""What people type for what they saw: names completed, words taken for states, codes taken apart.

Everything that was not typed exactly is told in ``notes``. What cannot be understood is a UsageError that
says what there is; nothing is guessed where two things may be meant.

>>> from cardref.identification.cards import By, card_table
>>> from cardref.reference import load
>>> cards = card_table(load().index, "tidewrack", By.BACK)
>>> entry = entered(cards, "rope", "4mm")
>>> entry.name, dict(entry.values), entry.notes
('rope-length', {'rope-length': Length('4 mm')}, ('rope taken for rope-length',))
>>> dict(entered(cards, "code", "7K 2046/0?1").values)["code-back"]
('031',)
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from attrs import frozen

from cardref.errors import NotationError, UsageError
from cardref.facts.codebook import CodeBook, codebooks
from cardref.identification.cards import By, CardTable
from cardref.identification.feature import meant
from cardref.identification.reading import BLANKS, COULD_NOT_SEE, DOES_NOT_APPLY, Reading
from cardref.identification.rows import NO_SEGMENT
from cardref.identification.sights import ANOTHER, SEGMENT, Sight
from cardref.index import fold
from cardref.model.feature import PRESENCE, FeatureKind
from cardref.model.kinds import short_id
from cardref.notation.code import PackageCode
from cardref.notation.length import Length
from cardref.text import clip, quoted

__all__ = ["CODE", "Entry", "entered", "feature_named"]

CODE = "code"
"""Not a feature: a code as a whole, which is read segment by segment."""

_SEEN = {"y": 0, "yes": 0, "true": 0, "there": 0, "n": 1, "no": 1, "none": 1, "false": 1, "missing": 1}

# What people call things, where neither name nor title begins so.
_CALLED = {"count": "back-count", "total": "claimed-total", "language": "languages", "stickers": "sticker",
           "company": "maker", "character": "figure"}  # fmt: skip

_NOT_PRINTED = {
    "letter": "a letter is printed on no card: it is what an identification ends with",
    "designation": "a designation is the answer, not something to see; give its count as back-count=25",
    "back": "name what can be seen of the back, such as back-count=25; the letter is the answer",
}


@frozen
class Entry:
    """One thing that somebody said.

    Attributes:
        name: what it is about: a feature, or "code".
        typed: as it was said.
        values: what the features are read as; several for a code.
        notes: what was changed or taken for something else.
    """

    name: str
    typed: str
    values: Mapping[str, object]
    notes: tuple[str, ...] = ()


def entered(cards: CardTable, name: str, value: object) -> Entry:
    """What ``value`` says of the feature called ``name``.

    Args:
        cards: the candidates.
        name: a feature, or the beginning of its name or title; ``code`` for a whole package code.
        value: a text as on the command line, or whatever the engine takes.

    Errors: UsageError, NotationError.
    """
    found, notes = feature_named(cards, name)
    typed = value if isinstance(value, str) else " | ".join(map(str, _several(value)))
    if found == CODE:
        return _code(cards, typed, notes)
    sight = cards.sights.get(found) or cards.signs[found]
    if isinstance(value, str):
        read, more = _typed(cards, sight, value)
        return Entry(found, typed, {found: read}, (*notes, *more))
    if isinstance(value, Reading) or not any(isinstance(one, str) for one in _several(value)):
        return Entry(found, typed, {found: value}, notes)
    states: list[Any] = []
    for one in _several(value):
        read, more = _typed(cards, sight, one) if isinstance(one, str) else (one, ())
        states += _several(read)
        notes = (*notes, *more)
    return Entry(found, typed, {found: tuple(states)}, notes)


def _several(value: object) -> tuple[Any, ...]:
    if isinstance(value, list | tuple | set | frozenset):
        return tuple(value)
    return (value,)


# --- names -----------------------------------------------------------------------------------------------


def feature_named(cards: CardTable, name: str) -> tuple[str, tuple[str, ...]]:
    """The feature that ``name`` means, and a note where it was completed.

    Errors: UsageError with what was probably meant.
    """
    asked = fold(str(name)).replace(" ", "-").replace("_", "-")
    known = {**cards.sights, **cards.signs}
    if asked in known:
        return asked, ()
    if asked == CODE and f"{SEGMENT}layout" in known:
        return CODE, ()
    if asked in _NOT_PRINTED:
        raise UsageError(_NOT_PRINTED[asked])
    found = [_CALLED[asked]] if _CALLED.get(asked) in known else list(_completions(asked, known))
    if len(found) == 1:
        return found[0], (f"{clip(str(name), 40)} taken for {found[0]}",)
    shown = clip(str(name), 60)
    if found:
        raise UsageError(f"{quoted(shown)} may mean {_either(found)}: say which")
    elsewhere = _elsewhere(cards, asked)
    if elsewhere:
        raise UsageError(elsewhere)
    raise UsageError(
        f"there is no feature {quoted(shown)}{meant(asked, known)}; `cardref identify --features` lists all"
    )


def _completions(asked: str, known: Mapping[str, Sight]) -> Iterator[str]:
    if len(asked) < 2:
        return
    begins = [name for name in known if name.startswith(asked)]
    titled = [name for name, sight in known.items() if fold(sight.feature.name).replace(" ", "-") == asked]
    yield from dict.fromkeys(titled or begins or (name for name in known if asked in name.split("-")))


def _elsewhere(cards: CardTable, asked: str) -> str:
    """Why a feature that the catalogue has is not asked for here; "" where it has none of that name."""
    if asked not in cards.rows.catalogue:
        return ""
    if cards.by is By.BACK:
        return f"{quoted(asked)} is recorded of no back: identify by card to use it"
    return f"{quoted(asked)} is recorded of none of these cards, so it cannot tell them apart"


def _either(names: Iterable[str], most: int = 6) -> str:
    known = list(names)
    if len(known) > most:
        known = [*known[: most - 1], f"{len(known) - most + 1} more"]
    return " or ".join(known)


# --- values ----------------------------------------------------------------------------------------------


def _typed(cards: CardTable, sight: Sight, text: str) -> tuple[object, tuple[str, ...]]:
    """What a typed value stands for, and what was changed."""
    bare = text.strip()
    if bare in BLANKS:
        return BLANKS[bare], ()
    values: list[Any] = []
    notes: list[str] = []
    for part in bare.split("|"):
        found, changed = _one(cards, sight, part.strip())
        values += found
        notes += changed
    distinct = list(dict.fromkeys(values))
    return (distinct[0] if len(distinct) == 1 else tuple(distinct)), tuple(dict.fromkeys(notes))


def _one(cards: CardTable, sight: Sight, text: str) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    kind, name = sight.feature.kind, sight.id
    if not text:
        raise UsageError(f"nothing is said of {quoted(name)}: give what was seen, or ? where it was not")
    if kind is FeatureKind.LENGTH:
        return _length(text)
    if kind is FeatureKind.PRESENCE:
        return _presence(sight, text)
    if kind is FeatureKind.COUNT:
        if name == "claimed-total" and fold(text) in ("none", "nothing", "no"):
            return (DOES_NOT_APPLY,), ()
        return (sight.feature.state(text),), ()
    if name in ("languages", "languages-front"):
        return _languages(sight, text)
    if name.startswith(SEGMENT) and name != f"{SEGMENT}layout":
        return _segment(sight, text)
    return _choice(cards, sight, text)


def _length(text: str) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    try:
        return (Length.parse(text),), ()
    except NotationError as error:
        if len(error.suggestions) != 1:
            raise
        return (Length.parse(error.suggestions[0]),), (f"{clip(text, 40)} taken for {error.suggestions[0]}",)


def _presence(sight: Sight, text: str) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    word = fold(text)
    if word in _SEEN:
        return (PRESENCE[_SEEN[word]],), ()
    near = [state for state in PRESENCE if len(word) > 1 and state.startswith(word)]
    return (sight.feature.state(near[0] if near else word),), ()


def _slug(text: str) -> str:
    return fold(text).replace(" ", "-").replace("_", "-")


def _choice(cards: CardTable, sight: Sight, text: str) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    states = sight.feature.states
    asked = _slug(text)
    by_slug = {_slug(state): state for state in states}
    if asked in by_slug:
        return (by_slug[asked],), ()
    called = [state for state, label in sight.labels.items() if _slug(label) == asked]
    if not called:
        called = _recorded(cards, sight, text)
    if called:
        none = f"{clip(text, 40)} is recorded on none of these: taken for {ANOTHER}"
        return tuple(called), ((none,) if called == [ANOTHER] else ())
    begun = _begun(sight, by_slug, asked)
    if len(begun) == 1:
        return (begun[0],), (f"{clip(text, 40)} taken for {begun[0]}",)
    shown = clip(text, 60)
    if begun:
        raise UsageError(f"{quoted(sight.id)}: {quoted(shown)} may mean {_either(begun)}: say which")
    end = f" (or {ANOTHER}, where it is none of these)" if ANOTHER in states else ""
    named = [state for state in states if state != ANOTHER]
    raise UsageError(f"{quoted(sight.id)} cannot be {quoted(shown)}{meant(asked, named)}{end}")


def _begun(sight: Sight, by_slug: Mapping[str, str], asked: str) -> list[str]:
    """The states that begin so, by name or label; else those that have such a word in their name."""
    if len(asked) < 2:
        return []
    begun = [state for slug, state in by_slug.items() if slug.startswith(asked)]
    begun += [state for state, label in sight.labels.items() if _slug(label).startswith(asked)]
    worded = (state for slug, state in by_slug.items() if asked in slug.split("-"))
    return list(dict.fromkeys(begun or worded))


def _recorded(cards: CardTable, sight: Sight, text: str) -> list[str]:
    """The states that a record's name means, in any language; "another" where none of these is a state."""
    kind = {"series-front": "series", "series-back": "series"}.get(sight.id, sight.id)
    if kind == "maker":
        found = cards.index.maker_named(text)
    elif kind in ("figure", "series", "sticker"):
        found = tuple(full for full in cards.index.find(text, (kind,)) if full.startswith(f"{cards.line}/"))
    else:
        return []
    states = [short_id(full) for full in found if short_id(full) in sight.feature.states]
    return states or ([ANOTHER] if found else [])


def _languages(sight: Sight, text: str) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    """Recorded sets of languages: the one that was named, else those that hold all that were."""
    open_ended = text.endswith("+")
    tags = {part.strip().lower() for part in text.replace(",", "+").split("+") if part.strip()}
    if text.strip().lower() == ANOTHER:
        return (ANOTHER,), ()
    known = {state: set(state.lower().split("+")) for state in sight.feature.states if state != ANOTHER}
    exact = [state for state, those in known.items() if those == tags]
    if exact and not open_ended:
        return tuple(exact), ()
    holding = [state for state, those in known.items() if tags <= those]
    if holding and tags:
        return tuple(holding), ((f"{clip(text, 40)} taken for {_either(holding)}",) if not open_ended else ())
    spoken = sorted({tag for those in known.values() for tag in those})
    odd = tags - set(spoken)
    if odd or not tags:
        raise UsageError(
            f"{quoted(sight.id)}: {quoted(clip(text, 60))} is none of the recorded languages"
            f"{meant(min(odd, default=''), spoken)} (joined by +; or {ANOTHER}, where it is none of these)"
        )
    return (ANOTHER,), (f"{clip(text, 40)} stand together on none of these",)


# --- codes -----------------------------------------------------------------------------------------------


def _segment(sight: Sight, text: str) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    """The recorded texts that a segment may be; "another" where it is near to none of them."""
    known = [state for state in sight.feature.states if state not in (ANOTHER, NO_SEGMENT)]
    if text in sight.feature.states:
        return (text,), ()
    asked = "".join(sign for sign in text.upper() if sign.isalnum() or sign == "?")
    if asked in known:
        return (asked,), ()
    if not asked or set(asked) == {"?"}:
        return tuple(sight.feature.states), ()  # says nothing
    if "?" in asked:
        fitting = [state for state in known if _wrong_signs(asked, state) == 0]
        return (tuple(fitting), ()) if fitting else ((ANOTHER,), (_none_like(asked, sight),))
    padded = [state for state in known if asked.isdigit() and state == asked.zfill(len(state))]
    if padded:
        return tuple(padded), (f"{asked} taken for {_either(padded)}",)
    near = [state for state in known if _wrong_signs(asked, state) == 1]
    if near:
        return tuple(near), (f"{asked} is recorded nowhere: taken for {_either(near)}, one sign misread",)
    return (ANOTHER,), (_none_like(asked, sight),)


def _none_like(text: str, sight: Sight) -> str:
    return f"{clip(text, 20)} is like no recorded {sight.id.removeprefix(SEGMENT)} of a code"


def _wrong_signs(seen: str, state: str) -> int:
    """In how many signs two texts differ; unread signs differ from none. Large for different lengths."""
    if len(seen) != len(state):
        return 99
    return sum(a not in ("?", b) for a, b in zip(seen, state, strict=True))


def _code(cards: CardTable, text: str, notes: tuple[str, ...]) -> Entry:
    bare = text.strip()
    if bare in BLANKS or fold(bare) in ("none", "no"):
        value = COULD_NOT_SEE if BLANKS.get(bare) is COULD_NOT_SEE else PRESENCE[1]
        return Entry(CODE, text, {"code-printed": value}, notes)
    if fold(bare) in ("yes", "present"):
        return Entry(CODE, text, {"code-printed": PRESENCE[0]}, notes)
    fits: list[tuple[CodeBook, PackageCode]] = []
    changed: list[str] = []
    for part in bare.split("|"):
        found, told = _readings(cards, part.strip())
        fits += found
        changed += told
    if not fits:
        books = _books(cards)
        samples = _either(dict.fromkeys(cards.sights["code-layout"].labels.values()))
        if not books:
            raise UsageError("no code scheme of this line is recorded: give what else can be seen")
        raise UsageError(
            f"{quoted(bare)} is written like no code of this line ({samples}, 0 a digit, A a letter, X "
            "either); give ? for a sign that cannot be read, a part of it as code-back=031 or the like, or "
            f"code-layout={ANOTHER}"
        )
    values: dict[str, object] = {"code-layout": tuple({short_id(book.scheme.id): None for book, _ in fits})}
    for name in cards.rows.segments:
        sight = cards.sights.get(SEGMENT + name)
        if sight is None:
            continue
        states: list[Any] = []
        for _, code in fits:
            read, notes_of = _of_code(sight, code.segments.get(name))
            states += read
            changed += notes_of
        # Where no scheme that fits has such a segment, the layout has said so.
        if set(states) < set(sight.feature.states) and set(states) != {NO_SEGMENT}:
            values[sight.id] = tuple(dict.fromkeys(states))
    layouts = cards.sights["code-layout"].feature.states
    values["code-layout"] = tuple(one for one in _several(values["code-layout"]) if one in layouts) or (
        ANOTHER,
    )
    return Entry(CODE, text, values, (*notes, *dict.fromkeys(changed)))


def _of_code(sight: Sight, text: str | None) -> tuple[tuple[Any, ...], tuple[str, ...]]:
    if text is not None:
        return _segment(sight, text)
    states = sight.feature.states
    return ((NO_SEGMENT if NO_SEGMENT in states else ANOTHER,), ())


def _books(cards: CardTable) -> list[CodeBook]:
    return [book for book in codebooks(cards.index).values() if book.line == cards.line]


def _readings(cards: CardTable, text: str) -> tuple[list[tuple[CodeBook, PackageCode]], list[str]]:
    """The codes that ``text`` can be: exact ones, else those that need the fewest changes."""
    exact = [(book, code) for book in _books(cards) if (code := book.printed(text)) is not None]
    if exact:
        return exact, []
    kindly = []
    for book in _books(cards):
        seen = PackageCode.read(text[:100], book.layout)
        if seen.value is not None and any(sign.isalnum() for sign in seen.value.text):
            kindly.append((len(seen.changes), book, seen))
    if not kindly:
        return [], []
    fewest = min(count for count, _, _ in kindly)
    best = [(book, seen) for count, book, seen in kindly if count == fewest]
    notes = dict.fromkeys(str(change) for _, seen in best for change in seen.changes)
    return [(book, seen.value) for book, seen in best if seen.value is not None], list(notes)
