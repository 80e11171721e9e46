"""Two figures or makers have the same name and do not say so."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.model.figure import Figure, Name
from cardref.model.maker import Maker
from cardref.notation.folding import fold
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    yield from _figures(corpus)
    yield from _makers(corpus)


def _figures(corpus: Corpus) -> Iterator[Hit]:
    named: dict[tuple[str, str], list[tuple[Entry, Figure, int]]] = {}
    for entry, figure in corpus.records("figure", Figure):
        for number, name in enumerate(figure.names):
            named.setdefault((entry.file.line, fold(name.text)), []).append((entry, figure, number))
    for bearers in named.values():
        first, one, at = bearers[0]
        for entry, figure, number in bearers[1:]:
            if entry.id == first.id or first.id in figure.same_name or entry.id in one.same_name:
                continue
            if not _meet(one.names[at], figure.names[number]):
                continue
            yield Hit(
                entry,
                f"{corpus.named(entry)} is called {quoted(figure.names[number].text)}, and so is "
                f"{corpus.named(first)}: correct one of the names, or name the other figure under same_name",
                ("names", number, "text"),
                value=figure.names[number].text,
                also=(Also(first, "has the same name", ("names", at, "text")),),
            )


def _meet(one: Name, other: Name) -> bool:
    """Whether two names are used in one language, by one maker, in one series."""
    return (
        one.language == other.language
        and ("" in (one.maker, other.maker) or one.maker == other.maker)
        and ("" in (one.series, other.series) or one.series == other.series)
    )


def _makers(corpus: Corpus) -> Iterator[Hit]:
    seen: dict[str, Entry] = {}
    for entry, maker in corpus.records("maker", Maker):
        first = seen.setdefault(fold(maker.name), entry)
        if first is not entry and first.id != entry.id:
            yield Hit(
                entry,
                f"{corpus.named(entry)} and {corpus.named(first)} have the same name: merge them, "
                "or tell them apart",
                ("name",),
                value=maker.name,
                also=(Also(first, "has the same name", ("name",)),),
            )


RULE = Rule(
    id="shared-name",
    family="identity",
    severity=Severity.WARNING,
    summary="Two figures or makers have the same name and do not say so.",
    rationale=(
        "Two figures can share a name, and then both records say so. Where they do not, one figure was "
        "entered twice, or a name was copied to the wrong record."
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
  - {id: morvane, name: Pell and Orrin Playthings, country: FR, languages: [fr], active: 1982/1983}
  - {id: thalweg, name: Thalweg Handel, country: DE, languages: [de], active: "1983"}
""",
        "maker/morvane",
        "name",
    ),
)
