r"""A comparison told: as text for a terminal, as Markdown for a review or release notes, as plain values.

>>> from cardref.facts.changes import Changes
>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> empty = Index({kind: {} for kind in KINDS})
>>> print(*as_text(Changes("2026.11", "2026.11", ()), empty, empty), sep="\n")
no change by meaning: whatever differs is layout, order or file
"""

import re
from collections.abc import Iterator
from typing import Any

from cardref.comparison.wording import CLASSES, class_of, subject, words
from cardref.facts.changes import Change, Changes
from cardref.index import Index
from cardref.schema.pieces import COUNT, FLAG, TEXT, TEXTS, exactly, head, list_of, one_of
from cardref.text import clip, count_of, visible

__all__ = ["as_json", "as_markdown", "as_text", "schema"]

_MOST = 40
"""Lines of one class in text; JSON has them all."""
_MOST_IN_REVIEW = 150
"""Lines of one class in Markdown: code hosts refuse long comments."""


_NOUNS = {
    "breaking": ("breaking change", ""),
    "addition": ("addition", ""),
    "correction": ("correction", ""),
    "evidence": ("change of evidence", "changes of evidence"),
    "wording": ("change of wording", "changes of wording"),
}


def _by_class(found: Changes) -> dict[str, list[Change]]:
    groups: dict[str, list[Change]] = {name: [] for name in CLASSES}
    for change in found.items:
        groups[class_of(change)].append(change)
    return {name: group for name, group in groups.items() if group}


def as_text(found: Changes, old: Index, new: Index) -> Iterator[str]:
    """Lines for a terminal: what matters most first."""
    if not found:
        yield "no change by meaning: whatever differs is layout, order or file"
        return
    yield visible(f"{_span(found)}: {_counted(found)}")
    for consequence in found.consequences:
        yield f"  {'against it: ' if consequence.worse else ''}{clip(consequence.words, 300)}"
    for name, group in _by_class(found).items():
        yield f"{name}: {CLASSES[name]}"
        for change in group[:_MOST]:
            yield f"  {visible(subject(change, old, new))}: {clip(words(change), 300)}"
        if len(group) > _MOST:
            yield f"  and {len(group) - _MOST} more; --format json has them all"
    if found.next_version:
        yield f"next version: {found.next_version}"


def _span(found: Changes) -> str:
    old, new = found.old_version or "no version", found.new_version or "no version"
    return f"{old} -> {new}" if old != new else old


def _counted(found: Changes) -> str:
    groups = _by_class(found)
    said = [count_of(len(group), *_NOUNS[name]) for name, group in groups.items()]
    return ", ".join(said) or "bookkeeping only"


# What could begin something in Markdown or HTML. Signs that do so only at the start of a line are left alone:
# no line of ours starts with text from data.
_MARKDOWN = str.maketrans(
    {**{sign: f"\\{sign}" for sign in "\\`*_[]|~"}, "<": "&lt;", ">": "&gt;", "&": "&amp;"}
)
# Code hosts look for mentions, issues and addresses in what is shown, entities or not; a joiner of no width
# ends them. (What an address is: GFM specification, 6.9. The rest is common practice, no source.)
_LINKED = re.compile(r"(?<=[@#!$%])(?=\w)|(?<=\w:)(?=\S)|(?<=www)(?=\.)", re.IGNORECASE)


def _inert(text: str) -> str:
    return _LINKED.sub("\u2060", visible(text)).translate(_MARKDOWN)


def as_markdown(found: Changes, old: Index, new: Index, *, notes: bool = False) -> Iterator[str]:
    """Lines of Markdown: a review comment, or release notes where ``notes``."""
    title = (
        f"Version {found.next_version or found.new_version}"
        if notes
        else f"What this changes: {_counted(found)}"
    )
    yield f"## {_inert(title)}"
    yield ""
    if not found:
        yield "No change by meaning."
        return
    # Release notes are for users: what is wrong has to be put right before they are published.
    told = [consequence for consequence in found.consequences if not (notes and consequence.worse)]
    for consequence in told:
        yield f"- {'**against it:** ' if consequence.worse else ''}{_inert(clip(consequence.words, 400))}"
    if told:
        yield ""
    for name, group in _by_class(found).items():
        if notes and name == "wording":
            continue
        yield f"### {name.capitalize()}: {CLASSES[name]}"
        yield ""
        for change in group[:_MOST_IN_REVIEW]:
            yield f"- {_inert(subject(change, old, new))}: {_inert(clip(words(change), 400))}"
        if len(group) > _MOST_IN_REVIEW:
            yield f"- and {len(group) - _MOST_IN_REVIEW} more; `--format json` has them all"
        yield ""
    if found.next_version and not notes:
        yield f"Next version: {_inert(found.next_version)}"


def as_json(found: Changes, old: Index, new: Index) -> dict[str, Any]:
    """The comparison as plain values."""
    groups = _by_class(found)
    return {
        "format": 1,
        "old_version": found.old_version,
        "new_version": found.new_version,
        "next_version": found.next_version,
        "changes": [_change(change, old, new) for change in found.items],
        "retired": list(found.retired),
        "revived": list(found.revived),
        "consequences": [
            {"words": c.words, "records": list(c.records), "worse": c.worse} for c in found.consequences
        ],
        "summary": {name: len(groups.get(name, ())) for name in CLASSES},
    }


def _change(change: Change, old: Index, new: Index) -> dict[str, Any]:
    return {
        "class": class_of(change),
        "sort": change.sort.value,
        "kind": change.kind,
        "id": change.id,
        "into": list(change.into),
        "subject": subject(change, old, new),
        "words": words(change),
        "fields": [{"name": f.name, "old": f.old, "new": f.new} for f in change.fields],
    }


def schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of :func:`as_json`."""
    change = exactly(
        **{"class": one_of(CLASSES)},
        sort=TEXT,
        kind=TEXT,
        id=TEXT,
        into=TEXTS,
        subject=TEXT,
        words=TEXT,
        fields=list_of(exactly(name=TEXT, old=True, new=True)),
    )
    return {
        **head("comparison", "cardref compare --format json"),
        **exactly(
            format={"const": 1},
            old_version=TEXT,
            new_version=TEXT,
            next_version=TEXT,
            changes=list_of(change),
            retired=TEXTS,
            revived=TEXTS,
            consequences=list_of(exactly(words=TEXT, records=TEXTS, worse=FLAG)),
            summary=exactly(**dict.fromkeys(CLASSES, COUNT)),
        ),
    }
