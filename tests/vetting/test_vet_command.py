"""``cardref vet``: a screen of text, JSON with a schema, and an exit status that can be relied on."""

import io
import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cardref.cli import main
from cardref.facts.cautions import NO_PROOF
from cardref.reference import load
from cardref.text import WIDTH, columns
from cardref.vetting.as_json import schema
from cardref.vetting.as_text import SCREEN, _lines, text_of

ROOT = Path(__file__).parents[2]

SENTENCES = (
    ("Lamp Diver Tidewrack 21A back unpunched $40", 0),
    ("Quay & Marl Tidewrack LAMP DIVER moc 7K 2046/031 sealed clear bubble no creases 1981", 0),
    ("LAMP DIVER 25B, Quay and Marl, code 7K 2042/031, factory sealed & resealed", 1),
    ("fjellvik lampedykkeren 14B, slight crease", 0),
    ("Padogil 등불 잠수부 17D, bubble clear", 0),
    ("Night Post set: parcel bat 8 back", 0),
    ("Hedgerow Circuit Turnip Tess 26D back mint, price sticker residue", 0),
    ("Neap Colossus 43A sealed, rare!!", 0),
    ("Lamp Diver, Ropewalk Ada, Kelp Wader lot, all 25C", 0),
)


def said(argv: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Exit status and standard output."""
    status = main(["vet", *argv])
    return status, capsys.readouterr().out


@pytest.mark.parametrize(("sentence", "status"), SENTENCES)
def test_a_sellers_sentence_is_answered_within_a_screen(
    sentence: str, status: int, capsys: pytest.CaptureFixture[str]
) -> None:
    """Verdict first, what was read, what to ask for, the caution last: 24 lines of 80 columns."""
    got, out = said([sentence], capsys)
    lines = out.splitlines()
    assert got == status
    assert len(lines) <= SCREEN
    assert max(map(columns, lines)) <= WIDTH
    assert lines[0].startswith(("agrees: ", "contradicted: ", "not settled: "))
    assert any(line.startswith("read as: ") for line in lines)
    assert any(line.startswith("ask for") for line in lines)
    assert " ".join(out.split()).endswith(NO_PROOF)


def test_the_example_of_the_interface(capsys: pytest.CaptureFixture[str]) -> None:
    """A code of another count is not recorded, which is not wrong; it says what stands there instead."""
    status, out = said(["maker=quay-marl", "figure=lamp-diver", "back=21A", "code=7K 2046/031"], capsys)
    assert status == 0
    assert out.startswith("not settled: nothing contradicts it")
    assert "recorded there: 7K 2046/022" in " ".join(out.split())
    assert "how many figures are pictured (21 or 25" in " ".join(out.split())


@pytest.mark.parametrize(
    ("argv", "status"),
    [
        (["back=25B"], 0),
        (["back=25B", "back-count=28"], 1),
        (["back=25B", "back=21A"], 1),
        (["maker=quay-marl", "back=25C", "surface-sheen=glossy"], 1),
        (["bakc=25B"], 2),
        (["surface-sheen=shiny"], 2),
        (["nothing to see here"], 2),
    ],
)
def test_exit_status(argv: list[str], status: int, capsys: pytest.CaptureFixture[str]) -> None:
    """0 an answer, 1 a contradiction or a sign that was seen, 2 called wrongly or nothing recognised."""
    assert said(argv, capsys)[0] == status


@pytest.mark.parametrize(
    "argv",
    [
        *([sentence] for sentence, _ in SENTENCES),
        ["back=25B", "back=21A", "surface-sheen=glossy"],
        ["nothing to see here"],
    ],
)
def test_json_is_what_the_schema_says(argv: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    """What --format json prints validates; cautions are there wherever genuineness is spoken of."""
    _, out = said([*argv, "--format", "json"], capsys)
    answer: dict[str, Any] = json.loads(out)
    Draft202012Validator(schema()).validate(answer)
    vetting = answer["vetting"]
    for one in (vetting, *vetting["signs"], *vetting["copies"]):
        assert NO_PROOF in one["cautions"]


def test_the_file_in_schemas_is_what_the_library_says() -> None:
    """schemas/vetting.schema.json is up to date, and valid under the metaschema."""
    written = (ROOT / "schemas" / "vetting.schema.json").read_text(encoding="utf-8")
    assert written == json.dumps(schema(), indent=2, ensure_ascii=False) + "\n"
    Draft202012Validator.check_schema(schema())


def test_signs_in_full(capsys: pytest.CaptureFixture[str]) -> None:
    """--signs tells of each sign where and how to look, why, how reliable it is, and what to take care of."""
    _, out = said(["maker=quay-marl", "back=25C", "--signs"], capsys)
    text = " ".join(out.split())
    assert "strong sign" in text
    assert "glows bright" in text
    assert "never look into the torch" in text
    assert text.count("A sign is not proof") >= text.count("on originals:")


def test_words_come_from_standard_input(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """`-` reads a listing, of which no more than a bounded part is taken; fields may stand beside it."""
    monkeypatch.setattr("sys.stdin", io.StringIO("Lamp Diver 25B back " + "lovely " * 10_000))
    status, out = said(["-", "maker=quay-marl"], capsys)
    assert status == 0
    assert "too long and was not read" in " ".join(out.split())


def test_a_listing_cannot_command_a_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    """Control signs in a listing and in a field are shown as escapes, in text and in JSON."""
    for argv in (["Lamp Diver \x1b[2J 25B back \u202e"], ["name=\x1b]0;x\x07", "figure=\x1b[31m"]):
        for form in ("text", "json"):
            _, out = said([*argv, "--format", form], capsys)
            assert "\x1b" not in out
            assert "\u202e" not in out


def test_a_year_that_may_be_the_copyright_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    """The year on the reverse is older than the card: that is why it does not settle anything."""
    status, text = said(["1979 Lamp Diver 25B back"], capsys)
    assert status == 0
    assert "back with date:" in text
    assert "copyright" in text


@pytest.mark.parametrize("sentence", ["back=25B", "back=26D", "figure=lamp-diver"])
def test_as_much_is_told_as_a_screen_holds(sentence: str) -> None:
    """Where three things of each sort have room, three are told."""
    reference = load()
    field, _, value = sentence.partition("=")
    vetting = reference.vet(**{field: value})
    longest = _lines(reference.index, vetting, 3)
    assert len(longest) <= SCREEN
    assert text_of(reference.index, vetting) == longest
    assert longest != _lines(reference.index, vetting, 1)
