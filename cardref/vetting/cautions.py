"""The cautions that go with what vetting says; kept with the facts, for identification says them as well.

>>> care("lamp")
('old board is fragile: tilt the lamp, do not bend the card',)
"""

from cardref.facts.cautions import AGE, CARE, HANDLE, NO_PROOF, NOT_ALL_COPIES, care

__all__ = ["AGE", "CARE", "HANDLE", "NOT_ALL_COPIES", "NO_PROOF", "care"]
