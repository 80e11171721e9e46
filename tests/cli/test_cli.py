"""The command line as a whole: exit status, errors with a next step, safe output."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from cardref.cli import VERBS, main
from cardref.decoding.as_json import schema

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


def _installed() -> list[str]:
    return [verb for verb in VERBS if (ROOT / "cardref" / "cli" / f"{verb}.py").exists()]


@pytest.mark.parametrize("verb", _installed())
def test_every_verb_has_help_with_an_example(verb: str, capsys: pytest.CaptureFixture[str]) -> None:
    """--help says in one line what the verb does, and shows an example."""
    assert main([verb, "--help"]) == 0
    out = capsys.readouterr().out
    assert "example:" in out
    assert f"cardref {verb}" in out


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        ([], 2, "cardref VERB"),
        (["--help"], 0, "Nothing here authenticates"),
        (["decod", "x"], 2, "did you mean decode?"),
        (["decode"], 2, "--help"),
        (["decode", "7K 2046/031"], 0, "Lamp Diver"),
        (["decode", "7K 9999/031"], 1, "no recorded front"),
        (["decode", ""], 1, "nothing was given"),
        (["decode", "x", "--dataset", "no-such-dir"], 2, "does not exist"),
        (["decode", "x", "--dataset", "README.md"], 2, "is a file"),
        (["decode", "x", "--dataset", "tests"], 2, "cardref init"),
        (["show", "quay-marl 25B"], 0, "what follows"),
        (["show", "nobody knows"], 2, "no record is called"),
        (["show", "quay-marl 25"], 2, "ask for one of these"),
        (["list", "backs", "maker=quay-marl", "figure=lamp-diver"], 0, "10A"),
        (["list", "backs", "maker=zz"], 2, "`cardref list makers` lists them"),
        (["list", "bakcs"], 2, "did you mean backs?"),
        (["list", "backs", "figure=lamp-divr"], 2, "did you mean"),
        (["list", "backs", "colour=red"], 2, "have no field"),
        (["list", "backs", "count"], 2, "FIELD=VALUE"),
        (["list", "backs", "maker=quay-marl", "--first", "2"], 0, "40 backs, the first 2 shown"),
        (["list", "backs", "--first", "0"], 2, "whole number from 1"),
        (["list", "cards", "maker=quay-marl", "back=25B"], 0, "14 cards"),
        (["list", "cards", "back=zz"], 2, "no back is called 'zz'"),
        (["list", "backs", "count=many"], 2, "whole number such as 25"),
        (["list", "backs", "standing=sure"], 2, "standing is one of confirmed, reported"),
        (["list", "stickers", "by=nobody-of-them"], 2, "`cardref list makers` lists them"),
        (["list", "cards", "layer=mine"], 2, "--over"),
        (["gaps", "--line", "nowhere at all"], 2, "`cardref list lines` lists them"),
        (["gaps", "--maker", "nobody of them"], 2, "`cardref list makers` lists them"),
        (["identify", "--line", "nowhere at all"], 2, "`cardref list lines` lists them"),
        (["show", "nobody knows"], 2, "`cardref list KIND` lists"),
        (["check", "none"], 2, "does not exist: name a dataset"),
        (["fmt", "none"], 2, "does not exist: name a dataset"),
        (["own", "report", "none"], 2, "does not exist: name a YAML or CSV file"),
        (
            ["own", "report", "examples/fair/mine.yaml", "--card", "nobody knows"],
            2,
            "such as 'lamp diver 25B'",
        ),
        (["export", "json", "dataset"], 2, "name another directory"),
        (["own", "report", "examples/fair/mine.yaml", "--line", "tidewrack"], 2, "with --svg"),
        (["own", "report", "examples/fair/mine.yaml", "--condition", "bubble=whole"], 2, "with --card"),
        (["init", "none", "--line", "", "--maker", "x"], 2, "the line needs a name"),
        (["check", "dataset", "--baseline", "none"], 2, "--write-baseline"),
        (["check", "dataset", "--write-baseline", "none/x"], 2, "in a directory that is there"),
        (["explain", "silhouete"], 1, "silhouette"),
        (["explain", "silhouette"], 0, "where to look"),
        (["explain", "resealed"], 0, "inspected in hand"),
        (["vet", "back=21A", "paws=4"], 2, "Features are fields too"),
    ],
)
def test_answers_and_mistakes_have_their_status_and_their_words(
    words: list[str], status: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """0 an answer, 1 something against it, 2 called wrongly; every mistake is told with what to do."""
    assert main(words) == status
    captured = capsys.readouterr()
    assert said in captured.out + captured.err
    assert "Traceback" not in captured.err


def test_the_earliest_back_of_a_figure_comes_first(capsys: pytest.CaptureFixture[str]) -> None:
    """`list backs figure=... maker=...` is in the order of printing."""
    main(["list", "backs", "maker=quay-marl", "figure=lamp-diver", "--format", "json"])
    rows = json.loads(capsys.readouterr().out)
    assert rows[0]["designation"] == "10A"
    assert {row["maker"] for row in rows} == {"quay-marl"}


def test_decode_json_fits_its_schema(capsys: pytest.CaptureFixture[str]) -> None:
    """What --format json prints is what schemas/decoding.schema.json says."""
    main(["decode", "7K 2046/031", "25 b", "nonsense", "--format", "json"])
    answer = json.loads(capsys.readouterr().out)
    Draft202012Validator(schema()).validate(answer)
    written = json.loads((ROOT / "schemas" / "decoding.schema.json").read_text(encoding="utf-8"))
    assert written == schema()


def test_lines_from_stdin_are_answered_one_by_one() -> None:
    """`decode -` writes one line for each line read, as text, JSON lines or CSV."""
    typed = "7K 2046/031\n\nnonsense\n25B\n"
    for form, rows in (("text", 4), ("json", 4), ("csv", 5)):
        done = subprocess.run(
            [sys.executable, "-m", "cardref", "decode", "-", "--format", form],
            input=typed, capture_output=True, text=True, check=False, cwd=ROOT,
        )  # fmt: skip
        assert done.returncode == 1
        assert len(done.stdout.strip().splitlines()) == rows


def test_what_a_terminal_would_obey_is_shown_as_an_escape(capsys: pytest.CaptureFixture[str]) -> None:
    """Escape sequences and bidirectional controls in what is typed never reach the terminal."""
    for form in ("text", "json", "csv"):
        main(["decode", "\x1b[31m7K\u202e", "--format", form])
        out = capsys.readouterr().out
        assert "\x1b" not in out
        assert "\u202e" not in out


def test_a_closed_pipe_ends_quietly() -> None:
    """`cardref list cards | head -1` says nothing on standard error but which dataset was asked."""
    command = f"{sys.executable} -m cardref list cards --dataset dataset | head -1"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True, cwd=ROOT)
    assert "Traceback" not in done.stderr
    assert "Error" not in done.stderr


def test_the_version_names_program_model_and_data(capsys: pytest.CaptureFixture[str]) -> None:
    """`--version` tells what an answer was made with."""
    assert main(["--version"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("cardref ")
    assert "model 1" in out
    assert "bundled dataset" in out


def test_output_survives_an_ascii_terminal() -> None:
    """Under a C locale, Greek and Korean names are shown as escapes, not as a traceback."""
    environment = {**os.environ, "LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "cardref", "list", "makers"],
        capture_output=True, text=True, check=False, cwd=ROOT, env=environment,
    )  # fmt: skip
    assert done.returncode == 0
    assert "Traceback" not in done.stderr
