"""One thing that vetting has to say, and what it stands on.

>>> statement = Statement(("figure", "back"), Status.UNRECORDED, "no card of Lamp Diver on 21C is recorded")
>>> print(statement)
figure and back: not recorded: no card of Lamp Diver on 21C is recorded
"""

import enum
from collections.abc import Iterable

from attrs import field, frozen

from cardref.facts.answer import Answer, Verdict
from cardref.text import clip
from cardref.vetting.fields import title_of

__all__ = ["Statement", "Status", "stated"]


class Status(enum.StrEnum):
    """How two claims stand to each other, or one to the reference.

    *Unrecorded*: what is recorded could tell, and has no such thing; never that it cannot be. *Unknown*:
    nothing that is recorded could tell.
    """

    CONTRADICTED = "contradicted"
    UNRECORDED = "unrecorded"
    UNKNOWN = "unknown"
    AGREED = "agreed"


_WORDS = {
    Status.CONTRADICTED: "contradicted",
    Status.UNRECORDED: "not recorded",
    Status.UNKNOWN: "unknown",
    Status.AGREED: "agreed",
}


_MOST = 20
"""So many records and sources are named; nobody looks up more."""


def _first(ids: Iterable[str]) -> tuple[str, ...]:
    return tuple(ids)[:_MOST]


@frozen
class Statement:
    """What can be said of two parts of a claim, or of one part and the reference.

    Attributes:
        about: one field, which is compared with the reference, or two, which are compared with each other.
        status: agreed, contradicted, unrecorded or unknown.
        because: the reason, a clause without a full stop.
        records: full ids of the records that say so; of many, the first.
        sources: full ids of the sources that these records name; of many, the first.
        sightings: how many specimens stand behind it.
    """

    about: tuple[str, ...]
    status: Status
    because: str
    records: tuple[str, ...] = field(default=(), converter=_first)
    sources: tuple[str, ...] = field(default=(), converter=_first)
    sightings: int = 0

    @property
    def title(self) -> str:
        """What it is about, in a sentence: ``back with back count``."""
        return clip(" with ".join(map(title_of, dict.fromkeys(self.about))), 80)

    def __str__(self) -> str:
        return f"{' and '.join(self.about)}: {_WORDS[self.status]}: {self.because}"


_STATUS = {Verdict.YES: Status.AGREED, Verdict.NO: Status.CONTRADICTED, Verdict.UNKNOWN: Status.UNKNOWN}


def stated(about: tuple[str, ...], answer: Answer, unknown: Status = Status.UNKNOWN) -> Statement:
    """An answer as a statement; ``unknown`` says what not knowing means here."""
    status = unknown if answer.verdict is Verdict.UNKNOWN else _STATUS[answer.verdict]
    return Statement(about, status, answer.because, answer.records, answer.sources, answer.sightings)
