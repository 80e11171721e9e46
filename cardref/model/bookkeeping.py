"""What keeps a dataset honest over time: tombstones of retired ids, and waivers that expire."""

from attrs import frozen

from cardref.model.fields import about, written
from cardref.notation.edtf import Date

__all__ = ["Tombstone", "Waiver"]


@frozen(kw_only=True)
class Tombstone:
    """An id that is no longer used, and what took its place. Kept in ``retired.yaml``.

    >>> Tombstone(id="tidewrack/quay-marl/b-001", reason="the same printing as b-002").replaced_by
    ()
    """

    id: str = written("full-id", "The full id that is no longer used.")
    replaced_by: tuple[str, ...] = written(
        "full-id", "Full ids of what took its place; none if nothing did.", ()
    )
    reason: str = about("Why it was retired.")
    date: Date | None = about("When, EDTF.", None)


@frozen(kw_only=True)
class Waiver:
    """A finding accepted for now. Kept in ``waivers.yaml``.

    >>> Waiver(rule="letter-gap", record="tidewrack/quay-marl/b-001", reason="seen").rule
    'letter-gap'
    """

    rule: str = about("The rule whose finding is accepted.")
    record: str = written("full-id", "Full id of the record it is about.")
    field: str = about("The field it is about; any when absent.", "")
    reason: str = about("Why it is accepted.", "")
    expires: Date | None = about("Until when, EDTF.", None)
