"""Rules about cards: slips once; generic backs, secrets, pooled stickers and lost countries in peace."""

from pathlib import Path

import pytest

from cardref.finding import Severity
from tests.checks.laid import Files, cards, checked, edited, one

FACES = "lines/lanternfish/faces/pell-orrin.yaml"
HOME = "lines/lanternfish/backs/pell-orrin.yaml"
CARDS = "lines/lanternfish/cards/pell-orrin.yaml"
MAKERS = "makers.yaml"


def _loud(folder: Path, files: Files) -> list[tuple[str, str, str]]:
    found = checked(folder, files).findings
    return [(f.rule, f.record.rpartition("/")[2], f.field) for f in found if f.severity is not Severity.NOTE]


def test_a_figure_on_a_back_without_it(tmp_path: Path) -> None:
    """Told at the card, with the backs on which the figure is, and with both other places."""
    report = checked(tmp_path, cards("{id: c-020, face: f-002, back: b-004, sources: [binder]}"))
    finding = one(report, "figure-not-pictured")
    assert (finding.record, finding.field) == ("lanternfish/pell-orrin/c-020", "back")
    assert "4A, 4B and 6A" in finding.message
    assert set(finding.related_records) == {"lanternfish/pell-orrin/b-004", "lanternfish/pell-orrin/f-002"}


@pytest.mark.parametrize("extra", ["exception: Packed with what was left", "standing: refuted"])
def test_said_to_be_meant_or_refuted_it_is_in_peace(tmp_path: Path, extra: str) -> None:
    """What is recorded as odd and true is no fault, and what is refuted is no claim."""
    record = f"{{id: c-020, face: f-002, back: b-004, {extra}, sources: [binder]}}"
    assert _loud(tmp_path, cards(record)) == []


def test_a_generic_back_takes_any_figure(tmp_path: Path) -> None:
    """A maker that puts figures on a back that does not picture them is not called wrong for it."""
    generic = edited(MAKERS, ("active: 1981/1984", "active: 1981/1984\n    backs: generic"))
    assert (
        _loud(tmp_path, {**generic, **cards("{id: c-020, face: f-002, back: b-004, sources: [binder]}")})
        == []
    )


def test_several_cards_of_one_wrong_face_are_one_finding(tmp_path: Path) -> None:
    """A face filed under a figure that is not on its backs: the face is told, once."""
    files = {
        **edited(FACES, ("figure: gull-warden", "figure: salt-porter"), ("    name: Gull Warden\n", "")),
        **cards("{id: c-020, face: f-004, back: b-001, sources: [binder]}"),
    }  # fmt: skip
    assert ("figure-not-pictured", "f-004", "figure") in _loud(tmp_path, files)
    assert len([1 for rule, _, _ in _loud(tmp_path / "again", files) if rule == "figure-not-pictured"]) == 1


def test_a_misfiled_face_is_told_by_its_name_and_code(tmp_path: Path) -> None:
    """Two witnesses against the record: the figure is wrong, and nothing else is said."""
    files = edited(FACES, ("figure: bell-ringer", "figure: kelp-weaver"))
    assert _loud(tmp_path, files) == [("face-figure", "f-007", "figure")]


def test_a_name_alone_is_told_at_the_name(tmp_path: Path) -> None:
    """With the code for the record, the name is what is wrong."""
    files = edited(FACES, ("name: Bell Ringer", "name: Kelp Weaver"))
    assert _loud(tmp_path, files) == [("face-name", "f-007", "name")]


def test_case_and_accents_make_no_other_name(tmp_path: Path) -> None:
    """Names are printed in capitals often enough."""
    assert _loud(tmp_path, edited(FACES, ("name: Bell Ringer", "name: BELL RINGER"))) == []


def test_a_secret_figure_may_be_sold_where_it_is_said(tmp_path: Path) -> None:
    """On its own silhouette: a warning, and none once the card says so."""
    secret = edited(
        HOME,
        (
            "plus: [kelp-weaver, bell-ringer]}",
            "plus: [kelp-weaver, bell-ringer], silhouettes: [bell-ringer]}",
        ),
    )
    assert _loud(tmp_path / "a", secret) == [("silhouette-card", "c-008", "back")]
    said = edited(
        CARDS,
        (
            "    face: f-007\n    back: b-003\n",
            "    face: f-007\n    back: b-003\n    exception: Sold early\n",
        ),
    )
    assert _loud(tmp_path / "b", {**secret, **said}) == []


def test_a_pooled_card_with_another_sellers_sticker_is_in_peace(tmp_path: Path) -> None:
    """The seller is named under roles, and the sticker is theirs."""
    sold = "stickers: [de-strip], roles: {seller: thalweg}"
    record = f"{{id: c-020, face: f-003, back: b-003, {sold}, sources: [binder]}}"
    assert _loud(tmp_path, cards(record)) == []


def test_a_country_that_is_no_more_is_right_for_its_time(tmp_path: Path) -> None:
    """On the card and as the maker's own."""
    card = "{id: c-020, face: f-003, back: b-003, origin: [{country: YUCS, where: mould}], sources: [binder]}"
    maker = edited(MAKERS, ("country: DE", "country: DDDE"))
    assert _loud(tmp_path, {**cards(card), **maker}) == []


def test_a_withdrawn_code_in_two_letters_is_told_with_its_four(tmp_path: Path) -> None:
    """YU is no code any more, and the message has the one that is meant."""
    card = "{id: c-020, face: f-003, back: b-003, origin: [{country: YU, where: mould}], sources: [binder]}"
    finding = one(checked(tmp_path, cards(card)), "unknown-country")
    assert "YUCS" in finding.message


def test_wrong_languages_of_a_maker_are_told_at_the_maker(tmp_path: Path) -> None:
    """When all its faces and backs disagree, one finding at the maker."""
    found = _loud(tmp_path, edited(MAKERS, ("languages: [fr]", "languages: [fi]")))
    assert found == [("language-not-of-maker", "morvane", "languages")]


def test_front_and_back_of_two_makers(tmp_path: Path) -> None:
    """A slip without a word; in peace with one."""
    bare = "{id: c-020, face: f-001, back: morvane/b-001, sources: [binder]}"
    assert _loud(tmp_path / "a", cards(bare)) == [("card-of-other-maker", "c-020", "back")]
    said = "{id: c-020, face: f-001, back: morvane/b-001, note: Boards were lent, sources: [binder]}"
    assert _loud(tmp_path / "b", cards(said)) == []


def test_refuted_and_seen(tmp_path: Path) -> None:
    """A card cannot be refuted here and recorded there."""
    same = "face: f-001, back: b-001, features: {board-glow: absent, lamp-paint: green}"
    record = f"{{id: c-020, {same}, standing: refuted, sources: [binder]}}"
    found = {rule for rule, _, _ in _loud(tmp_path, cards(record))}
    assert "exists-and-refuted" in found
