"""A three-valued answer with its grounds.

>>> answer = Answer.no("25B reached the shops in 1982", records=("tidewrack/quay-marl/b-017",))
>>> answer.verdict.value, bool(answer.records)
('no', True)
"""

import enum

from attrs import frozen

__all__ = ["Answer", "Verdict"]


class Verdict(enum.StrEnum):
    """Yes, no, or unknown. Doubt never becomes "no": *not recorded* is not *contradicted*."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


@frozen
class Answer:
    """What can be said, and what it stands on.

    Attributes:
        verdict: yes, no or unknown.
        because: the reason, a clause without a full stop.
        records: full ids of the records used.
        sources: full ids of the sources that these records name.
        sightings: how many specimens stand behind it.
    """

    verdict: Verdict
    because: str
    records: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    sightings: int = 0

    @classmethod
    def yes(
        cls, because: str, records: tuple[str, ...] = (), sources: tuple[str, ...] = (), sightings: int = 0
    ) -> "Answer":
        """It is so."""
        return cls(Verdict.YES, because, records, sources, sightings)

    @classmethod
    def no(cls, because: str, records: tuple[str, ...] = (), sources: tuple[str, ...] = ()) -> "Answer":
        """It cannot be so."""
        return cls(Verdict.NO, because, records, sources)

    @classmethod
    def unknown(cls, because: str, records: tuple[str, ...] = (), sources: tuple[str, ...] = ()) -> "Answer":
        """Nothing recorded says either."""
        return cls(Verdict.UNKNOWN, because, records, sources)
