"""Something of a line is by a maker whom the line does not list."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.line import Line

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    used = _used(index)
    for entry, line in corpus.records("line", Line):
        listed = {*line.makers, line.home}
        if not line.makers:
            continue
        if line.home not in line.makers and line.home in index.makers:
            yield Hit(
                entry,
                f"line {line.id} was started by {called(index, line.home)}, who is not among its makers: "
                "list them too",
                ("makers",),
                value=line.home,
            )
        for number, maker in enumerate(line.uncoded):
            if maker not in listed and maker in index.makers:
                yield _hit(corpus, line, maker, ("uncoded", number), line.id)
        for maker, records in used.get(line.id, {}).items():
            if maker in listed or maker not in index.makers:
                continue
            full, pointer = records[0]
            if len(records) == 1 and full in corpus.by_id and pointer:
                yield _hit(corpus, line, maker, pointer, full)
                continue
            yield Hit(
                entry,
                f"line {line.id} does not list {called(index, maker)}, but {called(index, full)} and other "
                "records are theirs: add the maker to the line",
                ("makers",),
                value=maker,
                also=sides(corpus, (one for one, _ in records), "is theirs"),
            )


def _hit(corpus: Corpus, line: Line, maker: str, pointer: Pointer, full: str) -> Hit:
    return Hit(
        corpus.by_id[full],
        f"{called(corpus.index, full)} names {called(corpus.index, maker)}, who is not among the makers of "
        f"line {line.id}: correct the maker, or list them in the line",
        pointer,
        value=maker,
        also=side(corpus, line.id, "its makers", "makers"),
    )


def _used(index: Index) -> dict[str, dict[str, list[tuple[str, Pointer]]]]:
    """Line -> maker -> the records that are theirs, each with the way to the maker's name in it."""
    found: dict[str, dict[str, list[tuple[str, Pointer]]]] = {}

    def add(full: str, maker: str, pointer: Pointer) -> None:
        found.setdefault(full.partition("/")[0], {}).setdefault(maker, []).append((full, pointer))

    for wave in index.waves.values():
        add(wave.id, wave.maker, ("maker",))
    for scheme in index.schemes.values():
        for number, maker in enumerate(scheme.makers):
            add(scheme.id, maker, ("makers", number))
    seen: set[tuple[str, str]] = set()
    for table in (index.backs, index.faces, index.cards):
        for full in table:
            line, short, _ = full.split("/")
            if (line, short) not in seen:  # the first of each is enough
                seen.add((line, short))
                add(full, f"maker/{short}", ())
    return found


RULE = Rule(
    id="maker-not-in-line",
    family="cards",
    severity=Severity.ERROR,
    summary="Something of a line is by a maker whom the line does not list.",
    rationale=(
        "The list of makers is where people look whom to expect. A card by a firm that is not on it looks "
        "like a copy, although only the list is short."
    ),
    check=_check,
    needs=("line",),
    good=changed(
        "lines/lanternfish/line.yaml",
        "makers: [pell-orrin, morvane, thalweg]",
        "makers: [thalweg, morvane, pell-orrin]",
    ),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "makers: [pell-orrin, morvane, thalweg]",
        "makers: [pell-orrin, thalweg]",
        "lanternfish",
        "makers",
    ),
)
