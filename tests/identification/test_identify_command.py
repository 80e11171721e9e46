"""``cardref identify`` as people and scripts use it: answers within a screen, status, JSON."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

import cardref
from cardref.cli import main
from cardref.cli.identified import ranked
from cardref.identification.as_json import schema
from cardref.identification.cards import By, card_table
from cardref.identification.feature import Span
from cardref.text import WIDTH, columns

ROOT = Path(__file__).parents[2]
FAIR = ["maker=quay-marl", "back-count=25", "rope-length=4 mm"]


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def told(capsys: pytest.CaptureFixture[str], *words: str, status: int = 0) -> str:
    """What the command prints, with the status it must have."""
    assert main(["identify", *words]) == status
    return capsys.readouterr().out


def test_three_facts_at_a_fair(capsys: pytest.CaptureFixture[str]) -> None:
    """A beginner with three facts gets the answer first, a short ranked list, why, and one next look."""
    lines = told(capsys, *FAIR).splitlines()
    assert lines[0].startswith("probably quay-marl 25B (9")
    ranked = [line for line in lines[1:] if " %" in line]
    assert "quay-marl 25B" in ranked[0]
    assert "against" not in ranked[0]
    assert all("against: Length of the rope" in line for line in ranked[1:])
    (look,) = (number for number, line in enumerate(lines) if line.startswith("next: "))
    assert [line.split(":")[0].strip() for line in lines[look + 1 : look + 4]] == ["where", "how", "then add"]
    assert "Nothing here authenticates a card" in lines[-2]
    assert len(lines) <= 18
    assert max(map(columns, lines)) <= WIDTH


def test_following_the_advice_leads_to_the_printing(capsys: pytest.CaptureFixture[str]) -> None:
    """Whoever makes the look that is proposed, and adds what they see, ends at the printing."""
    table = card_table(cardref.load().index, "night-post", By.BACK).table
    truth = table.number("night-post/stellan-fogg/b-003")
    words = ["line=night-post"]
    for _ in range(len(table.columns)):
        lines = told(capsys, *words).splitlines()
        if lines[0].startswith("identified"):
            break
        advice = next(line for line in lines if line.strip().startswith("then add: "))
        feature = advice.partition(": ")[2].partition("=")[0]
        cell = table.column(feature).cell(truth)
        seen = cell[0][0] if isinstance(cell, tuple) else "?"
        words.append(f"{feature}={f'{seen.low:g}-{seen.high:g} mm' if isinstance(seen, Span) else seen}")
    assert lines[0].startswith(f"identified as far as recorded: {table.titles[table.name(truth)]}")


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        ([], 2, "line=hedgerow-circuit or line=night-post"),
        (["back-count=8"], 2, "line=night-post, line=tidewrack"),
        (["--line", "tidewrack"], 0, "nothing seen yet: 132 backs of tidewrack"),
        (["line=tidewrack"], 0, "nothing seen yet"),
        (["line=tidewrack", "--line", "night-post"], 2, "given twice"),
        (["maker=quay-marl"], 0, "the only line that"),
        ([*FAIR, "gulls=3", "beam=right"], 0, "identified as far as recorded: quay-marl 25B"),
        ([*FAIR, "--sure", "0.9"], 0, "identified as far as recorded"),
        ([*FAIR, "--sure", "2"], 2, "threshold"),
        ([*FAIR, "--most", "0"], 2, "from 1"),
        (["--line", "tidewrack", "token=absent", "token-shape=wheel"], 1, "one was misread"),
        (["maker=saudalto", "back-count=0"], 0, "cannot tell these apart"),
        (["maker=quay-marl", "letter=B"], 2, "printed on no card"),
        (["maker=quay-mral"], 2, "did you mean quay-marl"),
        (["maker=quay-marl", "gulsl=3"], 2, "did you mean gulls"),
        (["maker=quay-marl", "gulls=x"], 2, "whole number"),
        (["maker=quay-marl", "rope-length=long"], 2, "a length with its unit"),
        (["quay-marl"], 2, "FEATURE=READING"),
        (["=3"], 2, "FEATURE=READING"),
        (["gulls=3", "gulls=4", "maker=quay-marl"], 2, "gulls='3|4'"),
        (["gulls=3", "gulls=3", "maker=quay-marl"], 0, "Gulls over the title 3"),
        (["count=25", "back-count=28", "maker=quay-marl"], 2, "read already"),
        (["maker=quay-marl", "gulls=?", "beam=left|right", "token-shape=-"], 0, "next:"),
        (["figure=lamp diver", "code=7K 2046/031", "title-colour=yellow"], 0, "by card"),
        (["--by", "card", "figure=lamp diver", "code=7K 2046/0?1"], 0, "Lamp Diver on quay-marl 25A"),
        (["by=card", "figure=lamp diver"], 0, "Lamp Diver on"),
        (["by=letter", "figure=lamp diver"], 2, "by back or by card"),
        (["--line", "tidewrek"], 2, "tidewrack"),
        (["--line", "night-post", "--features"], 0, "signs of copies, which do not count"),
        (["--ask"], 2, "needs a terminal"),
        (
            ["maker=quay-marl", "back-count=25", "figure=sounding tam", *FAIR[2:], "beam=right"],
            0,
            "the card:",
        ),
    ],
)
def test_answers_and_mistakes(
    words: list[str], status: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """0 there is an answer, 1 it has something against it, 2 called wrongly; always with words."""
    assert main(["identify", *words]) == status
    captured = capsys.readouterr()
    assert said in " ".join((captured.out + captured.err).split())
    assert "Traceback" not in captured.err


def test_what_fits_nothing_ends_with_1(capsys: pytest.CaptureFixture[str]) -> None:
    """Probably not recorded: the nearest is told, with what speaks against it."""
    out = told(
        capsys, "maker=quay-marl", "back-count=27", "gulls=6", "beam=right", "token-shape=shell",
        "wave-lines=1", "frames=square", "address-lines=7", status=1,
    )  # fmt: skip
    assert out.startswith("probably not recorded")
    assert "against:" in out
    assert "Look again" in out


def test_json_fits_its_schema(capsys: pytest.CaptureFixture[str]) -> None:
    """What --format json prints is what schemas/identification.schema.json says, whatever was asked."""
    validator = Draft202012Validator(schema())
    for words in (
        ["--line", "night-post"],
        [*FAIR, "sheen=glossy", "code=7K 2046/0?1", "figure=sounding-tam"],
        ["--by", "card", "figure=lamp diver", "title-colour=yellow"],
        ["maker=saudalto", "back-count=0"],
    ):
        answer = json.loads(told(capsys, *words, "--format", "json"))
        validator.validate(answer)
        assert answer["candidates"][0]["id"].count("/") == 2
    broken = json.loads(
        told(capsys, "--line", "tidewrack", "token=absent", "token-shape=wheel", "--format", "json", status=1)
    )
    validator.validate(broken)
    assert broken["contradictions"] == [{"feature": "token-shape", "with": ["token"]}]


def test_what_a_terminal_would_obey_is_shown_as_an_escape(capsys: pytest.CaptureFixture[str]) -> None:
    """Escape sequences in what is typed never reach the terminal, in text and JSON."""
    typed = "code=7K 2046/03\x1b[31m"
    for form in ("text", "json"):
        main(["identify", "--line", "tidewrack", typed, "--format", form])
        captured = capsys.readouterr()
        assert "\x1b" not in captured.out + captured.err


@pytest.mark.parametrize(("shown", "left"), [(5, "  and 2 more"), (6, "  and 1 more"), (7, None)])
def test_how_many_are_not_shown_is_told(shown: int, left: str | None) -> None:
    """Of seven that remain alike, those beyond the shown are counted, a single one too."""
    ident = cardref.load().identify(line="tidewrack").observe("maker", "quay-marl").observe("back-count", 25)
    assert ident.conclusion.count == 7
    assert [line for line in ranked(ident, shown) if line.startswith("  and ")] == ([left] if left else [])
