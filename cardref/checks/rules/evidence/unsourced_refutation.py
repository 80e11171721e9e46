"""A record is refuted and names no source."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.checks.rules.evidence._supported import supported
from cardref.finding import Severity
from cardref.model.evidence import Standing

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, record in supported(corpus):
        if record.standing is Standing.REFUTED and not record.sources:
            yield Hit(
                entry,
                f"{corpus.named(entry)} is refuted, but names no source: name who showed that it is not so",
                ("standing",),
                value="refuted",
            )


RULE = Rule(
    id="unsourced-refutation",
    family="evidence",
    severity=Severity.WARNING,
    summary="A record is refuted and names no source.",
    rationale=(
        "A thing that was once believed comes back again and again. Only a reader who can see why it "
        "was refuted will let it rest."
    ),
    check=_check,
    good=Example(
        "lines/lanternfish/cards/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    standing: refuted
    sources: [binder]
""",
    ),
    bad=Example(
        "lines/lanternfish/cards/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    standing: refuted
""",
        "lanternfish/pell-orrin/c-020",
        "standing",
    ),
)
