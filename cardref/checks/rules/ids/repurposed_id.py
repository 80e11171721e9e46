"""An id stands for another thing than before."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import listed
from cardref.finding import Severity
from cardref.model.figure import Figure
from cardref.notation.folding import fold
from cardref.text import closest

__all__ = ["RULE"]


# What makes a thing the thing it is: where all of it changed at once, it is another one.
_ESSENCE: dict[str, tuple[str, ...]] = {
    "maker": ("name", "country"),
    "source": ("kind", "citation"),
    "feature": ("title", "where", "kind"),
    "figure": ("names",),
    "sticker": ("kind", "text"),
    "reproduction": ("title", "copies"),
    "back": ("count", "series", "pictures"),
    "face": ("figure", "name"),
    "card": ("face", "back"),
}


def _check(corpus: Corpus) -> Iterator[Hit]:
    from cardref.facts.changes import Sort  # noqa: PLC0415 - only where there is an earlier version

    for change in corpus.changes.of(Sort.CORRECTED, Sort.EVIDENCE):
        essence = _ESSENCE.get(change.kind, ())
        entry = corpus.by_id.get(change.id)
        if entry is None or not essence or change.old is None or change.new is None:
            continue
        changed = {one.name for one in change.fields}
        if not changed.issuperset(essence) or (
            change.kind == "figure" and _shares_a_name(change.old, change.new)
        ):
            continue
        yield Hit(
            entry,
            f"{corpus.named(entry)} is another thing than before: {listed(essence)} changed at once. Give "
            "the new thing an id of its own, and retire this one",
            (essence[0],),
            value=" ".join(essence),
        )


def _shares_a_name(old: object, new: object) -> bool:
    if not (isinstance(old, Figure) and isinstance(new, Figure)):
        return True
    before = {fold(text) for name in old.names for text in (name.text, name.latin) if text}
    after = {fold(text) for name in new.names for text in (name.text, name.latin) if text}
    # A corrected spelling is no new name.
    return bool(before & after) or any(closest(name, after, 1) for name in before)


RULE = Rule(
    id="repurposed-id",
    family="ids",
    severity=Severity.WARNING,
    summary="An id stands for another thing than before.",
    rationale=(
        "Whoever noted the id down meant the thing it stood for then. If it is another thing now, it "
        "needs another id, and the old one a tombstone."
    ),
    check=_check,
    needs=("base",),
    good=changed("lines/lanternfish/backs/morvane.yaml", "released: 1982-09", "released: 1982-10"),
    bad=changed(
        "lines/lanternfish/stickers.yaml",
        "kind: offer\n    text: Free whistle!",
        "kind: seller\n    text: Sold by the pier shop",
        "lanternfish/sticker/whistle-offer",
        "kind",
    ),
)
