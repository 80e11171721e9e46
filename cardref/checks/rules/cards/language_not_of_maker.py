"""A face or back is in a language in which its maker sold nothing."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called, listed
from cardref.facts.territories import language_exists, main_language, sold_in
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.model.face import Face
from cardref.storage.loader import Entry
from cardref.text import clip, count_of

__all__ = ["RULE"]


def _printed(corpus: Corpus) -> Iterator[tuple[Entry, str, tuple[str, ...]]]:
    for entry, face in corpus.records("face", Face):
        yield entry, f"maker/{face.maker}", face.languages
    for entry, back in corpus.records("back", Back):
        yield entry, f"maker/{back.maker}", back.languages


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    clashes: list[tuple[str, tuple[Entry, int, str]]] = []
    checked: dict[str, int] = {}
    for entry, maker, tags in _printed(corpus):
        known = sold_in(index, maker)
        if not known:
            continue
        for number, tag in enumerate(tags):
            language = main_language(tag)
            key = f"{maker} {language}"
            if language not in known and language_exists(tag):
                clashes.append((key, (entry, number, tag)))
        checked[maker] = checked.get(maker, 0) + bool(tags)
    totals = {key: checked[key.partition(" ")[0]] for key, _ in clashes}
    for shared in by_shared(clashes, totals):
        maker, language = shared.key.split(" ")
        spoken = listed(sorted(sold_in(index, maker)), 9)
        if shared.at_fault and maker in corpus.by_id:
            yield Hit(
                corpus.by_id[maker],
                f"{called(index, maker)} is recorded with cards in {spoken}, but "
                f"{count_of(len(shared.items), 'face or back', 'faces and backs')} of it are in "
                f"{clip(language, 20)}: correct its languages",
                ("languages",),
                value=language,
                also=sides(
                    corpus, (one[0].id for one in shared.items), f"is in {clip(language, 20)}", ("languages",)
                ),
            )
            continue
        for entry, number, tag in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} is said to be in {clip(tag, 20)}, but cards of "
                f"{called(index, maker)} are in {spoken}: correct the language, or add it to the maker",
                ("languages", number),
                value=tag,
                also=side(corpus, maker, f"sells in {spoken}", "languages"),
            )


RULE = Rule(
    id="language-not-of-maker",
    family="cards",
    severity=Severity.WARNING,
    summary="A face or back is in a language in which its maker sold nothing.",
    rationale=(
        "The language tells at a glance whose card it is. One that the maker never used is mistyped, or the "
        "card is another maker's."
    ),
    check=_check,
    needs=("maker",),
    good=changed("lines/lanternfish/backs/morvane.yaml", "languages: [fr]", "languages: [fr-FR]"),
    bad=changed(
        "lines/lanternfish/backs/morvane.yaml",
        "languages: [fr]",
        "languages: [fi]",
        "lanternfish/morvane/b-001",
        "languages",
    ),
)
