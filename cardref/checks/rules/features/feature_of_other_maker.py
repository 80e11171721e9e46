"""A feature is recorded for a maker on whose cards it is not to be found."""

from collections.abc import Iterator

from cardref.checks.blame import by_shared, side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.features._recorded import ON_CARDS
from cardref.facts.called import called, listed
from cardref.facts.features import features_of_line
from cardref.finding import Severity
from cardref.storage.loader import Entry
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    clashes: list[tuple[str, tuple[Entry, str]]] = []
    checked: dict[str, int] = {}
    limited = {
        line: {slug: one for slug, one in features_of_line(index, line).items() if one.makers}
        for line in index.lines
    }
    for kind, record in ON_CARDS.items():
        for entry, one in corpus.records(kind, record):
            line, short, _ = entry.id.split("/")
            own = limited.get(line)
            if not own:
                continue
            for slug in one.features:
                if slug in own:
                    key = own[slug].id
                    checked[key] = checked.get(key, 0) + 1
                    if f"maker/{short}" not in own[slug].makers:
                        clashes.append((key, (entry, slug)))
    for shared in by_shared(clashes, checked):
        feature = index.features[shared.key]
        makers = listed((called(index, maker) for maker in feature.makers), 5)
        if shared.at_fault and shared.key in corpus.by_id:
            yield Hit(
                corpus.by_id[shared.key],
                f"{called(index, shared.key)} is said to tell apart cards of {makers} only, but "
                f"{count_of(len(shared.items), 'record')} of others have it: correct its makers",
                ("makers",),
                value=",".join(feature.makers),
                also=sides(corpus, (entry.id for entry, _ in shared.items), "has it", ("features",)),
            )
            continue
        for entry, slug in shared.items:
            yield Hit(
                entry,
                f"{called(index, entry.id)} has {slug}, which is said to be found on cards of {makers} "
                "only: take it out, or add the maker to the feature",
                ("features", slug),
                on_key=True,
                value=slug,
                also=side(corpus, shared.key, f"for {makers}", "makers"),
            )


RULE = Rule(
    id="feature-of-other-maker",
    family="features",
    severity=Severity.WARNING,
    summary="A feature is recorded for a maker on whose cards it is not to be found.",
    rationale=(
        "Some things are printed by one maker only. A state of it on another's card was copied from the "
        "wrong record, or the feature is more widely spread than the catalogue says."
    ),
    check=_check,
    good=changed("lines/lanternfish/backs/morvane.yaml", "maker-line: one-line", "maker-line: two-lines"),
    bad=changed(
        "lines/lanternfish/backs/morvane.yaml",
        "maker-line: one-line",
        "maker-line: one-line, lantern-height: 10-11 mm",
        "lanternfish/morvane/b-001",
        "features.lantern-height",
    ),
)
