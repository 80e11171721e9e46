"""Links and names beyond the examples: one mistake gives one finding, and what is odd but true gives none."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cardref.checks.lookalikes import code_skeleton, skeleton
from cardref.finding import Severity
from tests.checks.laid import BACKS, FACES, HEAD, SAMPLE, cards, checked, edited, one, rules_told, told

BACK = (
    "  - {{id: b-0{at}, designation: {designation}, series: {series}, wave: po-2, count: 6, "
    "pictures: {{based_on: b-003}}, languages: [en], released: 1982-06, "
    "features: {{maker-line: one-line, waves-drawn: {at}}}, sources: [binder]}}\n"
)


def backs(*designations: str, series: str = "lanternfish") -> dict[str, str | bytes | None]:
    """More backs of count 6 that differ in a feature."""
    rows = (BACK.format(at=5 + n, designation=d, series=series) for n, d in enumerate(designations))
    return {BACKS: HEAD + "backs:\n" + "".join(rows)}


def test_a_missing_record_is_told_once_however_many_refer_to_it(tmp_path: Path) -> None:
    """A source's id is changed in sources.yaml: one finding, with other places, and no fix that guesses."""
    report = checked(tmp_path, edited("sources.yaml", ("- id: late-list", "- id: later-list")))
    unknown = one(report, "unknown-link")
    assert "late-list" in unknown.message
    assert "other links" in unknown.message
    assert "later-list" in unknown.message
    assert len(unknown.related) >= 3
    assert unknown.fix is None
    assert [f.rule for f in report.findings if f.severity.rank] == ["unknown-link"], told(report)


@pytest.mark.parametrize(
    ("field", "right", "wrong"),
    [
        ("back", "b-001", "b-0O1"),
        ("back", "b-001", "b-01"),
        ("face", "f-004", "f-04"),
        ("sources", "[binder]", "[bindr]"),
        ("stickers", "[whistle-offer]", "[whistel-offer]"),
        ("roles", "{seller: thalweg}", "{seller: thalwge}"),
    ],
)
def test_a_misspelt_link_is_mended_by_its_fix(field: str, right: str, wrong: str, tmp_path: Path) -> None:
    """The record that is nearest is named, and written as short as the file writes it."""
    values = {"face": "f-004", "back": "b-001", "sources": "[binder]", field: wrong}
    record = "id: c-020, " + ", ".join(f"{key}: {value}" for key, value in values.items())
    finding = one(checked(tmp_path, cards(f"{{{record}}}")), "unknown-link")
    assert (finding.record, finding.field.partition(".")[0]) == ("lanternfish/pell-orrin/c-020", field)
    assert finding.fix
    assert finding.fix.edits[0].text == right.strip("[]{}").removeprefix("seller: ")
    assert not finding.fix.safe


def test_a_feature_that_is_not_in_the_catalogue_is_told_at_its_key(tmp_path: Path) -> None:
    """The key is what is misspelt, and what the fix renames."""
    record = "{id: c-020, face: f-004, back: b-001, features: {lmap-paint: green}, sources: [binder]}"
    finding = one(checked(tmp_path, cards(record)), "unknown-link")
    assert finding.field == "features.lmap-paint"
    assert finding.fix
    assert finding.fix.edits[0].text == "lamp-paint"
    place = finding.fix.edits[0].place
    assert place.end_column - place.column == len("lmap-paint")


def test_a_retired_link_of_a_split_record_names_all_that_took_its_place(tmp_path: Path) -> None:
    """Where several stand for it today there is no fix, and the message names them."""
    retired = edited(
        "retired.yaml",
        ("[lanternfish/pell-orrin/b-002]", "[lanternfish/pell-orrin/b-002, lanternfish/pell-orrin/b-001]"),
    )
    report = checked(
        tmp_path, {**retired, **cards("{id: c-020, face: f-002, back: b-000, sources: [binder]}")}
    )
    finding = one(report, "retired-link")
    assert "b-002 or b-001" in finding.message
    assert finding.fix is None
    assert [related.place.path for related in finding.related] == ["retired.yaml"]


def test_each_circle_is_told_once(tmp_path: Path) -> None:
    """Three backs that follow one another in a ring are one finding with the other two beside it."""
    ring = edited(
        "lines/lanternfish/backs/pell-orrin.yaml",
        ("released: 1981-03", "released: 1981-03\n    after: b-003"),
    )
    finding = one(checked(tmp_path, ring), "circular-link")
    assert [related.message for related in finding.related] == ["the next step"] * 2
    assert finding.field == "after"


def test_long_chains_are_no_circles(tmp_path: Path) -> None:
    """A thousand backs, each after the one before, end a recursion but not this check."""
    row = "  - {{id: n-{}, designation: '6', series: lanternfish, count: 6, after: {}}}\n"
    rows = "".join(row.format(at, f"n-{at - 1}" if at else "b-003") for at in range(1_500))
    report = checked(tmp_path, {BACKS: HEAD + "backs:\n" + rows}, select=["circular-link"])
    assert report.clean


def test_one_id_in_two_kinds_is_told(tmp_path: Path) -> None:
    """Backs, faces and cards of a maker share one id space."""
    finding = one(
        checked(tmp_path, cards("{id: b-001, face: f-004, back: b-002, sources: [binder]}")), "duplicate-id"
    )
    assert finding.record == "lanternfish/pell-orrin/b-001"


def test_two_records_with_one_id_are_not_also_called_alike(tmp_path: Path) -> None:
    """A record entered twice, word for word, is one finding."""
    text = SAMPLE["glossary.yaml"] + "  - {id: back, word: back, what: The printed reverse.}\n"
    assert rules_told(checked(tmp_path, {"glossary.yaml": text})) == ["duplicate-id"]


def test_one_count_in_two_series_is_no_clash(tmp_path: Path) -> None:
    """6A of the one series and 6A of the other are two backs."""
    report = checked(tmp_path, backs("6A", series="deepwater"), select=["identity"])
    assert [f for f in report.findings if f.severity is not Severity.NOTE] == [], told(report)


@pytest.mark.parametrize(
    ("letters", "gap"),
    [(["6B"], ""), (["6C"], "6B"), (["6D"], "6B and 6C"), (["6AA"], "6B"), (["6B", "6C", "6D"], "")],
)
def test_letters_with_a_gap_are_a_note(letters: list[str], gap: str, tmp_path: Path) -> None:
    """A and C without B is worth a word and no more; letters run on past Z."""
    report = checked(tmp_path, backs(*letters), select=["letter-gap"])
    assert report.clean
    assert [gap in f.message for f in report.findings] == ([True] if gap else [])


def test_letters_may_run_on_through_two_series(tmp_path: Path) -> None:
    """6A in one series and 6B in the next have no gap."""
    assert rules_told(checked(tmp_path, backs("6B", series="deepwater"), select=["letter-gap"])) == []


def test_a_broader_concordance_may_be_shared(tmp_path: Path) -> None:
    """Another reference's 6 that is our 6A and 6B together is no clash; two exact ones are."""
    row = BACK.format(at=6, designation="6B", series="lanternfish")
    start = HEAD + "backs:\n" + row.replace("sources: [binder]}\n", "sources: [binder], concordance: [")
    same, wide = (
        {BACKS: start + f"{{reference: harbour-list, designation: '6', relation: {relation}}}]}}\n"}
        for relation in ("exact", "broader")
    )
    exact = checked(tmp_path / "a", same, select=["shared-concordance"])
    broader = checked(tmp_path / "b", wide, select=["shared-concordance"])
    assert rules_told(exact) == ["shared-concordance"]
    assert rules_told(broader) == []


def test_figures_that_share_a_name_on_purpose_say_so(tmp_path: Path) -> None:
    """same_name on one of the two is enough."""
    names = "names: [{text: Salt Porter, language: en}]"
    taken = edited("lines/lanternfish/figures.yaml", (names, "names: [{text: Night Keeper, language: en}]"))
    assert "shared-name" in rules_told(checked(tmp_path / "a", taken, select=["identity"]))
    said = {
        path: str(text).replace("id: salt-porter", "id: salt-porter\n    same_name: [night-keeper]")
        for path, text in taken.items()
    }
    assert rules_told(checked(tmp_path / "b", said, select=["identity"])) == []


@pytest.mark.parametrize(
    ("name", "rule"),
    [
        ("reef  pilot", "shared-name"),
        ("Réef Pilot", "shared-name"),
        ("Reefpilot", "lookalike-name"),
        ("Reef Pi1ot", "lookalike-name"),
        ("R\u0435ef Pilot", "lookalike-name"),
        ("Reef Pilots", ""),
    ],
)
def test_names_that_cannot_be_told_apart(name: str, rule: str, tmp_path: Path) -> None:
    """Equal but for case, accents and spaces is one name; equal to the eye alone is a lookalike."""
    names = "names: [{text: Salt Porter, language: en}]"
    taken = edited("lines/lanternfish/figures.yaml", (names, f"names: [{{text: '{name}', language: en}}]"))
    assert rules_told(checked(tmp_path, taken, select=["identity"])) == ([rule] if rule else [])


def test_codes_that_a_scheme_tells_apart_are_not_lookalikes(tmp_path: Path) -> None:
    """Where the scheme's table knows both signs, each with its meaning, the two codes are both meant."""
    scheme = edited(
        "lines/lanternfish/line.yaml",
        ("{L: lanternfish, D: deepwater}}", "{L: lanternfish, D: deepwater, I: lanternfish}}"),
        ('"032": salt-porter', '"032": salt-porter\n          "O32": salt-porter'),
    )
    text = HEAD + (
        "faces:\n"
        "  - {id: f-020, figure: brine-smith, series: lanternfish, codes: [I-016/06], sources: [binder]}\n"
        "  - {id: f-021, figure: brine-smith, series: lanternfish, codes: [1-016/06], sources: [binder]}\n"
    )
    report = checked(tmp_path, {**scheme, FACES: text}, select=["lookalike-code"])
    assert [f.value for f in report.findings] == ["1-016/06"], told(report)


@given(st.text("OIl01S5B8aé -/", max_size=12))
@settings(max_examples=150, deadline=None)
def test_skeletons_are_their_own_skeletons(text: str) -> None:
    """What misleads the eye is taken away once: a second look finds nothing more."""
    for bones in (skeleton, code_skeleton):
        assert bones(bones(text)) == bones(text)


@given(
    st.text("abcdefz0123456789-/ ", max_size=12),
    st.sampled_from([("o", "0"), ("i", "1"), ("s", "5"), ("b", "8")]),
)
@settings(max_examples=150, deadline=None)
def test_lookalike_signs_have_one_skeleton(text: str, pair: tuple[str, str]) -> None:
    """O and 0, I and 1, S and 5, B and 8 in the same place are not told apart, in any case."""
    letter, digit = pair
    for written in (letter, letter.upper()):
        assert skeleton(text + written) == skeleton(text + digit)
