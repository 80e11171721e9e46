"""Two backs are both exactly one back of another reference."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_back
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.model.back import Back, Relation
from cardref.model.kinds import short_id
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    seen: dict[tuple[str, str, str, str], tuple[Entry, int]] = {}
    for entry, back in corpus.records("back", Back):
        for number, other in enumerate(back.concordance):
            if other.relation is not Relation.EXACT:
                continue
            # A reference's designations are a maker's own, as ours are.
            key = (entry.file.line, back.maker, other.reference, " ".join(other.designation.split()))
            first, at = seen.setdefault(key, (entry, number))
            if first.id != entry.id:
                yield Hit(
                    entry,
                    f"{corpus.named(entry)} and {corpus.named(first)} are both said to be exactly "
                    f"{quoted(other.designation)} of {short_id(other.reference)}: correct one of them, or "
                    "write relation: broader on both",
                    ("concordance", number, "designation"),
                    value=f"{other.reference} {other.designation}",
                    also=(Also(first, "is the same back there", ("concordance", at, "designation")),),
                )


RULE = Rule(
    id="shared-concordance",
    family="identity",
    severity=Severity.ERROR,
    summary="Two backs are both exactly one back of another reference.",
    rationale=(
        "If another reference's 25C is exactly our 25C, it cannot also be exactly our 25D. Either one "
        "of them is wrong, or the other reference has one name for both: then it is broader."
    ),
    check=_check,
    good=one_back("6B", 'concordance: [{reference: harbour-list, designation: "6", relation: broader}]'),
    bad=one_back(
        "6B", 'concordance: [{reference: harbour-list, designation: "6"}]', "concordance.designation"
    ),
)
