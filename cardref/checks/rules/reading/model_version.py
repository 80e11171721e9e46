"""A dataset is written in another version of the model than this program reads."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.finding import Severity
from cardref.model.dataset import MODEL_VERSION
from cardref.text import clip

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    says = corpus.loaded.model
    if says is None or says <= MODEL_VERSION:
        return
    # Not of the record: a newer description may have fields that this program cannot read.
    for entry in corpus.entries("dataset"):
        message = (
            f"the dataset is written in version {clip(str(says), 20)} of the model, and this program reads "
            f"version {MODEL_VERSION}: use a newer cardref. Nothing else was checked"
        )
        yield Hit(entry, message, ("model",), value=clip(str(says), 20))


RULE = Rule(
    id="model-version",
    family="reading",
    severity=Severity.ERROR,
    summary="A dataset is written in a newer version of the model than this program reads.",
    rationale=(
        "A newer model may say things in places where this program does not look. What it would find wrong "
        "need not be wrong, and what it would find right is not known to be."
    ),
    check=_check,
    good=changed("dataset.yaml", "model: 1", "model: 1"),
    bad=changed("dataset.yaml", "model: 1", "model: 2", "sample", "model"),
)
