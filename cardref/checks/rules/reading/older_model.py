"""A dataset is written in an older version of the model than this program writes."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Mend, Rule
from cardref.finding import Severity
from cardref.model.dataset import MODEL_VERSION, OLDEST_MODEL

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    says = corpus.loaded.model
    if says is None or not OLDEST_MODEL <= says < MODEL_VERSION:
        return
    # Not of the record: an older description may have fields that this program reads no more.
    for entry in corpus.entries("dataset"):
        message = (
            f"the dataset is written in version {says} of the model: it was read as version {MODEL_VERSION}, "
            f"and what is not in that any more is told key by key. Write `model: {MODEL_VERSION}` when "
            "nothing else is found"
        )
        mend = Mend(f"write {MODEL_VERSION}", str(MODEL_VERSION))
        yield Hit(entry, message, ("model",), value=str(says), mend=mend)


RULE = Rule(
    id="older-model",
    family="reading",
    severity=Severity.NOTE,
    summary="A dataset is written in an older version of the model than this program writes.",
    rationale=(
        "It can be used as it is. But an older program may not understand what is added to it now, and the "
        "number is what warns its users."
    ),
    check=_check,
    good=changed("dataset.yaml", "model: 1", "model: 1"),
    bad=changed("dataset.yaml", "model: 1", "model: 0", "sample", "model"),
    fix="unsafe",
)
