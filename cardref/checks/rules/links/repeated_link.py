"""A list names the same record twice."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_card
from cardref.checks.linking import values, written_in
from cardref.checks.rule import Hit, Mend, Rule
from cardref.finding import Severity
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for (kind, link), there in corpus.targets.items():
        if not there.repeats or link.path == ("pictures", "plus"):
            continue  # a figure pictured twice is a matter of counting
        for entry, pointer, items in values(corpus.entries(kind), link):
            seen: set[str] = set()
            for number, item in enumerate(items):
                if item in seen:
                    written = quoted(written_in(entry, link.kinds[0], item))
                    yield Hit(
                        entry,
                        f"{corpus.named(entry)} names {written} twice in {pointer[-1]}: once is enough",
                        (*pointer, number),
                        value=item,
                        mend=Mend("take the second one out", remove=True),
                    )
                seen.add(item)


RULE = Rule(
    id="repeated-link",
    family="links",
    severity=Severity.WARNING,
    summary="A list names the same record twice.",
    rationale=(
        "A source named twice looks like two that agree, and a figure that debuts twice in one wave makes "
        "the next count come out wrong. Mostly another record was meant the second time."
    ),
    check=_check,
    good=one_card("sources: [binder, fair-photo]"),
    bad=one_card("sources: [binder, binder]", "sources"),
    fix="unsafe",
)
