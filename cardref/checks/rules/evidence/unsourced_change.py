"""A fact was changed and its sources were not."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Example, Hit, Rule
from cardref.checks.rules.evidence._supported import KINDS_SUPPORTED
from cardref.finding import Severity

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    from cardref.facts.changes import Sort  # noqa: PLC0415 - only where there is an earlier version

    new_evidence = {change.id for change in corpus.changes.of(Sort.EVIDENCE)}
    for change in corpus.changes.of(Sort.CORRECTED):
        entry = corpus.by_id.get(change.id)
        if entry is None or change.kind not in KINDS_SUPPORTED or change.id in new_evidence:
            continue
        if any(changed.name == "concordance" for changed in change.fields):
            continue  # names its source itself
        fields = ", ".join(changed.name for changed in change.fields)
        yield Hit(
            entry,
            f"{corpus.named(entry)}: {fields} changed, but sources did not: name where that comes from",
            (change.fields[0].name,),
            value=fields,
        )


RULE = Rule(
    id="unsourced-change",
    family="evidence",
    severity=Severity.NOTE,
    summary="A fact was changed and its sources were not.",
    rationale=(
        "A correction mostly comes from somewhere: a better photograph, a card in hand. Naming it keeps "
        "the next person from changing the fact back."
    ),
    check=_check,
    needs=("base",),
    good=Example(
        "lines/lanternfish/backs/morvane.yaml",
        """\
line: lanternfish
maker: morvane
backs:
  - id: b-001
    designation: 3A
    series: lanternfish
    wave: mv-1
    count: 3
    pictures: {plus: [reef-pilot, tide-clerk, brine-smith]}
    languages: [fr]
    released: 1982-10
    features: {maker-line: one-line, offer-flash: absent}
    standing: reported
    sources: [binder, fair-photo]
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
