"""A waiver or a severity names a rule that does not exist."""

from collections.abc import Iterable, Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Hit, Mend, Rule
from cardref.checks.rules.waivers._waivers import waived
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.bookkeeping import Waiver
from cardref.model.dataset import Dataset
from cardref.storage.loader import Entry
from cardref.text import closest, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    known = corpus.outcome.families
    for entry, waiver in corpus.records("waiver", Waiver):
        if waiver.rule not in known:
            yield _hit(entry, f"the waiver for {quoted(waiver.record)}", waiver.rule, ("rule",), known)
    for entry, dataset in corpus.records("dataset", Dataset):
        for rule in dataset.severities:
            if rule not in known:
                yield _hit(entry, "the dataset's severities", rule, ("severities", rule), known)


def _hit(entry: Entry, who: str, rule: str, pointer: Pointer, known: Iterable[str]) -> Hit:
    near = closest(rule, known, 1)
    hint = (
        f"did you mean {near[0]}?" if near else "`cardref rules` lists them; one of your own needs its plugin"
    )
    on_key = pointer[0] == "severities"
    return Hit(
        entry,
        f"there is no rule {quoted(rule)}, which {who} names; {hint}",
        pointer,
        on_key,
        rule,
        mend=Mend(f"write {near[0]}", near[0]) if near else None,
    )


RULE = Rule(
    id="unknown-rule",
    family="waivers",
    severity=Severity.WARNING,
    summary="A waiver or a severity names a rule that does not exist.",
    rationale=(
        "A misspelt rule name has no effect, and nobody notices: the finding stays, or keeps the "
        "severity that was to be changed."
    ),
    check=_check,
    needs=("outcome",),
    good=waived("reason: The list is not published yet."),
    bad=waived("reason: The list is not published yet.", "rule", rule="verison-step"),
    fix="unsafe",
)
