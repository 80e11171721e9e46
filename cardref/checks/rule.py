"""What a rule is: what it wants, why, what it looks at, and two examples that are executed.

>>> rule = Rule(id="empty-note", family="text", severity=Severity.NOTE, summary="A note says nothing.",
...             rationale="An empty note hides what somebody meant.", check=lambda corpus: iter(()),
...             good=Example("sources.yaml", "sources: []"), bad=Example("sources.yaml", "sources: []"))
>>> rule.id
'empty-note'
"""

from collections.abc import Callable, Iterator

from attrs import frozen

from cardref.checks.corpus import Corpus
from cardref.finding import Severity
from cardref.location import Place, Pointer
from cardref.storage.loader import Entry, LoadedFile

__all__ = ["Also", "Example", "Hit", "Mend", "Rule"]


@frozen
class Also:
    """Another place that belongs to a hit: a value of a record, and what it says."""

    entry: Entry
    message: str
    pointer: Pointer = ()


@frozen
class Mend:
    """A change that would make the hit go away: replace the value (or key) at its place by ``text``,
    which is YAML; or take the key with its value out where ``remove``.
    """

    message: str
    text: str = ""
    safe: bool = False
    remove: bool = False


@frozen
class Hit:
    """What a rule found. Becomes a finding once its place has been looked up.

    Attributes:
        where: the record's entry, or the file where no record can be named.
        message: which record, what is, what was expected, what to do; a full sentence in a collector's words.
        pointer: from the record (or the file's top) to the value at fault.
        on_key: the key itself is at fault.
        value: the offending value as text: part of the finding's identity.
        also: other places; for a two-sided conflict the other side.
        mend: the change that is certain to help, where there is one.
        place: where it stands, for faults that have no pointer.
    """

    where: Entry | LoadedFile
    message: str
    pointer: Pointer = ()
    on_key: bool = False
    value: str = ""
    also: tuple[Also, ...] = ()
    mend: Mend | None = None
    place: Place | None = None


@frozen
class Example:
    """A file of the sample dataset, written so that the rule is content with it, or is not."""

    path: str
    text: str


@frozen(kw_only=True)
class Rule:
    """One rule, complete: the table of rules, ``cardref rules``, SARIF and the tests all read this.

    Attributes:
        id: kebab-case noun phrase for what is wrong.
        family: the folder it lives in.
        severity: error, warning or note, unless ``dataset.yaml`` says otherwise.
        summary: one sentence.
        rationale: why it matters, in a collector's words.
        check: yields hits over the whole corpus, all records of a kind at a time.
        good, bad: a file that passes and one that does not, laid over the sample dataset.
        needs: kinds whose files must all have been readable, or ``base`` for an earlier version to compare
            with; where a ground is missing the rule is skipped and says so.
        fix: "safe", "unsafe" or "" for what its mends are.
    """

    id: str
    family: str
    severity: Severity
    summary: str
    rationale: str
    check: Callable[[Corpus], Iterator[Hit]]
    good: Example
    bad: Example
    needs: tuple[str, ...] = ()
    fix: str = ""
