"""Two names or ids differ only in signs that look alike."""

from collections.abc import Iterable, Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.lookalikes import id_skeleton, skeleton
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.figure import Figure
from cardref.model.kinds import KINDS, Scope
from cardref.model.maker import Maker
from cardref.notation.folding import fold
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entries in _by_line(corpus.records("figure", Figure)).values():
        names = (
            (name.text, entry, ("names", number, "text"))
            for entry, figure in entries
            for number, name in enumerate(figure.names)
        )
        yield from _alike(corpus, names)
    yield from _alike(
        corpus, ((maker.name, entry, ("name",)) for entry, maker in corpus.records("maker", Maker))
    )
    yield from _ids(corpus)


def _by_line(records: Iterable[tuple[Entry, Figure]]) -> dict[str, list[tuple[Entry, Figure]]]:
    found: dict[str, list[tuple[Entry, Figure]]] = {}
    for entry, figure in records:
        found.setdefault(entry.file.line, []).append((entry, figure))
    return found


def _alike(corpus: Corpus, names: Iterable[tuple[str, Entry, Pointer]]) -> Iterator[Hit]:
    seen: dict[str, dict[str, tuple[Entry, Pointer]]] = {}
    for text, entry, pointer in names:
        seen.setdefault(skeleton(text), {}).setdefault(text, (entry, pointer))
    for spellings in seen.values():
        if len(spellings) == 1:
            continue
        # Equal but for case, accents and spaces is another rule's matter.
        folded: dict[str, str] = {}
        for text in spellings:
            folded.setdefault(fold(text), text)
        first, *others = folded.values()
        one, there = spellings[first]
        for text in others:
            entry, pointer = spellings[text]
            yield Hit(
                entry,
                f"{corpus.named(entry)} is called {quoted(text)}, which looks like {quoted(first)} of "
                f"{corpus.named(one)}: write both in the same way, or correct one",
                pointer,
                value=text,
                also=(Also(one, "looks alike", there),),
            )


def _ids(corpus: Corpus) -> Iterator[Hit]:
    for kind, entries in corpus.loaded.entries.items():
        if KINDS[kind].scope is Scope.NONE:
            continue
        key = _numbered if KINDS[kind].scope is Scope.MAKER else id_skeleton
        seen: dict[object, Entry] = {}
        for entry in entries:
            if not entry.id:
                continue
            first = seen.setdefault(key(entry.id), entry)
            if first.id != entry.id:
                yield Hit(
                    entry,
                    f"{kind} {quoted(entry.id)} looks like {quoted(first.id)}: give one another id, or merge "
                    "them",
                    ("id",),
                    value=entry.id,
                    also=(Also(first, "looks alike", ("id",)),),
                )


def _numbered(full: str) -> object:
    """A maker's ids are numbers behind a letter, thousands of them: only zeros in front can mislead."""
    head, _, number = full.rpartition("-")
    return head, number.lstrip("0")


RULE = Rule(
    id="lookalike-name",
    family="identity",
    severity=Severity.WARNING,
    summary="Two names or ids differ only in signs that look alike.",
    rationale=(
        "Lamp Diver, Lampdiver and a Lamp Diver with a Cyrillic letter look alike to a reader and are "
        "three things to a program. Mostly one of them is a slip."
    ),
    check=_check,
    good=Example(
        "makers.yaml",
        """\
makers:
  - {id: pell-orrin, name: Pell & Orrin Playthings, country: IE, languages: [en], active: 1981/1984}
  - {id: morvane, name: Morvane Jouets, country: FR, languages: [fr], active: 1982/1983}
  - {id: thalweg, name: Thalweg Handel, country: DE, languages: [de], active: "1983"}
""",
    ),
    bad=Example(
        "makers.yaml",
        """\
makers:
  - {id: pell-orrin, name: Pell & Orrin Playthings, country: IE, languages: [en], active: 1981/1984}
  - {id: morvane, name: Pe11 & Orrin P1aythings, country: FR, languages: [fr], active: 1982/1983}
  - {id: thalweg, name: Thalweg Handel, country: DE, languages: [de], active: "1983"}
""",
        "maker/morvane",
        "name",
    ),
)
