"""A code is recorded where none was ever printed."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.face import Face
from cardref.storage.loader import Entry
from cardref.text import count_of, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    clashes: list[tuple[str, tuple[Entry, Face]]] = []
    checked: dict[str, int] = {}
    for entry, face in corpus.records("face", Face):
        line, maker, _ = face.id.split("/")
        record = index.lines.get(line)
        if record is None or f"maker/{maker}" not in record.uncoded:
            continue
        key = f"{line} {maker}"
        checked[key] = checked.get(key, 0) + 1
        if face.printed_codes:
            clashes.append((key, (entry, face)))
    for shared in by_shared(clashes, checked):
        line, maker = shared.key.split(" ")
        place = index.lines[line].uncoded.index(f"maker/{maker}")
        if shared.at_fault and line in corpus.by_id:
            yield Hit(
                corpus.by_id[line],
                f"line {line} says that maker {maker} prints no code, but "
                f"{count_of(len(shared.items), 'face')} carry one: take the maker out of uncoded, and "
                "record its scheme",
                ("uncoded", place),
                value=maker,
                also=sides(corpus, (face.id for _, face in shared.items), "carries a code", ("codes",)),
            )
            continue
        for entry, face in shared.items:
            yield Hit(
                entry,
                f"{called(index, face.id)} carries {quoted(face.printed_codes[0])}, but maker {maker} "
                f"prints no code in line {line}: write codes: none, or correct the line",
                ("codes", 0),
                value=face.printed_codes[0],
                also=side(corpus, line, "says that it prints none", "uncoded", place),
            )


RULE = Rule(
    id="uncoded-maker",
    family="codes",
    severity=Severity.ERROR,
    summary="A code is recorded for a maker who printed none.",
    rationale=(
        "That a maker never printed a code is one of the quickest checks there is. A code on such a card is "
        "a slip, a copied front, or news that should be told."
    ),
    check=_check,
    good=changed("lines/lanternfish/line.yaml", "uncoded: [thalweg]\n", ""),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "uncoded: [thalweg]",
        "uncoded: [thalweg, morvane]",
        "lanternfish",
        "uncoded",
    ),
)
