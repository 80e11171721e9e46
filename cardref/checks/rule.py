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
from cardref.finding import Related, Severity
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
    which is YAML; or put what is written there in quotes
    where ``quote``; or take the key with its value, or the item of a list, out where ``remove``.
    """

    message: str
    text: str = ""
    safe: bool = False
    remove: bool = False
    quote: bool = False


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
        related: other places that are known already, for faults that have no pointer.
        record: full id of the record that is meant, where ``where`` is not its entry.
    """

    where: Entry | LoadedFile
    message: str
    pointer: Pointer = ()
    on_key: bool = False
    value: str = ""
    also: tuple[Also, ...] = ()
    mend: Mend | None = None
    place: Place | None = None
    related: tuple[Related, ...] = ()
    record: str = ""


@frozen
class Example:
    """A file laid over the sample dataset, written so that the rule is content with it, or is not.

    Attributes:
        path: where it is laid: a file of the sample, or a new one beside it.
        text: what it holds; a byte that is not UTF-8 is written as a lone surrogate (PEP 383).
        record: for a failing example the full id of the record that must be named, or "".
        field: for a failing example the field that must be named, or "" for any.
        made: ``file``; or ``link`` for a symbolic link to what ``text`` says, ``pipe`` for a named pipe,
            ``absent`` for no file where the sample has one.
    """

    path: str
    text: str
    record: str = ""
    field: str = ""
    made: str = "file"


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
        needs: kinds of which every record must have been read, because the rule reasons from what is *not*
            there. Where one could not be, the rule is silent about that line (or about everything, where it
            belongs to no line), and the report says that it was skipped and why. A rule that only reasons
            from what is there needs nothing. Also ``base``: an earlier version to compare with; ``under``: a
            dataset that this one lies over; and ``outcome``: what the other rules found, which has the rule
            run after them.
        fix: "safe", "unsafe" or "" for what its mends are.

    A rule never raises, whatever the records say: what cannot be told is passed over.
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
