"""One part of a claim beside the reference: how what it names stands, or the recorded cards that have it.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("maker", "quay-marl"), ("back", "25B")]))
>>> print(alone(scene, scene.claim.part("back")))
back: agreed: back quay-marl 25B (b-017) is recorded, on 14 cards
"""

from collections.abc import Callable, Mapping

from cardref.facts.answer import Verdict
from cardref.facts.called import called, how_often, listed
from cardref.facts.naming import figures_named
from cardref.index import Index
from cardref.model.card import Made
from cardref.model.evidence import Standing
from cardref.text import clip, count_of, quoted
from cardref.vetting.claim import Part
from cardref.vetting.scene import SUPPORTED, Scene
from cardref.vetting.statement import Statement, Status, stated

__all__ = ["alone", "cards_say"]


def alone(scene: Scene, part: Part) -> Statement:
    """What is to be said of one part."""
    about = (part.field,)
    if part.problem and not part.ids:
        rule = _ALONE.get(part.field)
        status = Status.CONTRADICTED if rule is _barcode_alone else Status.UNRECORDED
        return Statement(about, status, part.problem)
    rule = _ALONE.get(part.field)
    if rule is not None:
        found = rule(scene, part)
        if found is not None:
            return found
    if part.ids:
        return _recorded(scene, part)
    if part.field in scene.signs:
        return Statement(about, Status.UNKNOWN, "it is judged by maker, and a sign is not proof")
    return _on_cards(scene, part)


def _recorded(scene: Scene, part: Part) -> Statement:
    """A part that names records: how these stand."""
    index, about = scene.index, (part.field,)
    records = {full: index.get(full) for full in (scene.backs if part.field == "back" else part.ids)}
    standings = {full: getattr(record, "standing", Standing.CONFIRMED) for full, record in records.items()}
    sources = index.sources_of(records)
    names = listed((called(index, full) for full in records), 3)
    if all(standing is Standing.REFUTED for standing in standings.values()):
        return Statement(
            about, Status.CONTRADICTED, f"{names} was claimed and is not so", tuple(records), sources
        )
    disputed = [full for full, standing in standings.items() if standing is Standing.DISPUTED]
    if disputed and len(disputed) == len(standings):
        return Statement(
            about,
            Status.UNKNOWN,
            f"{names} is disputed: {_sides(index, disputed[0])}",
            tuple(records),
            sources,
        )
    seen = [full for full in scene.cards if scene.truth[part.field][full]]
    sightings = sum(index.cards[full].seen for full in seen)
    because = f"{names} is recorded, on {count_of(len(seen), 'card')}"
    made = {index.cards[full].made for full in seen}
    if made and Made.PRODUCTION not in made:
        because += f", only as {' or '.join(sorted(made))}"
        return Statement(about, Status.UNKNOWN, because, tuple(records), sources, sightings)
    return Statement(about, Status.AGREED, because, tuple(records), sources, sightings)


def _sides(index: Index, full: str) -> str:
    sides = getattr(index.get(full), "sides", ())
    return "; ".join(clip(side.claim, 100) for side in sides[:2])


def _on_cards(scene: Scene, part: Part) -> Statement:
    """A part that names no record: the cards of which it holds."""
    truth = scene.truth[part.field]
    holding = scene.both(part.field, part.field)
    if holding:
        return cards_say((part.field,), scene, holding)
    if any(truth[full] is None for full in scene.cards):
        return Statement((part.field,), Status.UNKNOWN, f"no record says anything of {part}")
    return Statement((part.field,), Status.UNRECORDED, f"no recorded card has {part}")


def cards_say(about: tuple[str, ...], scene: Scene, cards: tuple[str, ...]) -> Statement:
    """Cards that have it, as a statement: as good as the best supported of them."""
    index = scene.index
    good = tuple(full for full in cards if full in scene.sure)
    best = good or cards
    seen = sum(map(scene.seen.__getitem__, best))
    said = f"{count_of(len(best), 'recorded card')}{how_often(seen)}"
    grounds = best, index.sources_of(best), seen
    if good:
        return Statement(about, Status.AGREED, f"on {said}", *grounds)
    first = index.cards[best[0]]
    how = first.standing.value if first.standing not in SUPPORTED else f"only as {first.made.value}"
    return Statement(about, Status.UNKNOWN, f"on {said}, {how}", *grounds)


def _code_alone(scene: Scene, part: Part) -> Statement | None:
    decoding, about = scene.code, (part.field,)
    best = decoding.best if decoding is not None else None
    if decoding is None or best is None or best.kind != "package code":
        near = decoding.suggestions if decoding is not None else ()
        hint = f"; perhaps {listed((clip(one, 40) for one in near[:2]), 2)}" if near else ""
        return Statement(about, Status.UNRECORDED, f"{quoted(part.value)} fits no recorded code scheme{hint}")
    for check in best.checks:
        if check.verdict is Verdict.NO:
            return stated(about, check)
    known = stated(about, best.known, Status.UNRECORDED)
    if best.changes:
        changes = "; ".join(clip(str(change), 60) for change in best.changes[:3])
        return Statement(
            about, known.status, f"read as {best.value} ({changes}): {known.because}", known.records,
            known.sources, known.sightings,
        )  # fmt: skip
    return known


def _barcode_alone(scene: Scene, _: Part) -> Statement | None:
    best = scene.barcode.best if scene.barcode is not None else None
    if best is None or best.kind != "barcode":
        return None
    return stated(("barcode",), best.known, Status.UNRECORDED)


def _name_alone(scene: Scene, part: Part) -> Statement | None:
    figures = tuple(
        full
        for line in scene.lines
        for value in part.values
        for full in figures_named(scene.index, line, value)
    )
    if figures:
        names = listed((called(scene.index, full) for full in figures), 3)
        return Statement((part.field,), Status.AGREED, f"a name of {names}", figures)
    return _on_cards(scene, part)


def _sticker_alone(_: Scene, part: Part) -> Statement | None:
    if part.values == ("none",):
        return Statement(
            (part.field,), Status.UNKNOWN, "that none is there never proves that none was: look for residue"
        )
    return None


_ALONE: Mapping[str, Callable[[Scene, Part], Statement | None]] = {
    "code": _code_alone, "barcode": _barcode_alone,
    "name": _name_alone, "sticker": _sticker_alone,
}  # fmt: skip
