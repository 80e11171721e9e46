"""Rules about time: one wrong year is one finding, at the side that stands alone; doubt says nothing."""

import typing
from pathlib import Path

import attrs
import pytest

from cardref.checks.rules.time.future_date import DATES
from cardref.finding import Severity
from cardref.model.kinds import KINDS
from cardref.notation.edtf import Date
from tests.checks.laid import BACKS, HEAD, cards, checked, edited, one

LINE = "lines/lanternfish/line.yaml"
HOME = "lines/lanternfish/backs/pell-orrin.yaml"


def _at(folder: Path, files: dict[str, str | bytes | None]) -> list[tuple[str, str]]:
    """Rule and record of every warning and error."""
    found = checked(folder, files).findings
    return [(one.rule, one.record) for one in found if one.severity is not Severity.NOTE]


@pytest.mark.parametrize(
    ("year", "rule"),
    [
        ("2982-02", "future-date"),
        ("1892-02", "outside-maker"),
        ("1984-02", "outside-series"),
        ("1981-12", "back-before-wave"),
    ],
)
def test_a_wrong_year_of_a_back_is_told_once(tmp_path: Path, year: str, rule: str) -> None:
    """However many things a date contradicts, the first of them tells it, and the others pass it over."""
    files = edited(HOME, ("released: 1982-02", f"released: {year}"))
    assert _at(tmp_path, files) == [(rule, "lanternfish/pell-orrin/b-003")]


def test_an_order_is_told_where_no_frame_is_broken(tmp_path: Path) -> None:
    """A year that fits everything but the printing before it is told with that."""
    files = edited(HOME, ("released: 1981-09\n    after: b-001", "released: 1981-09\n    after: b-003"))
    assert ("circular-link", "lanternfish/pell-orrin/b-002") not in _at(tmp_path, files)[1:]
    assert any(rule in ("after-order", "circular-link") for rule, _ in _at(tmp_path, files))


def test_wrong_years_of_a_series_are_told_at_the_series(tmp_path: Path) -> None:
    """When most of what it holds lies outside, the frame is wrong, and told once."""
    files = edited(LINE, ("years: 1981/1983", "years: 1991/1993"))
    assert _at(tmp_path, files) == [("outside-series", "lanternfish/series/lanternfish")]


def test_wrong_years_of_a_maker_are_told_at_the_maker(tmp_path: Path) -> None:
    """The same for a maker."""
    files = edited("makers.yaml", ("active: 1981/1984", "active: 1991/1994"))
    assert _at(tmp_path, files) == [("outside-maker", "maker/pell-orrin")]


def test_years_that_slipped_a_little_are_told_at_the_maker_too(tmp_path: Path) -> None:
    """Three dates outside are enough, even where most still lie within: one slip is likelier than three."""
    files = edited("makers.yaml", ("active: 1981/1984", "active: 1982/1985"))
    assert _at(tmp_path, files) == [("outside-maker", "maker/pell-orrin")]


def test_a_wave_dated_behind_its_back_is_told_once(tmp_path: Path) -> None:
    """A wave that is later than its one back: the two contradict each other, and that is one finding."""
    files = edited(LINE, ("date: 1982-02", "date: 1983-02"))
    found = checked(tmp_path, files).findings
    assert [one.rule for one in found] == ["back-before-wave"]
    assert "lanternfish/wave/po-2" in {found[0].record, *found[0].related_records}


@pytest.mark.parametrize("text", ['"1975~"', '"1981?"', "1979/1983", '"198X"', '"[1979,1982]"', "../1982"])
def test_what_leaves_it_open_is_no_contradiction(tmp_path: Path, text: str) -> None:
    """Uncertain, approximate, unspecified and open dates are never called wrong for what they might be."""
    assert _at(tmp_path, edited(HOME, ("released: 1982-02", f"released: {text}"))) == []


def test_leftover_stickers_are_used_up_for_a_year(tmp_path: Path) -> None:
    """An offer of 1982 on a card of 1983 is no fault."""
    more = cards(
        "{id: c-020, face: f-006, back: b-003, stickers: [whistle-offer],"
        ' released: "1983", sources: [binder]}'
    )
    assert _at(tmp_path, more) == []


def test_a_sticker_that_most_of_its_cards_contradict_is_told_itself(tmp_path: Path) -> None:
    """Two of the three cards that bear it are too young for it: its own date is wrong, and told once."""
    more = cards(
        *(
            f'{{id: c-02{n}, face: f-006, back: b-003, stickers: [whistle-offer], released: "1983-0{n}",'
            " sources: [binder]}"
            for n in (1, 2)
        )
    )
    early = edited("lines/lanternfish/stickers.yaml", ('released: "1982"', 'released: "1981"'))
    found = _at(tmp_path, {**more, **early})
    assert [pair for pair in found if pair[0] == "sticker-before-card"] == [
        ("sticker-before-card", "lanternfish/sticker/whistle-offer")
    ]


def test_a_catalogue_may_announce_and_a_photograph_may_not(tmp_path: Path) -> None:
    """A trade list of 1983 tells of 1984; a picture of 1983 shows nothing of it."""
    listed = edited("sources.yaml", ('date: "1984"', 'date: "1983"'))
    assert _at(tmp_path / "list", listed) == []
    more = cards('{id: c-020, face: f-008, back: b-004, released: "1984", sources: [fair-photo]}')
    old = edited("sources.yaml", ('date: "2021"', 'date: "1983"'))
    found = _at(tmp_path / "photo", {**more, **old})
    assert ("source-before-statement", "lanternfish/pell-orrin/c-020") in found


def test_letters_out_of_order_are_a_note_at_most(tmp_path: Path) -> None:
    """Letters given as printings were found may run against the order of printing."""
    more = (
        HEAD + "backs:\n"
        "  - {id: b-020, designation: 4C, series: lanternfish, count: 4, pictures: {based_on: b-001},"
        " after: b-021, features: {waves-drawn: 8}, sources: [binder]}\n"
        "  - {id: b-021, designation: 4D, series: lanternfish, count: 4, pictures: {based_on: b-001},"
        " features: {waves-drawn: 9}, sources: [binder]}\n"
    )
    found = checked(tmp_path, {BACKS: more}).findings
    assert "after-letter" in [one.rule for one in found]
    assert {one.severity for one in found} == {Severity.NOTE}


def test_every_date_of_the_model_is_looked_at() -> None:
    """A date that is added to the model is held against today, or left out here with a reason."""
    dated = {
        kind: field.name
        for kind in KINDS
        for field in attrs.fields(KINDS[kind].record)
        if Date in typing.get_args(typing.get_type_hints(KINDS[kind].record)[field.name])
    }
    del dated["waiver"]  # its end lies in the future by nature
    assert dict(DATES) == dated


@pytest.mark.parametrize(
    ("active", "said"),
    [
        ("1982/1993", "the last thing recorded of it is of"),
        ("1971/1983", "the first thing recorded of it is of"),
    ],
)
def test_the_idle_years_of_a_maker_are_told_at_their_end(tmp_path: Path, active: str, said: str) -> None:
    """Years after the last thing, or before the first: the message says which."""
    report = checked(tmp_path, edited("makers.yaml", ("active: 1982/1983", f"active: {active}")))
    assert said in one(report, "idle-maker").message
