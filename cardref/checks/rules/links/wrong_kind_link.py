"""A record refers to a record of another kind than the field is for."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import cards, one_card
from cardref.checks.linking import written_in
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for one in corpus.broken:
        kinds = corpus.ids.kinds(one.target)
        if not kinds:
            continue
        entry = corpus.by_id.get(one.target)
        written = written_in(one.entry, kinds[0], one.target)
        yield Hit(
            one.entry,
            f"{corpus.named(one.entry)} needs a {' or '.join(one.kinds)} here, but {quoted(written)} is a "
            f"{kinds[0]}: name the {one.kinds[0]} that is meant",
            one.pointer,
            one.on_key,
            one.target,
            also=() if entry is None else (Also(entry, f"the {kinds[0]} that is named"),),
        )


RULE = Rule(
    id="wrong-kind-link",
    family="links",
    severity=Severity.ERROR,
    summary="A record refers to a record of another kind than the field is for.",
    rationale=(
        "Fronts, backs and cards have ids that look alike. A card whose front is a back says nothing about "
        "which figure is on it."
    ),
    check=_check,
    good=one_card("sources: [binder]"),
    bad=cards(
        """
        - id: c-020
          face: b-003
          back: b-001
          sources: [binder]
    """,
        "lanternfish/pell-orrin/c-020",
        "face",
    ),
)
