"""Two parts of a claim beside each other, by what follows from the records: they agree, exclude, or neither.

>>> from cardref.reference import load
>>> from cardref.vetting.claim import given
>>> index = load().index
>>> scene = Scene(index, given(index, [("back", "25B"), ("back-count", 28)]))
>>> answer = by_facts(scene, *scene.claim.parts)
>>> answer.verdict.value, answer.because
('no', 'back quay-marl 25B (b-017) pictures 25 figures')
"""

from collections.abc import Callable, Iterable, Mapping

from cardref.facts.answer import Answer, Verdict
from cardref.facts.bounds import released
from cardref.facts.called import called, figure_name, listed
from cardref.facts.cards import exists
from cardref.facts.carrying import carrying
from cardref.facts.features import features_of_line, overlap, states_of
from cardref.facts.naming import figures_named
from cardref.facts.territories import (
    country_existed,
    origin_fits,
    sold_in_any,
)
from cardref.facts.timing import debut, outside, surely_before, was_active
from cardref.model.feature import NOT_APPLICABLE, Side
from cardref.notation.edtf import Date
from cardref.text import clip, count_of
from cardref.vetting.claim import Part
from cardref.vetting.fields import features_named
from cardref.vetting.on_card import values_on, words_of
from cardref.vetting.scene import Scene

__all__ = ["by_facts"]


def by_facts(scene: Scene, one: Part, other: Part) -> Answer | None:
    """What the records say of two parts, in the order of the fields; None where no fact compares them."""
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


# --- pair by pair ----------------------------------------------------------------------------------------


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
                    (sold.wave,), index.sources_of((sold.wave,)),
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
            f"{listed((called(index, full) for full in own), 2)} is recorded", own, index.sources_of(own)
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
        return Answer.yes(f"{called(index, same[0])} is of {series.shown}", same, index.sources_of(same))
    back = index.backs[scene.backs[0]]
    title = index.series[back.series].title if back.series in index.series else back.series
    return Answer.no(
        f"{called(index, back.id)} is titled {clip(title, 60)}", scene.backs, index.sources_of(scene.backs)
    )


def _back_count(scene: Scene, _: Part, count: Part) -> Answer | None:
    index = scene.index
    if not scene.backs:
        return None
    same = tuple(full for full in scene.backs if str(index.backs[full].count) in count.values)
    if same:
        return Answer.yes(f"{called(index, same[0])} pictures {count.shown}", same, index.sources_of(same))
    back = index.backs[scene.backs[0]]
    return Answer.no(
        f"{called(index, back.id)} pictures {count_of(back.count, 'figure')}", scene.backs,
        index.sources_of(scene.backs),
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
            scene.index.sources_of((full, low.record)),
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
            grounds = (sold.wave,), index.sources_of((sold.wave,))
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
        grounds = (full,), index.sources_of((full,))
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
