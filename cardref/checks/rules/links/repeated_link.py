"""A list names the same record twice."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.linking import written_in
from cardref.checks.rule import Example, Hit, Mend, Rule
from cardref.finding import Severity
from cardref.storage.references import links, walk
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for kind, entries in corpus.loaded.entries.items():
        for link in links(kind):
            head, rest = link.path[0], link.path[1:]
            if link.path == ("pictures", "plus"):
                continue  # a figure pictured twice is a matter of counting
            for entry in entries:
                value = getattr(entry.record, head, None)
                if not value:
                    continue
                for pointer, items in walk(value, rest, (head,)) if rest else (((head,), value),):
                    if type(items) is not tuple or len(set(items)) == len(items):
                        continue
                    seen = set()
                    for number, item in enumerate(items):
                        if item in seen:
                            written = written_in(entry, link.kinds[0], item)
                            message = f"{corpus.named(entry)} names {quoted(written)} twice in {pointer[-1]}"
                            mend = Mend("take the second one out", remove=True)
                            yield Hit(
                                entry, f"{message}: once is enough", (*pointer, number), value=item, mend=mend
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
    good=Example(
        "lines/lanternfish/cards/pell-orrin.more.yaml",
        """\
line: lanternfish
maker: pell-orrin
cards:
  - id: c-020
    face: f-004
    back: b-001
    sources: [binder, fair-photo]
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
    sources: [binder, binder]
""",
        "lanternfish/pell-orrin/c-020",
        "sources",
    ),
    fix="unsafe",
)
