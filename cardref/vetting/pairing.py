"""What follows for a claim: every part beside the reference, and every two parts beside each other.

A recorded card on which two parts hold says that they go together. Where there is none they are compared
through :mod:`cardref.facts`, which may contradict them. What nothing contradicts is *unrecorded*, or
*unknown* where the cards that could tell were not looked at for it.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("maker", "quay-marl"), ("back", "25B"), ("back-count", 28)]))
>>> for statement in statements(scene):
...     if len(statement.about) == 2:
...         print(statement.about, statement.status.value)
('maker', 'back') agreed
('maker', 'back-count') agreed
('back', 'back-count') contradicted
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from itertools import chain, combinations

from attrs import evolve

from cardref.facts.answer import Answer, Verdict
from cardref.facts.bounds import released
from cardref.facts.called import called, figure_name, listed
from cardref.facts.cards import exists
from cardref.facts.carrying import carrying
from cardref.facts.features import as_length, features_of_line, overlap, states_of
from cardref.facts.naming import figures_named
from cardref.facts.territories import (
    country_existed,
    origin_fits,
    sold_in_any,
)
from cardref.facts.timing import debut, outside, surely_before, was_active
from cardref.index import Index
from cardref.model.card import Made
from cardref.model.evidence import Standing
from cardref.model.feature import NOT_APPLICABLE, Side
from cardref.notation.edtf import Date
from cardref.text import clip, count_of, quoted
from cardref.vetting.claim import Part
from cardref.vetting.fields import FIELDS, features_named
from cardref.vetting.scene import SUPPORTED, Scene, states_on
from cardref.vetting.statement import Statement, Status, stated

__all__ = ["statements", "values_on", "words_of"]


def statements(scene: Scene) -> tuple[Statement, ...]:
    """Every statement: parts that contradict themselves, each part, then each pair."""
    parts = scene.claim.parts
    return (
        *(_clash(part) for part in parts if part.clash),
        *(_alone(scene, part) for part in parts),
        *(_pair(scene, one, other) for one, other in combinations(parts, 2)),
    )


def _clash(part: Part) -> Statement:
    said = listed((clip(said.value, 40) for said in part.said), 4)
    because = f"the claim says {count_of(len(part.said), 'thing')} of one card: {said}"
    if all(said.span is not None for said in part.said):
        # Running text may speak of several cards, or of something else: that is no contradiction yet.
        return Statement(
            (part.field, part.field), Status.UNKNOWN, f"the words name several ({said}); which is offered?"
        )
    return Statement((part.field, part.field), Status.CONTRADICTED, because)


# --- one part beside the reference -----------------------------------------------------------------------


def _alone(scene: Scene, part: Part) -> Statement:
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
    sources = _sources(index, records)
    names = listed((called(index, full) for full in records), 3)
    if all(standing is Standing.REFUTED for standing in standings.values()):
        return Statement(
            about, Status.CONTRADICTED, f"{names} was claimed and is not so", tuple(records)[:20], sources
        )
    disputed = [full for full, standing in standings.items() if standing is Standing.DISPUTED]
    if disputed and len(disputed) == len(standings):
        return Statement(
            about,
            Status.UNKNOWN,
            f"{names} is disputed: {_sides(index, disputed[0])}",
            tuple(records)[:20],
            sources,
        )
    seen = [full for full in scene.cards if scene.truth[part.field][full]]
    sightings = sum(index.cards[full].seen for full in seen)
    because = f"{names} is recorded, on {count_of(len(seen), 'card')}"
    made = {index.cards[full].made for full in seen}
    if made and Made.PRODUCTION not in made:
        because += f", only as {' or '.join(sorted(made))}"
        return Statement(about, Status.UNKNOWN, because, tuple(records)[:20], sources, sightings)
    return Statement(about, Status.AGREED, because, tuple(records)[:20], sources, sightings)


def _sides(index: Index, full: str) -> str:
    sides = getattr(index.get(full), "sides", ())
    return "; ".join(clip(side.claim, 100) for side in sides[:2])


def _on_cards(scene: Scene, part: Part) -> Statement:
    """A part that names no record: the cards of which it holds."""
    truth = scene.truth[part.field]
    holding = scene.both(part.field, part.field)
    if holding:
        return _cards_say((part.field,), scene, holding)
    if any(truth[full] is None for full in scene.cards):
        return Statement((part.field,), Status.UNKNOWN, f"no record says anything of {part}")
    return Statement((part.field,), Status.UNRECORDED, f"no recorded card has {part}")


def _cards_say(about: tuple[str, ...], scene: Scene, cards: tuple[str, ...]) -> Statement:
    """Cards that have it, as a statement: as good as the best supported of them."""
    index = scene.index
    good = tuple(full for full in cards if full in scene.sure)
    best = good or cards
    seen = sum(map(scene.seen.__getitem__, best))
    said = count_of(len(best), "recorded card") + (f", seen {_times(seen)}" if seen else "")
    grounds = best[:20], _sources(index, best[:20]), seen
    if good:
        return Statement(about, Status.AGREED, f"on {said}", *grounds)
    first = index.cards[best[0]]
    how = first.standing.value if first.standing not in SUPPORTED else f"only as {first.made.value}"
    return Statement(about, Status.UNKNOWN, f"on {said}, {how}", *grounds)


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")


def _sources(index: Index, records: Iterable[str]) -> tuple[str, ...]:
    return index.sources_of(records)[:20]


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


# --- two parts beside each other -------------------------------------------------------------------------


def _pair(scene: Scene, one: Part, other: Part) -> Statement:
    found = _compared(scene, one, other)
    if not scene.signs.isdisjoint(found.about):
        # About copies nothing is said without its caution, and no sign contradicts.
        status = Status.UNRECORDED if found.status is Status.CONTRADICTED else found.status
        return evolve(found, status=status, because=f"{found.because}; a sign is not proof")
    date = one if one.field == "date" else other
    if date.field != "date" or date.said[0].span is None or found.status is Status.AGREED:
        return found
    # Sellers write the year of the copyright: in running text a year says too little to contradict.
    because = found.because
    if found.status is Status.CONTRADICTED:
        because += f"; {date.shown} may be the copyright's year"
    return evolve(found, status=Status.UNKNOWN, because=because)


def _compared(scene: Scene, one: Part, other: Part) -> Statement:
    about = (one.field, other.field)
    first, second = scene.truth[one.field], scene.truth[other.field]
    both = scene.both(one.field, other.field)
    cards = _cards_say(about, scene, both) if both else None
    if cards is not None and cards.status is Status.AGREED:
        return cards
    answer = _answer(scene, one, other)
    if answer is not None and answer.verdict is not Verdict.UNKNOWN:
        return stated(about, answer)
    if cards is not None:
        return cards
    for part in (one, other):
        if part.problem and not part.ids:
            return Statement(
                about, Status.UNKNOWN, f"{part.title} is not recorded, so nothing can be compared"
            )
    # Could the cards tell that everything else claimed holds of?
    pool = _pool(scene, one, other)
    silent = any(first[full] is not False and second[full] is not False for full in pool)
    status = Status.UNKNOWN if silent else Status.UNRECORDED
    instead = _instead(scene, pool, one, other)
    if answer is not None:
        found = stated(about, answer, status)
        return evolve(found, because=f"{found.because}{instead}")
    if silent:
        return Statement(about, status, f"nobody recorded {other} for the cards of {one}")
    return Statement(about, status, f"no recorded card has both {one} and {other}{instead}")


def _pool(scene: Scene, one: Part, other: Part) -> tuple[str, ...]:
    """The cards of which nothing but these two parts is recorded otherwise; all where there is none."""
    apart = {one.field, other.field}
    groups = (cards for misfits, cards in scene.by_misfits.items() if apart.issuperset(misfits))
    return tuple(chain.from_iterable(groups)) or scene.cards


def _answer(scene: Scene, one: Part, other: Part) -> Answer | None:
    rule = _PAIRS.get((one.field, other.field))
    if rule is not None:
        return rule(scene, one, other)
    flags = one.field in scene.features, other.field in scene.features
    if one.field == "maker" and flags[1]:
        return _sign_of_maker(scene, one, other)
    if all(flags):
        return _two_features(scene, one, other)
    if flags[1] and one.field in ("back", "face", "card"):
        return _feature_of(scene, one, other)
    return _of_record(scene, one, other)


def _of_record(scene: Scene, one: Part, other: Part) -> Answer | None:
    """What a claimed card or front is recorded to be excludes what it is not."""
    for record, part in ((one, other), (other, one)):
        if record.field not in ("card", "face") or not record.ids or not (part.ids or part.values):
            continue
        cards = [full for full in scene.cards if scene.truth[record.field][full]]
        if cards and all(scene.truth[part.field][full] is False for full in cards):
            has = listed(
                dict.fromkeys(v for full in cards for v in values_on(scene.index, part.field, full)), 3
            )
            said = f", which has {has}" if has else ""
            return Answer.no(f"{part} is not on {called(scene.index, record.ids[0])}{said}", record.ids)
    return None


def _any(answers: Iterable[Answer]) -> Answer | None:
    """Of answers for all that a claim can mean: yes if one says yes, no only if all do; None for none."""
    known = list(answers)
    for verdict in (Verdict.YES, Verdict.UNKNOWN, Verdict.NO):
        same = [answer for answer in known if answer.verdict is verdict]
        if same:
            records = tuple(dict.fromkeys(full for answer in same for full in answer.records))
            sources = tuple(dict.fromkeys(full for answer in same for full in answer.sources))
            more = f" ({len(same) - 1} more)" if len(same) > 1 else ""
            because = f"{same[0].because}{more}"
            return Answer(verdict, because, records, sources, sum(answer.sightings for answer in same))
    return None


def _instead(scene: Scene, pool: tuple[str, ...], one: Part, other: Part) -> str:
    """What the cards of the one have in place of the other, where that is short to tell."""
    values: dict[str, None] = {}
    for full in pool:
        if scene.truth[one.field][full]:
            values.update(dict.fromkeys(values_on(scene.index, other.field, full)))
            if len(values) > 3:
                return ""
    return f"; recorded there: {listed(values, 3)}" if values else ""


def values_on(index: Index, field: str, card: str) -> Iterator[str]:
    """What a recorded card (full id) has in a field, in words; nothing where that is not recorded."""
    record = index.cards[card]
    face, back = index.faces[record.face], index.backs[record.back]
    if field == "code":
        yield from face.printed_codes or (("none printed",) if face.codes == "none" else ())
    elif field == "back":
        yield back.label
    elif field == "back-count":
        yield str(back.count)
    elif field == "figure":
        yield figure_name(index, face.figure)
    elif field in ("series", "back-series"):
        series = index.series.get(face.series if field == "series" else back.series)
        yield from (clip(series.title, 60),) if series is not None else ()
    elif field == "origin":
        yield from (mark.country for mark in record.origin)
    elif field in ("number", "barcode", "name"):
        yield from (clip(text, 60) for text in (getattr(face, field),) if text)
    elif field == "language":
        yield from dict.fromkeys((*face.languages, *back.languages))
    elif field == "date":
        when = released(index, card)
        ends = tuple(str(limit.day) if limit is not None else "?" for limit in (when.earliest, when.latest))
        yield from (f"{ends[0]} to {ends[1]}",) if ends != ("?", "?") else ()
    elif field == "maker":
        maker = index.makers.get(f"maker/{face.maker}")
        yield clip(maker.latin or maker.name, 60) if maker is not None else clip(face.maker, 60)
    elif field not in FIELDS:
        yield from (words_of(state) for state in states_on(index, record).get(field, ()))


def words_of(state: str) -> str:
    """A state in a sentence."""
    return clip(state if as_length(state) else state.replace("-", " "), 40)


# --- by facts --------------------------------------------------------------------------------------------


def _maker_line(scene: Scene, maker: Part, line: Part) -> Answer | None:
    index = scene.index
    for full in line.ids:
        for one in maker.ids:
            if one in index.lines[full].makers:
                return Answer.yes(
                    f"{called(index, one)} made or sold {clip(index.lines[full].title, 60)}", (full, one),
                    index.lines[full].sources,
                )  # fmt: skip
    return None


def _maker_figure(scene: Scene, maker: Part, figure: Part) -> Answer | None:
    index = scene.index
    for one in maker.ids:
        for full in figure.ids:
            sold = debut(index, full, one)
            if sold is not None:
                date = f" in {sold.date}" if sold.date is not None else ""
                return Answer.yes(
                    f"{figure_name(index, full)} came out with {called(index, sold.wave)}{date}",
                    (sold.wave,), _sources(index, (sold.wave,)),
                )  # fmt: skip
    return None


def _maker_back(scene: Scene, maker: Part, back: Part) -> Answer | None:
    index = scene.index
    makers = {full.partition("/")[2] for full in maker.ids}
    own = tuple(
        full for full in back.ids if full.split("/")[1] in makers and full.partition("/")[0] in scene.lines
    )
    if own:
        return Answer.yes(
            f"{listed((called(index, full) for full in own), 2)} is recorded", own, _sources(index, own)
        )
    count = str(index.backs[back.ids[0]].count) if back.ids else ""
    near = [
        one
        for (line, of, number), ids in index.backs_by_group.items()
        if of in makers and line in scene.lines and str(number) == count
        for one in ids
    ]
    has = listed((str(index.backs[full].designation) for full in near), 6)
    hint = f"; with that count they have {has}" if has else ""
    return Answer.unknown(f"no back {back.shown} of {maker.shown} is recorded{hint}", tuple(near))


def _maker_code(scene: Scene, maker: Part, code: Part) -> Answer | None:
    return _any(
        _all(carrying(scene.index, _text(scene, code), line, one))
        for line in scene.lines
        for one in maker.ids
    )


def _text(scene: Scene, code: Part) -> str:
    """The code as its scheme writes it, where it could be read at all."""
    best = scene.code.best if scene.code is not None else None
    return best.value if best is not None and best.kind == "package code" else code.value


def _all(answers: Iterable[Answer]) -> Answer:
    """Of comparisons that must all hold: no if one says no, else unknown if one does not know."""
    known = list(answers)
    for verdict in (Verdict.NO, Verdict.UNKNOWN):
        for answer in known:
            if answer.verdict is verdict:
                return answer
    return known[-1]


def _with_code(scene: Scene, **claimed: str) -> Answer | None:
    """What the code says beyond its own parts, of a series, figure or back."""
    code = scene.claim.part("code")
    found = []
    for line in scene.lines:
        for maker in scene.makers if code is not None else ():
            text = _text(scene, code) if code is not None else ""
            known = set(carrying(scene.index, text, line, maker))
            more = [
                answer
                for answer in carrying(scene.index, text, line, maker, **claimed)
                if answer not in known
            ]
            if more:
                found.append(_all(more))
    return _any(found)


def _figure_code(scene: Scene, figure: Part, _: Part) -> Answer | None:
    return _any(answer for full in figure.ids if (answer := _with_code(scene, figure=full)) is not None)


def _series_code(scene: Scene, series: Part, _: Part) -> Answer | None:
    return _any(answer for full in series.ids if (answer := _with_code(scene, series=full)) is not None)


def _back_code(scene: Scene, _: Part, __: Part) -> Answer | None:
    return _any(answer for full in scene.backs if (answer := _with_code(scene, back=full)) is not None)


def _count_code(scene: Scene, count: Part, _: Part) -> Answer | None:
    best = scene.code.best if scene.code is not None else None
    if best is None:
        return None
    counts = {str(scene.index.backs[full].count) for full in best.backs}
    named = [str(sense.count) for m in best.segments for sense in m.senses if sense.count is not None]
    if not named:
        return None
    said = listed(dict.fromkeys(named), 3)
    if not {*named, *counts}.isdisjoint(count.values):
        return Answer.yes(f"its back segment means a back of {said}", (best.scheme,))
    return Answer.unknown(
        f"its back segment means a back of {said}; fronts and backs were printed apart", (best.scheme,)
    )


def _figure_back(scene: Scene, _: Part, __: Part) -> Answer | None:
    return _any(exists(scene.index, figure, back) for figure in scene.figures for back in scene.backs)


def _figure_line(_: Scene, line: Part, figure: Part) -> Answer | None:
    lines = {full.partition("/")[0] for full in figure.ids}
    if not figure.ids or not line.ids:
        return None
    if lines.isdisjoint(line.ids):
        return Answer.no(f"{figure.shown} is a figure of {listed(lines, 2)}", figure.ids)
    return Answer.yes(f"{figure.shown} is a figure of it", figure.ids)


def _line_series(_: Scene, line: Part, series: Part) -> Answer | None:
    lines = {full.partition("/")[0] for full in series.ids}
    if not lines or not line.ids:
        return None
    if lines.isdisjoint(line.ids):
        return Answer.no(f"{series.shown} is a series of {listed(lines, 2)}", series.ids)
    return Answer.yes(f"{series.shown} is a series of it", series.ids)


def _line_back(scene: Scene, line: Part, back: Part) -> Answer | None:
    own = tuple(full for full in back.ids if full.partition("/")[0] in line.ids)
    if own:
        return Answer.yes(f"{listed((called(scene.index, full) for full in own), 2)} is recorded", own)
    return None


def _series_back(scene: Scene, series: Part, _: Part) -> Answer | None:
    index = scene.index
    same = tuple(full for full in scene.backs if index.backs[full].series in series.ids)
    if same:
        return Answer.yes(f"{listed((called(index, full) for full in same), 2)} is of {series.shown}", same)
    if not scene.backs or not series.ids:
        return None
    return Answer.unknown(
        f"{called(index, scene.backs[0])} is of another series; fronts and backs were printed apart",
        scene.backs,
    )


def _back_series_back(scene: Scene, series: Part, _: Part) -> Answer | None:
    index = scene.index
    if not scene.backs or not series.ids:
        return None
    same = tuple(full for full in scene.backs if index.backs[full].series in series.ids)
    if same:
        return Answer.yes(f"{called(index, same[0])} is of {series.shown}", same, _sources(index, same))
    back = index.backs[scene.backs[0]]
    title = index.series[back.series].title if back.series in index.series else back.series
    return Answer.no(
        f"{called(index, back.id)} is titled {clip(title, 60)}", scene.backs, _sources(index, scene.backs)
    )


def _back_count(scene: Scene, _: Part, count: Part) -> Answer | None:
    index = scene.index
    if not scene.backs:
        return None
    same = tuple(full for full in scene.backs if str(index.backs[full].count) in count.values)
    if same:
        return Answer.yes(f"{called(index, same[0])} pictures {count.shown}", same, _sources(index, same))
    back = index.backs[scene.backs[0]]
    return Answer.no(
        f"{called(index, back.id)} pictures {count_of(back.count, 'figure')}", scene.backs,
        _sources(index, scene.backs),
    )  # fmt: skip


def _figure_name(scene: Scene, figure: Part, name: Part) -> Answer | None:
    index = scene.index
    named = tuple(
        full for line in scene.lines for value in name.values for full in figures_named(index, line, value)
    )
    if not named or not figure.ids:
        return None
    if set(named).isdisjoint(figure.ids):
        return Answer.no(
            f"{name.shown} is a name of {listed((figure_name(index, f) for f in named), 3)}", named
        )
    return Answer.yes(f"{name.shown} is a name of {figure.shown}", named)


def _maker_language(scene: Scene, maker: Part, language: Part) -> Answer | None:
    return _any(sold_in_any(scene.index, full, language.values) for full in maker.ids)


def _maker_date(scene: Scene, maker: Part, date: Part) -> Answer | None:
    return _any(was_active(scene.index, full, Date.parse(date.value)) for full in maker.ids)


def _sold_by(scene: Scene, full: str, date: Date, what: str) -> Answer:
    """Whether something can have been in the shops at ``date``; later than recorded contradicts nothing."""
    when = released(scene.index, full)
    low, high = when.earliest, when.latest
    if low is not None and not low.about and surely_before(date, Date.parse(str(low.day))):
        return Answer.no(
            f"{what} reached the shops not before {low.day} ({low.because})", (full, low.record),
            _sources(scene.index, (full, low.record)),
        )  # fmt: skip
    if high is not None and not high.about and surely_before(Date.parse(str(high.day)), date):
        return Answer.unknown(
            f"{what} is recorded up to {high.day} ({high.because}); old stock may have been sold later",
            (full, high.record),
        )
    if low is None or high is None:
        return Answer.unknown(f"when {what} reached the shops is not recorded", (full,))
    return Answer.yes(f"{what} was in the shops from {low.day}", (full, low.record))


def _back_date(scene: Scene, _: Part, date: Part) -> Answer | None:
    when = Date.parse(date.value)
    return _any(_sold_by(scene, full, when, called(scene.index, full)) for full in scene.backs)


def _card_date(scene: Scene, card: Part, date: Part) -> Answer | None:
    when = Date.parse(date.value)
    return _any(_sold_by(scene, full, when, called(scene.index, full)) for full in card.ids)


def _sticker_date(scene: Scene, sticker: Part, date: Part) -> Answer | None:
    when = Date.parse(date.value)
    return _any(_sold_by(scene, full, when, called(scene.index, full)) for full in sticker.ids)


def _series_date(scene: Scene, series: Part, date: Part) -> Answer | None:
    index = scene.index
    found = []
    for full in series.ids:
        years = index.series[full].years
        where = outside(Date.parse(date.value), years)
        said = f"{called(index, full)} was sold {years}"
        if where == "before":
            found.append(Answer.no(said, (full,), index.series[full].sources))
        elif where == "after":
            found.append(Answer.unknown(f"{said}; old stock may have been sold later", (full,)))
        elif years is not None:
            found.append(Answer.yes(said, (full,), index.series[full].sources))
    return _any(found)


def _figure_date(scene: Scene, figure: Part, date: Part) -> Answer | None:
    index, when = scene.index, Date.parse(date.value)
    found = []
    for full in figure.ids:
        for maker in scene.claim.ids("maker") or tuple(index.makers):
            sold = debut(index, full, maker)
            if sold is None or sold.date is None:
                continue
            said = f"{figure_name(index, full)} came out at {called(index, maker)} in {sold.date}"
            grounds = (sold.wave,), _sources(index, (sold.wave,))
            found.append(
                Answer.no(said, *grounds) if surely_before(when, sold.date) else Answer.yes(said, *grounds)
            )
    return _any(found)


def _origin_date(_: Scene, origin: Part, date: Part) -> Answer | None:
    return _any(country_existed(value, Date.parse(date.value)) for value in origin.values)


def _origin_back(scene: Scene, _: Part, origin: Part) -> Answer | None:
    """Only a country that was not there can contradict; that it was there says little."""
    found = [
        origin_fits(scene.index, value, released(scene.index, full))
        for value in origin.values
        for full in scene.backs
    ]
    return _any(found) if found and all(answer.verdict is Verdict.NO for answer in found) else None


def _maker_sticker(scene: Scene, maker: Part, sticker: Part) -> Answer | None:
    index = scene.index
    for full in sticker.ids:
        by = index.stickers[full].by
        if not set(by).isdisjoint(maker.ids):
            return Answer.yes(
                f"{called(index, full)} was put on by {maker.shown}", (full,), index.stickers[full].sources
            )
    return None


def _feature_of(scene: Scene, of: Part, feature: Part) -> Answer | None:
    """A reading beside the states of a claimed back, front or card."""
    index = scene.index
    found = []
    for full in scene.backs if of.field == "back" else of.ids:
        known = features_of_line(index, full.partition("/")[0]).get(feature.field)
        states = states_of(index, full).get(feature.field)
        name = called(index, full)
        if known is None or not states:
            found.append(Answer.unknown(f"{feature.title} of {name} is not recorded", (full,)))
            continue
        said = f"{name} has {' or '.join(map(words_of, states[:3]))}"
        grounds = (full,), _sources(index, (full,))
        if any(overlap(known, state, value) for state in states for value in feature.values):
            found.append(Answer.yes(said, *grounds))
        elif known.side in (Side.FRONT, Side.BACK) or of.field == "card":
            found.append(Answer.no(said, *grounds))
        else:
            found.append(Answer.unknown(f"{said}; others may exist", *grounds))
    return _any(found)


def _sign_of_maker(scene: Scene, maker: Part, feature: Part) -> Answer | None:
    """A sign of copies and repairs beside what is known of a maker's originals. It never contradicts."""
    for known in features_named(scene.index, feature.field):
        if known.sign is None:
            continue
        for full in maker.ids:
            usual = known.sign.genuine.get(full, ())
            said = f"originals of {maker.shown} are known {' or '.join(map(words_of, usual[:3]))}"
            if any(overlap(known, state, value) for state in usual for value in feature.values):
                return Answer.yes(said, (known.id,), known.sources)
            if usual:
                return Answer.unknown(said, (known.id,), known.sources)
    return None


def _two_features(scene: Scene, one: Part, other: Part) -> Answer | None:
    """A feature that can only be there when its parent is in another state than was read."""
    for line in scene.lines:
        known = features_of_line(scene.index, line)
        for child, parent in ((one, other), (other, one)):
            feature = known.get(child.field)
            if feature is None or feature.applies is None or feature.applies.feature != parent.field:
                continue
            wanted = feature.applies.state
            if NOT_APPLICABLE not in child.values and wanted not in parent.values:
                return Answer.no(
                    f"{clip(feature.title, 60)} can only be seen where {parent.title} is {wanted}",
                    (feature.id,), feature.sources,
                )  # fmt: skip
    return None


_PAIRS: Mapping[tuple[str, str], Callable[[Scene, Part, Part], Answer | None]] = {
    ("line", "maker"): lambda scene, line, maker: _maker_line(scene, maker, line),
    ("line", "figure"): _figure_line,
    ("line", "series"): _line_series,
    ("line", "back-series"): _line_series,
    ("line", "back"): _line_back,
    ("maker", "figure"): _maker_figure,
    ("maker", "back"): _maker_back,
    ("maker", "code"): _maker_code,
    ("maker", "language"): _maker_language,
    ("maker", "sticker"): _maker_sticker,
    ("maker", "date"): _maker_date,
    ("figure", "back"): _figure_back,
    ("figure", "code"): _figure_code,
    ("figure", "name"): _figure_name,
    ("figure", "date"): _figure_date,
    ("series", "back"): _series_back,
    ("series", "code"): _series_code,
    ("series", "date"): _series_date,
    ("back-series", "back"): _back_series_back,
    ("back-series", "date"): _series_date,
    ("back", "back-count"): _back_count,
    ("back", "code"): _back_code,
    ("back", "origin"): _origin_back,
    ("back", "date"): _back_date,
    ("back-count", "code"): _count_code,
    ("origin", "date"): _origin_date,
    ("sticker", "date"): _sticker_date,
    ("date", "card"): lambda scene, date, card: _card_date(scene, card, date),
}
"""Which fact compares two fields, in the order of the fields. All other pairs go by the recorded cards."""
