"""The verbs that write: exit status, what they say, and that they never touch the bundled dataset."""

import hashlib
import io
import sys
from pathlib import Path

import pytest

from cardref.checks.sample import SAMPLE, write_sample
from cardref.cli import main
from cardref.storage.atomic import Change, write_changes
from cardref.storage.bundle import home


@pytest.fixture
def sample(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working directory with the sample in ./dataset."""
    monkeypatch.chdir(tmp_path)
    return write_sample(tmp_path / "dataset")


def _print(folder: Path) -> str:
    digest = hashlib.sha256()
    for path in sorted(folder.rglob("*.yaml")):
        digest.update(str(path).encode() + path.read_bytes())
    return digest.hexdigest()


def test_fmt_writes_once(sample: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """--check and --diff write nothing; without them files are laid out, and nothing is left to do."""
    before = _print(sample)
    assert main(["fmt", "--check"]) == 1
    assert "would change: lines/lanternfish/line.yaml" in capsys.readouterr().out
    assert main(["fmt", "--diff"]) == 0
    assert "+++ lines/lanternfish/line.yaml" in capsys.readouterr().out
    assert _print(sample) == before
    assert main(["fmt"]) == 0
    assert "changed: lines/lanternfish/line.yaml" in capsys.readouterr().out
    assert main(["fmt", "--check"]) == 0
    assert "0 files would be changed" in capsys.readouterr().out
    assert _print(sample) != before


def test_fmt_takes_files_and_folders(sample: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file or a folder inside a dataset stands for itself; a file of no dataset is laid out as it is."""
    assert main(["fmt", "dataset/makers.yaml"]) == 0
    assert "lines" not in capsys.readouterr().out
    assert main(["fmt", "dataset/lines/lanternfish/backs"]) == 0
    assert "changed: lines/lanternfish/backs/morvane.yaml" in capsys.readouterr().out
    own = sample.parent / "own.yaml"
    own.write_text("b:   'x'  # c\na: 1\n")
    assert main(["fmt", "own.yaml"]) == 0
    assert own.read_text() == "b: x  # c\na: 1\n"


def test_fmt_leaves_what_it_cannot_read(sample: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A file with conflict markers is left alone and named with its lines; the exit status says so."""
    text = SAMPLE["makers.yaml"] + "<<<<<<< mine\n=======\n>>>>>>> theirs\n"
    (sample / "makers.yaml").write_text(text)
    assert main(["fmt"]) == 1
    out = capsys.readouterr().out
    assert "makers.yaml:" in out
    assert "left alone: merge conflict markers in lines" in out
    assert (sample / "makers.yaml").read_text() == text


def test_fix_says_what_it_did(sample: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Safe fixes are carried out, unsafe ones named; with --unsafe these too; --diff writes nothing."""
    makers = SAMPLE["makers.yaml"].replace("country: IE", "country: NO").replace("active:", "actve:", 1)
    (sample / "makers.yaml").write_text(makers)
    assert main(["fix", "--diff"]) == 1
    shown = capsys.readouterr()
    assert '+    country: "NO"' in shown.out
    assert (sample / "makers.yaml").read_text() == makers
    assert main(["fix"]) == 1
    out = capsys.readouterr().out
    assert "fixed: makers.yaml:" in out
    assert "unsafe: makers.yaml:" in out
    assert main(["fix", "--unsafe"]) == 0
    assert (sample / "makers.yaml").read_text() == SAMPLE["makers.yaml"].replace("IE", '"NO"')


def test_fix_is_held_back_by_select_and_ignore(sample: Path) -> None:
    """Only the rules asked for are run and fixed."""
    makers = SAMPLE["makers.yaml"].replace("country: IE", "country: NO")
    (sample / "makers.yaml").write_text(makers)
    assert main(["fix", "--ignore", "written-form"]) == 0
    assert (sample / "makers.yaml").read_text() == makers
    assert main(["fix", "--select", "no-such-rule"]) == 2


def test_retire_says_what_follows(sample: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each way to retire names the old id, the new one, and who follows; --diff writes nothing."""
    before = _print(sample)
    words = ["retire", "pell-orrin b-002", "--merge-into", "pell-orrin b-001", "--reason", "one printing"]
    assert main([*words, "--diff"]) == 0
    assert "+++ retired.yaml" in capsys.readouterr().out
    assert _print(sample) == before
    assert main(words) == 0
    out = capsys.readouterr().out
    assert "lanternfish/pell-orrin/b-002 retired; lanternfish/pell-orrin/b-001 in its place" in out
    assert "follows: lanternfish/pell-orrin/c-003" in out
    assert main(["retire", "reef pilot", "--rename-to", "reef-guide"]) == 0
    assert main(["retire", "pell-orrin 7A", "--split-into", "b-8", "b-9", "--reason", "x"]) == 2
    assert "say for each which of b-8 or b-9" in capsys.readouterr().err
    words = ["retire", "pell-orrin 7A", "--split-into", "b-8", "b-9", "--reason", "x", "--mention", "*=b-8"]
    assert main(words) == 0
    capsys.readouterr()
    assert main(["show", "pell-orrin b-002", "--dataset", "dataset"]) == 0
    assert "is retired (one printing); this took its place" in capsys.readouterr().out


def test_a_day_is_written_unless_another_is_given(sample: Path) -> None:
    """The tombstone has today's date, another one, or none where none is wanted."""
    assert main(["retire", "glossy-four", "--reason", "x", "--date", "1999~"]) == 0
    assert 'date: "1999~"' in (sample / "retired.yaml").read_text()
    assert main(["retire", "whistle-offer", "--reason", "x", "--date", ""]) == 2  # c-006 bears it
    assert main(["retire", "glossy-four", "--reason", "x"]) == 2  # it is gone


def test_init_makes_a_dataset_that_checks_and_decodes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The commands that init prints work as printed, and end with 0."""
    monkeypatch.chdir(tmp_path)
    assert main(["init", "new", "--line", "Lantern Trail", "--maker", "Pell", "--country", "IE"]) == 0
    said = [line.strip() for line in capsys.readouterr().out.splitlines() if line.startswith("  cardref ")]
    assert len(said) == 2
    for command in said:
        words = command.split()[1:]
        if words[0] != "check":  # its module may stand beside us
            assert main(words) == 0
    assert main(["fmt", "--check", "new"]) == 0
    assert main(["init", "new", "--line", "Lantern Trail", "--maker", "Pell"]) == 2
    assert "holds a dataset already" in capsys.readouterr().err


def test_init_asks_on_a_terminal(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """On a terminal what is needed is asked for until it is given; without one the options are named."""
    monkeypatch.chdir(tmp_path)
    assert main(["init", "new", "--line", "Lantern Trail"]) == 2
    assert "give --maker" in capsys.readouterr().err

    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    monkeypatch.setattr(sys, "stdin", Terminal("\nLantern Trail\nPell\nIE\n\n1981/1984\n\n\n"))
    assert main(["init", "new"]) == 0
    assert "The line's title" in capsys.readouterr().err
    assert "country: IE" in (tmp_path / "new/makers.yaml").read_text()
    monkeypatch.setattr(sys, "stdin", Terminal("Lantern Trail\n"))
    assert main(["init", "other"]) == 2
    assert not (tmp_path / "other").exists()


@pytest.mark.parametrize("words", [["fmt"], ["fix"], ["retire", "quay-marl 25B", "--reason", "x"]])
def test_the_bundled_dataset_is_never_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: list[str]
) -> None:
    """Where no dataset is named and none is here, a verb that writes says so and ends with 2."""
    monkeypatch.chdir(tmp_path)
    before = _print(home().dataset)
    assert main(words) == 2
    assert "the bundled dataset is never written to" in capsys.readouterr().err
    assert _print(home().dataset) == before


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["fmt", "nowhere.yaml"], "does not exist"),
        (["fmt", "."], "holds no dataset.yaml"),
        (["fix", "--dataset", "dataset", "nowhere.yaml"], "does not exist"),
        (["retire", "reef pilot", "--dataset", "nowhere", "--reason", "x"], "holds no dataset.yaml"),
        (["retire", "reef pilot", "--rename-to", "a b"], "no short id"),
        (["retire", "reef pilot", "--mention", "x", "--reason", "x"], "RECORD=NEW"),
        (["retire", "pell-orrin 4", "--reason", "x"], "ask for one of these"),
    ],
)
@pytest.mark.usefixtures("sample")
def test_wrong_calls_have_a_clear_word(
    capsys: pytest.CaptureFixture[str], words: list[str], said: str
) -> None:
    """Each wrong call ends with 2 and one line that says what is wrong."""
    assert main(words) == 2
    assert said in capsys.readouterr().err


def test_a_writer_that_came_second_is_told(
    sample: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Somebody saves a file while fmt works: their text stays, and fmt ends with 2."""

    def late(root: Path, changes: tuple[Change, ...]) -> None:
        (sample / "makers.yaml").write_text("makers: []  # theirs\n")
        write_changes(root, changes)

    monkeypatch.setattr("cardref.cli.fmt.write_changes", late)
    assert main(["fmt"]) == 2
    assert "has changed since it was read" in capsys.readouterr().err
    assert (sample / "makers.yaml").read_text() == "makers: []  # theirs\n"
