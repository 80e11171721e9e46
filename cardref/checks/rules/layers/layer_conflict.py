"""A record says otherwise than the dataset that this one lies over."""

from collections.abc import Iterator
from typing import Any

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Example, Hit, Rule
from cardref.facts.called import listed
from cardref.facts.changes import FieldChange, differences
from cardref.finding import Severity
from cardref.model.kinds import KINDS, Scope, short_id
from cardref.storage.loader import Entry
from cardref.text import clip, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    under = corpus.under
    if under is None:
        return
    for kind, found in KINDS.items():
        if found.scope is Scope.NONE and kind != "line":
            continue
        for entry in corpus.entries(kind):
            record = entry.record
            if record is None or not entry.id:
                continue
            if entry.id in under.retired:
                said = under.retired[entry.id].reason
                yield _hit(corpus, entry, ("id",), entry.id, f"was retired there ({clip(said, 120)})")
                continue
            below = under.get(entry.id) if kind != "line" else under.lines.get(entry.id)
            if below is None or below is record:
                continue
            if type(below) is not type(record):
                other = under.kind(entry.id)
                yield _hit(corpus, entry, ("id",), other, f"is a {other} there")
            elif differ := tuple(differences(kind, below, record)):
                words = listed(map(_words, differ), 3)
                value = " ".join(one.name for one in differ)
                yield _hit(corpus, entry, _pointer(differ), value, f"says otherwise there: {words}")


def _hit(corpus: Corpus, entry: Entry, pointer: tuple[str, ...], value: str, what: str) -> Hit:
    return Hit(
        entry,
        f"{corpus.named(entry)} lies over the same id of the dataset below, but {what}. This one wins: if "
        "that is meant, waive it with your reason; if not, take it out or bring it in line",
        pointer,
        value=value,
    )


def _pointer(differ: tuple[FieldChange, ...]) -> tuple[str, ...]:
    """The first field that is written here; a field that is left out here has no place of its own."""
    return next(((one.name,) for one in differ if one.new is not None), ())


def _words(one: FieldChange) -> str:
    label = one.name.replace("_", " ")
    if one.old is None:
        return f"{label} is not told"
    if isinstance(one.old, (dict, list)):
        return f"{label} {'differ' if one.name.endswith('s') else 'differs'}"
    return f"{label} is {_said(one.old)}"


def _said(value: Any) -> str:
    text = str(value)
    return quoted(short_id(text) if "/" in text and " " not in text else text)


RULE = Rule(
    id="layer-conflict",
    family="layers",
    severity=Severity.WARNING,
    summary="A record says otherwise than the dataset that this one lies over.",
    rationale=(
        "The record that lies on top hides the one below, and later corrections of that one with it. Where "
        "you know better, say so in a waiver, so that others can judge; where it is a slip, two collectors "
        "would otherwise mean two things by one id."
    ),
    check=_check,
    needs=("under",),
    good=Example(
        "lines/lanternfish/backs/morvane.yaml",
        """\
line: lanternfish
maker: morvane
backs:
  # the same as below, in another order and with another layout
  - id: b-001
    designation: "3A"
    count: 3
    series: lanternfish
    wave: mv-1
    pictures:
      plus: [tide-clerk, reef-pilot, brine-smith]
    languages: [fr]
    released: 1982-09
    features: {offer-flash: absent, maker-line: one-line}
    standing: reported
    sources: [binder]
""",
    ),
    bad=changed(
        "lines/lanternfish/backs/morvane.yaml",
        "released: 1982-09",
        "released: 1982-10",
        "lanternfish/morvane/b-001",
        "released",
    ),
)
