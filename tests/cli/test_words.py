"""Words and options of a command line in any order, and what is told where one is not taken."""

import argparse
from importlib import import_module
from pathlib import Path

import pytest

from cardref.cli import main

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def _at_the_root(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)


@pytest.mark.parametrize(
    ("verb", "words", "options"),
    [
        ("decode", ["7K 2046/031", "25B"], ["--format", "csv"]),
        ("identify", ["maker=quay-marl", "back-count=25"], ["--most", "2", "--line=tidewrack"]),
        ("vet", ["back=21A", "maker=quay-marl"], ["--dataset", "dataset"]),
        ("show", ["quay-marl 25B", "lamp-diver"], ["--format", "json"]),
        ("list", ["backs", "maker=quay-marl", "figure=lamp-diver"], ["--first", "3"]),
        ("explain", ["back", "count"], ["--format", "json"]),
        ("check", ["dataset/makers.yaml", "dataset/sources.yaml"], ["--ignore", "shape"]),
        ("rules", ["count-mismatch", "letter-gap"], ["--format", "json"]),
        ("fmt", ["dataset/makers.yaml", "dataset/sources.yaml"], ["--check"]),
        ("fix", ["dataset/makers.yaml", "dataset/sources.yaml"], ["--diff"]),
        ("tables", ["add", "list.csv"], ["--dataset", "mine", "--diff"]),
        ("retire", ["quay-marl b-001"], ["--reason", "none", "--rename-to", "b-999"]),
        ("export", ["sqlite", "out"], ["--over", "bundled", "--over", "x"]),
        ("init", ["mine"], ["--bare", "--line", "Lantern Trail"]),
        ("gaps", [], ["--most", "5"]),
        ("compare", ["dataset", "dataset"], ["--format", "markdown"]),
        ("own", ["report", "examples/fair/mine.yaml", "examples/shoebox/wants.yaml"], ["--by", "line"]),
        ("own", ["match", "examples/fair/mine.yaml", "examples/fair/theirs.yaml"], ["--format", "csv"]),
    ],
)
def test_an_option_may_stand_anywhere(
    verb: str, words: list[str], options: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Behind the words, before them and between two of them it means the same to the verb."""
    taken: list[dict[str, object]] = []

    def run(args: argparse.Namespace) -> int:
        taken.append(vars(args))
        return 0

    monkeypatch.setattr(import_module(f"cardref.cli.{verb}"), "run", run)
    first = 1 if verb == "own" else 0  # an action comes first, as a verb does
    for at in range(first, len(words) + 1):
        assert main([verb, *words[:at], *options, *words[at:]]) == 0
    assert len(taken) == len(words) + 1 - first
    assert all(found == taken[0] for found in taken)


def test_what_is_asked_may_stand_behind_an_option(capsys: pytest.CaptureFixture[str]) -> None:
    """The verb answers to all of its words."""
    assert main(["list", "--first", "1", "backs", "maker=quay-marl", "--format", "csv", "count=25"]) == 0
    assert [line.split(",")[1:3] for line in capsys.readouterr().out.splitlines()[1:]] == [
        ["25A", "quay-marl"]
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["decode", "--", "-5"], "'-' left out"),
        (["decode", "--format", "text", "--", "-5"], "'-' left out"),
        (["list", "backs", "--first=1", "--", "maker=quay-marl"], "10A"),
        (["list", "--first=1", "--", "backs", "maker=quay-marl"], "10A"),
    ],
)
def test_behind_two_hyphens_are_words_only(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """A word that begins like an option can be said, and others may stand there too."""
    assert main(words) in (0, 1)
    assert said in capsys.readouterr().out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["list"], "cardref list: the following arguments are required: kind; see `cardref list --help`"),
        (["list", "backs", "--frist", "3"], "there is no option '--frist'; did you mean --first?"),
        (["list", "backs", "--zz=3"], "there is no option '--zz'; see `cardref list --help`"),
        (["list", "backs", "--first"], "--first: expected one argument"),
        (
            ["own", "report", "--bi", "x", "f"],
            "cardref own report: there is no option '--bi'; did you mean --by?",
        ),
        (["own", "repot"], "invalid choice: 'repot'"),
        (["init", "Lantern", "Trail"], "'Trail' is one word too many; quote what belongs together"),
        (["--dataset", "x", "decode", "25B"], "the verb comes first"),
    ],
)
def test_what_is_not_taken_is_told_with_the_next_step(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 2, the word that is at fault, and where to look or what was meant."""
    assert main(words) == 2
    captured = capsys.readouterr()
    assert said in captured.err
    assert not captured.out


def test_the_purpose_fits_the_terminal(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What a verb is for is wrapped; its examples are not, since they are copied."""
    monkeypatch.setenv("COLUMNS", "60")
    main(["init", "--help"])
    about, _, example = capsys.readouterr().out.partition("example:")
    assert all(len(line) <= 60 for line in about.splitlines())
    assert any(len(line) > 60 for line in example.splitlines())
