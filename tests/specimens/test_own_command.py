"""``cardref own``, and ``check`` and ``fix`` of a user's own files, as they are typed."""

import csv
import io
import json
import shutil
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from jsonschema import Draft202012Validator

from cardref.checks.runner import check
from cardref.cli import main
from cardref.finding import Severity
from cardref.specimens import matching, one_card, proposing, telling
from tests.specimens.made import CARD, write

ROOT = Path(__file__).parents[2]
DATASET = str(ROOT / "dataset")
BOX = str(ROOT / "examples" / "shoebox" / "shoebox.csv")
WANTS = str(ROOT / "examples" / "shoebox" / "wants.yaml")


def _said(capsys: pytest.CaptureFixture[str], *argv: str, status: int = 0) -> str:
    capsys.readouterr()
    assert main(list(argv)) == status
    return capsys.readouterr().out


def test_three_commands_and_one_more(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A spreadsheet of 200 specimens is checked, reported and drawn, and its news reaches the dataset."""
    shutil.copytree(ROOT / "dataset", tmp_path / "dataset")
    monkeypatch.chdir(tmp_path)
    assert "200 records" in _said(capsys, "check", BOX)
    report = _said(capsys, "own", "report", BOX)
    assert report.startswith("200 specimens: 175 owned")
    _said(capsys, "own", "report", BOX, "--svg", "box.svg")
    assert ET.parse(tmp_path / "box.svg").getroot().tag.endswith("svg")  # noqa: S314 - our own text
    by = "The Curlew collection (invented)"
    told = _said(capsys, "own", "propose", BOX, "--specimen", "s-151", "--by", by, "--write")
    assert "new: card quay-marl c-0659 (Sounding Tam on 25D), reported" in told
    assert check("dataset").at_least(Severity.WARNING) == ()
    assert "on no record" not in _said(capsys, "own", "report", BOX)


@pytest.mark.parametrize(
    ("argv", "schema"),
    [
        (("report", BOX, WANTS), telling.schema),
        (("report", BOX, "--card", "lamp diver quay-marl 25A"), one_card.schema),
        (("report", BOX, "--card", "ebb warden quay-marl 25C", "--condition", "seal=holds"),
         one_card.schema),
        (("match", BOX, WANTS), matching.schema),
        (("propose", BOX, "--specimen", "s-151", "--by", "Curlew (invented)", "--dataset", DATASET),
         proposing.schema),
    ],
)  # fmt: skip
def test_json_is_what_the_schema_says(
    argv: tuple[str, ...], schema: Any, capsys: pytest.CaptureFixture[str]
) -> None:
    """What --format json prints validates."""
    answer = json.loads(_said(capsys, "own", *argv, "--format", "json"))
    Draft202012Validator(schema()).validate(answer)


def test_rows_are_csv_that_no_spreadsheet_runs(capsys: pytest.CaptureFixture[str]) -> None:
    """--format csv has one head and rows of its width."""
    for argv in (("report", BOX, "--by", "figure"), ("match", BOX, WANTS)):
        rows = list(csv.reader(io.StringIO(_said(capsys, "own", *argv, "--format", "csv"), newline="")))
        assert {len(row) for row in rows} == {len(rows[0])}
        assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row)


def test_add_begins_a_file_and_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """From options, twice; what is shown with --diff is not written."""
    path = str(tmp_path / "new" / "mine.yaml")
    options = ["--figure", "lamp diver", "--back", "quay-marl 25B", "--saw", "gulls=3", "--trade"]
    options += [
        "--condition",
        "bubble=dented; hang tab=punched",
        "--defects",
        "bubble: dent, lower left, 4 mm",
    ]
    assert "+specimens:" in _said(capsys, "own", "add", path, *options, "--diff")
    assert not Path(path).exists()
    assert _said(capsys, "own", "add", path, *options).startswith("s-001 added to")
    monkeypatch.setattr("sys.stdin", io.StringIO(_said(capsys, "vet", "Lamp Diver 25B", "--format", "json")))
    assert _said(capsys, "own", "add", path, "--from", "-", "--price", "9 EUR").startswith("s-002 added to")
    assert "clean" in _said(capsys, "check", path)


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        (("own",), "required"),
        (("own", "report"), "required"),
        (("own", "report", "no.yaml"), "does not exist"),
        (("own", "report", BOX, "--card", "zonk"), "no card is called 'zonk'"),
        (("own", "report", BOX, "--card", "lamp diver 10A"), "names 2 records"),
        (("own", "report", BOX, "--card", CARD, "--condition", "bubble"), "is not PART=STATE"),
        (("own", "report", BOX, "--card", CARD, "--condition", "bubble=dent"), "did you mean dented?"),
        (("own", "report", BOX, "--svg", BOX), "is not overwritten"),
        (("own", "report", BOX, "--svg", "x.svg", "--maker", "quay-mral"), "did you mean"),
        (("own", "add", "x.yaml"), "nothing is said of it: give --card"),
        (("own", "add", "x.yaml", "--price", "12,50 EUR"), "12.50 EUR"),
        (("own", "add", "x.yaml", "--saw", "gulls"), "is not FEATURE=STATE"),
        (("own", "add", "x.yaml", "--from", "no.json"), "cannot be read"),
        (("own", "propose", BOX, "--specimen", "s-151"), "--by"),
        (("own", "propose", BOX, "--why", "x", "--by", "y"), "belong to --dispute"),
        (("check", BOX, "dataset"), "one after the other"),
        (("check", BOX, "--since", "HEAD"), "is for a dataset"),
        (("check", BOX, "--select", "no-such-rule"), "no rule or family"),
        (("fix", BOX, "--select", "own"), "is for a dataset"),
    ],
)
def test_misuse_ends_with_2_and_the_next_step(
    argv: tuple[str, ...], says: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """A wrong call says what is wrong on standard error, writes nothing, and ends with 2."""
    shutil.copytree(ROOT / "dataset", tmp_path / "dataset")
    monkeypatch.chdir(tmp_path)
    assert main(list(argv)) == 2
    assert says in capsys.readouterr().err
    assert sorted(path.name for path in tmp_path.iterdir()) == ["dataset"]


@pytest.mark.parametrize("verb", ["report", "add"])
def test_a_file_that_cannot_be_used_is_told_with_its_place(
    verb: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Line and column, why, and the next step; the file stays as it is."""
    path = tmp_path / "bin.yaml"
    path.write_bytes(b"specimens:\n  - id: \0\n")
    more = ["--figure", "lamp diver"] if verb == "add" else []
    assert main(["own", verb, str(path), *more]) == 2
    said = capsys.readouterr().err
    assert "bin.yaml:2:9: a control character" in said
    assert "`cardref check` says more" in said
    assert path.read_bytes() == b"specimens:\n  - id: \0\n"


def test_check_of_an_own_file_ends_by_what_it_finds(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """0 clean, 1 for a finding, 2 where nothing could be read; notes alone are no fault unless asked for."""
    _said(capsys, "check", str(write(tmp_path, "a.csv", f"id,card\n1,{CARD}\n")))
    _said(capsys, "check", str(write(tmp_path, "b.csv", f"id,card,price\n1,{CARD},5 EURO\n")), status=1)
    note = str(write(tmp_path, "c.csv", "id,card,code\n1,tidewrack/quay-marl/c-0184,7K 2057/999\n"))
    _said(capsys, "check", note)
    _said(capsys, "check", note, "--fail-on", "note", status=1)
    _said(capsys, "check", str(write(tmp_path, "d.csv", "")), status=1)


@pytest.mark.parametrize("form", ["json", "sarif", "annotations"])
def test_a_report_of_an_own_file_has_every_form(
    form: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Row and column reach editors, code hosts and logs alike."""
    monkeypatch.chdir(tmp_path)
    write(tmp_path, "mine.csv", f"id,card,price\n1,{CARD},5 EURO\n")
    out = _said(capsys, "check", "mine.csv", "--format", form, status=1)
    assert "unknown-currency" in out
    if form == "json":
        finding = json.loads(out)["findings"][0]
        assert (finding["path"], finding["line"], finding["column"]) == ("mine.csv", 2, 30)
    elif form == "sarif":
        region = json.loads(out)["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["region"]
        assert (region["startLine"], region["startColumn"]) == (2, 30)
    else:
        assert "file=mine.csv,line=2" in out


def test_fix_mends_what_is_sure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A safe fix is carried out, an unsafe one is named, and --diff writes nothing."""
    monkeypatch.chdir(tmp_path)
    text = f'id,card,price,date\n1,{CARD},"12,50 EUR",3/4/24\n'
    path = write(tmp_path, "mine.csv", text)
    assert "+1," in _said(capsys, "fix", "mine.csv", "--diff", status=1)
    assert path.read_text() == text
    assert "1 finding fixed, 1 left" in _said(capsys, "fix", "mine.csv", status=1)
    assert path.read_text() == f"id,card,price,date\n1,{CARD},12.50 EUR,3/4/24\n"


def test_rules_explain_those_for_own_files(capsys: pytest.CaptureFixture[str]) -> None:
    """``cardref rules`` lists them, and explains one with both examples."""
    assert "decimal-comma" in _said(capsys, "rules")
    one = _said(capsys, "rules", "decimal-comma")
    assert "passes: mine.csv" in one
    assert "fails: mine.csv" in one
    listed = json.loads(_said(capsys, "rules", "own", "--format", "json"))
    assert {rule["family"] for rule in listed} == {"own"}
