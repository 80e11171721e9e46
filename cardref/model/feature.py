"""A feature: one thing that can be seen, counted or measured and tells printings apart."""

import enum
from collections.abc import Mapping
from typing import Final

from attrs import frozen

from cardref.model.fields import EMPTY_MAP, about, refers, written

__all__ = [
    "MISREAD",
    "NOT_APPLICABLE",
    "PRESENCE",
    "Applies",
    "Feature",
    "FeatureKind",
    "Reliability",
    "Side",
    "Sign",
    "Tool",
]

NOT_APPLICABLE = "not-applicable"
"""The state of a feature that cannot be there: its parent is in another state."""

PRESENCE: Final = ("present", "absent")
"""The two states of a presence."""


class FeatureKind(enum.StrEnum):
    """What sort of answer a look gives."""

    PRESENCE = "presence"
    CHOICE = "choice"
    COUNT = "count"
    LENGTH = "length"


MISREAD: Final[Mapping[FeatureKind, float]] = {
    FeatureKind.PRESENCE: 0.05,
    FeatureKind.CHOICE: 0.05,
    FeatureKind.COUNT: 0.05,
    FeatureKind.LENGTH: 0.02,
}
"""Share of looks that go wrong where a feature does not say. Assumed; common practice, no source. For a
length it covers blunders only (the wrong thing measured, a digit misread); what the ruler cannot tell is
added to it."""


class Side(enum.StrEnum):
    """What has to be looked at."""

    FRONT = "front"
    BACK = "back"
    BUBBLE = "bubble"
    FIGURE = "figure"
    BOARD = "board"


class Tool(enum.StrEnum):
    """What the look needs."""

    EYE = "eye"
    RULER = "ruler"
    LOUPE = "loupe"
    LAMP = "lamp"
    ULTRAVIOLET = "ultraviolet"
    SCALES = "scales"


class Reliability(enum.StrEnum):
    """How much a sign of a copy or a repair is worth by itself."""

    WEAK = "weak"
    FAIR = "fair"
    STRONG = "strong"


@frozen(kw_only=True)
class Applies:
    """A feature that is there only when another is in a certain state."""

    feature: str = refers("feature", "The parent feature.")
    state: str = about("The state of the parent in which this feature can be seen.")


@frozen(kw_only=True)
class Sign:
    """What a feature says about copies and repairs. A sign is never proof."""

    why: str = about("Why it means something.")
    reliability: Reliability = about("How much it is worth by itself.")
    caution: str = about("What to take care of while looking.", "")
    genuine: Mapping[str, tuple[str, ...]] = about(
        "States known on original cards, by maker: the sign holds for these makers only.",
        EMPTY_MAP,
        keys_refer="maker",
    )


@frozen(kw_only=True)
class Feature:
    """A feature. Kept in ``features.yaml``, or in a line's own ``features.yaml``.

    >>> Feature(id="feature/rope-length", title="Length of the rope's end", where="back, lower left",
    ...         how="Lay a ruler along it.", kind=FeatureKind.LENGTH, side=Side.BACK).kind.value
    'length'
    """

    id: str = written("slug", "Short name; records use it as a key.")
    title: str = about("What it is, in a few words.")
    where: str = about("Where to look.")
    how: str = about("How to look: one sentence that a beginner can follow.")
    kind: FeatureKind = about("What sort of answer a look gives.")
    side: Side = about("What has to be looked at.")
    states: tuple[str, ...] = about("The states of a choice.", ())
    least: int | None = about("The smallest count that makes sense.", None, minimum=0)
    most: int | None = about("The largest count that makes sense.", None, minimum=0)
    tool: Tool = about("What the look needs.", Tool.EYE)
    effort: float = about("Cost of looking, relative to a glance (1).", 1.0, minimum=0.1)
    misread: float | None = about("Share of looks that go wrong (assumed); default by kind.", None, minimum=0)
    applies: Applies | None = about("The parent feature and state without which it cannot be seen.", None)
    makers: tuple[str, ...] = refers("maker", "Makers whose cards it tells apart; all when absent.", ())
    sign: Sign | None = about("What it says about copies and repairs.", None)
    condition: str = about(
        "The part of a condition report whose states it has, judged by the maker's genuine states.",
        "",
        choices=("bubble-colour",),
    )
    sources: tuple[str, ...] = refers("source", "Where it comes from.", ())
    note: str = about("What else is worth telling.", "")
