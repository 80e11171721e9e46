"""A record refers to something that is not there."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.linking import Broken, key_in, written_in
from cardref.checks.rule import Also, Hit, Mend, Rule
from cardref.finding import Severity
from cardref.model.kinds import kind_of, short_id
from cardref.notation.nearest import Suggester
from cardref.storage.scalars import written as as_yaml
from cardref.text import count_of, quoted

__all__ = ["RULE"]

_MOST_PLACES = 8


def _check(corpus: Corpus) -> Iterator[Hit]:
    by_target: dict[tuple[str, tuple[str, ...], str], list[Broken]] = {}
    lost = {id(one) for references in corpus.lost_files.values() for one in references}
    for one in corpus.broken:
        if id(one) in lost or one.target in corpus.index.retired or corpus.ids.kinds(one.target):
            continue  # told by missing-file, retired-link and wrong-kind-link
        line = _line(one)
        if any(corpus.may_exist(kind, line) for kind in one.kinds):
            continue
        by_target.setdefault((one.target, one.kinds, line), []).append(one)
    near = _Near(corpus)
    for references in by_target.values():
        yield _hit(corpus, references, near)


def _line(one: Broken) -> str:
    """The line whose files would hold the record, or ""."""
    if one.kinds == ("feature",):
        return one.entry.file.line
    return one.target.partition("/")[0] if one.target.count("/") == 2 else ""


def _hit(corpus: Corpus, references: list[Broken], near: "_Near") -> Hit:
    """One finding for one thing that is missing, however many refer to it."""
    first, others = references[0], references[1:]
    pointer = first.pointer
    if first.on_key and first.kinds != ("feature",):
        pointer = key_in(corpus.loaded, first.entry, first.kinds[0], pointer)
    kinds = " or ".join(first.kinds)
    meant = near.to(first)
    shown = [written_in(first.entry, first.kinds[0], full) for full in meant]
    written = written_in(first.entry, first.kinds[0], first.target)
    hint = f"did you mean {' or '.join(shown)}?" if shown else f"record the {kinds}, or correct the link"
    also_from = f" ({count_of(len(others), 'other link')} as well)" if others else ""
    # One link is mended where it stands; of many, the record they lead to is more likely at fault.
    mend = Mend(f"write {shown[0]}", as_yaml(shown[0], flow=True)) if len(shown) == 1 and not others else None
    return Hit(
        first.entry,
        f"{corpus.named(first.entry)} refers to {kinds} {quoted(written)}, and there is none{also_from}; "
        f"{hint}",
        pointer,
        first.on_key,
        first.target,
        also=tuple(Also(one.entry, "refers to it too", one.pointer) for one in others[:_MOST_PLACES]),
        mend=mend,
    )


class _Near:
    """The ids that a missing one was probably meant to be, looked for where it would stand."""

    def __init__(self, corpus: Corpus) -> None:
        self._corpus = corpus
        self._made: dict[tuple[tuple[str, ...], str], tuple[Suggester, dict[str, str]]] = {}

    def to(self, one: Broken) -> tuple[str, ...]:
        line = _line(one)
        key = (one.kinds, line)
        if key not in self._made:
            # Makers' ids repeat from maker to maker, so theirs are compared with the maker's name in front.
            short = {
                (full.partition("/")[2] if not kind_of(full) else short_id(full)): full
                for kind in one.kinds
                for full in self._corpus.ids.of[kind]
                if not line or full.startswith((line + "/", "feature/"))
            }
            self._made[key] = (Suggester(short), short)
        suggester, full_ids = self._made[key]
        kind = kind_of(one.target)
        asked = (
            one.target.partition("/")[2] if one.target.count("/") == 2 and not kind else short_id(one.target)
        )
        if len(asked) > 100:
            return ()
        found = suggester.suggest(asked, 2)
        best = [near for near in found if near.weight == found[0].weight]
        return tuple(full_ids[near.text] for near in best)


RULE = Rule(
    id="unknown-link",
    family="links",
    severity=Severity.ERROR,
    summary="A record refers to something that is not there.",
    rationale=(
        "A card on a back that nobody recorded cannot be placed, and a statement from a source that is not "
        "listed cannot be looked up. Mostly one of the two ids is misspelt."
    ),
    check=_check,
    good=one_card("sources: [binder]"),
    bad=one_card("sources: [bidner]", "sources"),
    fix="unsafe",
)
