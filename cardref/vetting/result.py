"""What vetting answers.

Every answer carries its cautions: nothing here authenticates a card.

>>> from cardref.reference import load
>>> answer = load().vet(back="25B", back_count=28)
>>> answer.something_against, [statement.title for statement in answer.contradicted]
(True, ['back with back count'])
>>> answer.cautions[1]
'A card that matches no known copy may still be a copy.'
"""

from attrs import frozen

from cardref.facts.answer import Verdict
from cardref.facts.cautions import HANDLE, NO_PROOF, NOT_ALL_COPIES
from cardref.vetting.asking import Ask
from cardref.vetting.claim import Claim
from cardref.vetting.copies import KnownCopy, Sign, against_by
from cardref.vetting.statement import Statement, Status

__all__ = ["Difference", "Nearest", "Vetting"]


@frozen
class Difference:
    """Where a recorded card differs from the claim.

    Attributes:
        field: in which field.
        claimed, recorded: what either says; ``recorded`` is "" where there is nothing.
    """

    field: str
    claimed: str
    recorded: str


@frozen
class Nearest:
    """A recorded card that is nearly what is claimed.

    Attributes:
        card: full id.
        called: how to name it, with its id.
        differences: everything claimed that is recorded otherwise.
        seen: how many specimens of it are recorded.
        others: how many more recorded cards differ in the same fields.
    """

    card: str
    called: str
    differences: tuple[Difference, ...]
    seen: int
    others: int = 0


@frozen
class Vetting:
    """Whether a claimed card agrees with itself and with what is recorded, and what to ask for.

    Attributes:
        claim: what is claimed, and how it was read.
        verdict: yes where a card with everything claimed is recorded and nothing speaks against it; no where
            something contradicts the claim; else unknown. Never that a card is genuine.
        because: the reason, a sentence without a full stop.
        statements: every part beside itself and the reference, and every two parts beside each other.
        whole: full ids of recorded cards of which everything claimed holds.
        open: full ids of recorded cards of which nothing claimed is recorded otherwise, ``whole`` first.
        backs: full ids of the backs that the claim leaves open.
        nearest: where no card fits, those that differ least.
        asks: what to ask the seller for, the most telling first.
        copies: known copies that it may be.
        signs: the general signs of copies and repairs that hold for its maker.
        sign_maker: full id of that maker; "" where the claim does not say whose card it is.
        cautions: what goes with all of it.
    """

    claim: Claim
    verdict: Verdict
    because: str
    statements: tuple[Statement, ...] = ()
    whole: tuple[str, ...] = ()
    open: tuple[str, ...] = ()
    backs: tuple[str, ...] = ()
    nearest: tuple[Nearest, ...] = ()
    asks: tuple[Ask, ...] = ()
    copies: tuple[KnownCopy, ...] = ()
    signs: tuple[Sign, ...] = ()
    sign_maker: str = ""
    cautions: tuple[str, ...] = (NO_PROOF, NOT_ALL_COPIES, HANDLE)

    def of(self, status: Status) -> tuple[Statement, ...]:
        """The statements of one status."""
        return tuple(one for one in self.statements if one.status is status)

    @property
    def contradicted(self) -> tuple[Statement, ...]:
        """What cannot be as it is claimed."""
        return self.of(Status.CONTRADICTED)

    @property
    def unrecorded(self) -> tuple[Statement, ...]:
        """What could be, and nobody has recorded."""
        return self.of(Status.UNRECORDED)

    @property
    def unknown(self) -> tuple[Statement, ...]:
        """What nothing recorded could tell."""
        return self.of(Status.UNKNOWN)

    @property
    def agreed(self) -> tuple[Statement, ...]:
        """What goes together."""
        return self.of(Status.AGREED)

    @property
    def speaking_against(self) -> tuple[Sign, ...]:
        """Signs that were looked at and speak for a copy or a repair, each once. A sign is not proof."""
        return against_by(self.signs, self.copies)

    @property
    def something_against(self) -> bool:
        """Whether anything speaks against it: a contradiction, a sign, the seller's own words."""
        return bool(self.contradicted or self.speaking_against or self.claim.altered)
