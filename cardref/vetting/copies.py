"""Known copies that a claim may be, and the signs of copies and repairs that hold for its maker.

Signs, their reliability and the makers for which they hold are data (``features.yaml``), known copies too
(``reproductions.yaml``). What they mean is common practice, no source. Nothing here authenticates a card.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("maker", "quay-marl"), ("back", "25C"), ("surface-sheen", "glossy")]))
>>> copy, = known_copies(scene)
>>> copy.title, [sign.says.value for sign in copy.signs if sign.seen]
('The glossy 25', ['as on this copy'])
>>> next(sign for sign in signs(scene) if sign.seen).says.value
'not known on originals'
"""

import enum
from collections.abc import Iterable, Iterator

from attrs import frozen

from cardref.facts.cautions import NO_PROOF, care_with
from cardref.facts.features import features_of_line, overlap, states_of_originals
from cardref.model.evidence import Standing
from cardref.model.feature import Feature, Reliability
from cardref.model.kinds import short_id
from cardref.model.reproduction import Extent, Reproduction
from cardref.text import clip
from cardref.vetting.asking import photo_of
from cardref.vetting.scene import Scene, is_sure

__all__ = ["KnownCopy", "Says", "Sign", "against_by", "known_copies", "sign_maker", "signs"]

_FEW = 40
"""Of more cards than this a claim says too little to name copies of them."""


class Says(enum.StrEnum):
    """What a reading says by a sign. None of these is proof."""

    NOT_LOOKED = "not looked at"
    LIKE_ORIGINALS = "as on originals"
    UNLIKE_ORIGINALS = "not known on originals"
    LIKE_COPY = "as on this copy"
    UNLIKE_COPY = "not as on this copy"
    NOTHING = "tells nothing here"


@frozen
class Sign:
    """One look that says something about copies and repairs. A sign is never proof.

    Attributes:
        feature: its short name, which is also its field in a claim.
        title, where, how: what it is, where to look, and how.
        photo: what a photo has to show for it, "" where no photo does.
        why: why it means something; "" where it is only what a copy is known by.
        reliability: how much it is worth by itself; None where nothing says.
        on_originals: states known on originals of this maker, or recorded of what is copied.
        on_copies: states known on the copy; () for a general sign.
        seen: what the claim says was seen, "" where nobody looked.
        says: what that says.
        cautions: what goes with it; that it is not proof comes last.
        sources: full ids.
    """

    feature: str
    title: str
    where: str
    how: str
    photo: str
    why: str
    reliability: Reliability | None
    on_originals: tuple[str, ...]
    on_copies: tuple[str, ...]
    seen: str
    says: Says
    cautions: tuple[str, ...]
    sources: tuple[str, ...] = ()


@frozen
class KnownCopy:
    """A known copy, whole or in part, that the claimed card may be.

    Attributes:
        id: full id of its record.
        title: what collectors call it.
        extent: what part of it is modern.
        copies: full ids of what it copies and the claim may be about; () for a card that never existed.
        signs: what tells it from what it copies, the most reliable first.
        known: since when it is known, EDTF, "" where that is not recorded.
        standing: how well it is supported.
        note: what else is worth telling.
        sources: full ids.
        cautions: what goes with it.
    """

    id: str
    title: str
    extent: tuple[Extent, ...]
    copies: tuple[str, ...]
    signs: tuple[Sign, ...]
    known: str
    standing: Standing
    note: str
    sources: tuple[str, ...]
    cautions: tuple[str, ...] = (NO_PROOF,)

    @property
    def seen(self) -> bool:
        """Whether something that was seen is as on this copy."""
        return any(sign.says is Says.LIKE_COPY for sign in self.signs)


def against_by(signs: Iterable[Sign], copies: Iterable[KnownCopy]) -> tuple[Sign, ...]:
    """The signs that were looked at and speak for a copy or a repair, each once. A sign is not proof."""
    found = [sign for sign in signs if sign.says is Says.UNLIKE_ORIGINALS]
    found += [sign for copy in copies for sign in copy.signs if sign.says is Says.LIKE_COPY]
    return tuple({sign.feature: sign for sign in reversed(found)}.values())[::-1]


_RELIABLE = {Reliability.STRONG: 0, Reliability.FAIR: 1, Reliability.WEAK: 2, None: 3}


def _seen(scene: Scene, slug: str) -> str:
    part = scene.claim.part(slug)
    return part.value if part is not None else ""


def _sign(feature: Feature, on_originals: tuple[str, ...], on_copies: tuple[str, ...], seen: str) -> Sign:
    sign = feature.sign
    return Sign(
        feature=short_id(feature.id),
        title=clip(feature.title, 80),
        where=clip(feature.where, 120),
        how=clip(feature.how, 300),
        photo=photo_of(feature.side, feature.tool),
        why=clip(sign.why, 300) if sign is not None else "",
        reliability=sign.reliability if sign is not None else None,
        on_originals=on_originals,
        on_copies=on_copies,
        seen=seen,
        says=_says(feature, on_originals, on_copies, seen),
        cautions=(*care_with(feature), NO_PROOF),
        sources=feature.sources,
    )


def _says(feature: Feature, on_originals: tuple[str, ...], on_copies: tuple[str, ...], seen: str) -> Says:
    if not seen:
        return Says.NOT_LOOKED
    original = any(overlap(feature, state, seen) for state in on_originals)
    copy = any(overlap(feature, state, seen) for state in on_copies)
    if not on_copies:
        return Says.LIKE_ORIGINALS if original else Says.UNLIKE_ORIGINALS
    if copy:
        return Says.NOTHING if original else Says.LIKE_COPY
    return Says.UNLIKE_COPY


# --- general signs ---------------------------------------------------------------------------------------


def sign_maker(scene: Scene) -> str:
    """Full id of the one maker whose signs can be judged; "" where the claim leaves several, or none."""
    makers = scene.makers or tuple(
        dict.fromkeys(f"maker/{scene.index.cards[card].maker}" for card in scene.whole or scene.fitting)
    )
    return makers[0] if len(makers) == 1 else ""


def signs(scene: Scene) -> tuple[Sign, ...]:
    """The general signs that hold for the claim's maker: those looked at first, then by reliability."""
    maker = sign_maker(scene)
    found = [
        _sign(feature, feature.sign.genuine[maker], (), _seen(scene, slug))
        for slug, feature in scene.catalogue.items()
        if feature.sign is not None and maker in feature.sign.genuine
    ]
    found.sort(key=lambda sign: (sign.says is Says.NOT_LOOKED, _RELIABLE[sign.reliability]))
    return tuple(found)


# --- known copies ----------------------------------------------------------------------------------------


def known_copies(scene: Scene) -> tuple[KnownCopy, ...]:
    """Known copies of what the claim may be about; those of which something was seen come first."""
    about = set(_about(scene))
    found = []
    for copy in scene.index.reproductions.values():
        if copy.id.partition("/")[0] not in scene.lines or copy.standing is Standing.REFUTED:
            continue
        hit = tuple(full for full in copy.copies if full in about)
        if hit or (Extent.NEVER_EXISTED in copy.extent and _never_sold(scene)):
            found.append(_copy(scene, copy, hit))
    found.sort(key=lambda copy: not copy.seen)
    return tuple(found)


def _about(scene: Scene) -> Iterator[str]:
    """Full ids of the cards, fronts and backs that the claim may be about, where it says enough."""
    for field in ("card", "face"):
        yield from scene.claim.ids(field)
    if len(scene.backs) <= _FEW:
        yield from scene.backs
    if scene.telling and len(scene.fitting) <= _FEW:
        for full in scene.fitting:
            card = scene.index.cards[full]
            yield from (full, card.face, card.back)


def _never_sold(scene: Scene) -> bool:
    """Whether no card of the claimed figure is recorded as sold."""
    return bool(scene.figures) and not any(
        is_sure(scene.index, card.id) for figure in scene.figures for card in scene.index.cards_of(figure)
    )


def _copy(scene: Scene, copy: Reproduction, hit: tuple[str, ...]) -> KnownCopy:
    index = scene.index
    known = features_of_line(index, copy.id.partition("/")[0])
    tells = []
    for slug, states in copy.features.items():
        feature = known.get(slug)
        if feature is None:
            continue
        originals = states_of_originals(index, slug, hit)
        if originals and all(any(overlap(feature, one, state) for one in originals) for state in states):
            continue  # as on the original: it gives nothing away
        tells.append(_sign(feature, originals, states, _seen(scene, slug)))
    tells.sort(key=lambda sign: (sign.says is Says.NOT_LOOKED, _RELIABLE[sign.reliability]))
    return KnownCopy(
        copy.id, clip(copy.title, 80), copy.extent, hit, tuple(tells), str(copy.known or ""), copy.standing,
        clip(copy.note, 300), copy.sources,
    )  # fmt: skip
