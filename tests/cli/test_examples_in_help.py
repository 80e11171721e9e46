"""Every example that ``--help`` shows is a command that works: each is run as it stands."""

import os
import re
import shutil
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

from cardref.cli import VERBS

ROOT = Path(__file__).parents[2]
ANSWERS = (0, 1)
"""A contradiction or a finding is an answer too; 2 means that the example was called wrongly."""
_BEFORE = (
    ("--dataset mine", 'cardref init mine --bare --line "Lantern Trail" --maker "Pell Playthings"'),
    ("tables import sheets", "cardref tables export sheets --dataset mine"),
)
"""What an example takes for granted, and the command by which it came to be."""


def _examples() -> list[tuple[str, str]]:
    """Verb and command, for each line of an EXAMPLE that is one; what explains it is no part."""
    found = []
    for verb in VERBS:
        if not (ROOT / "cardref" / "cli" / f"{verb}.py").exists():
            continue
        # A verb of several actions has an example of each, in constants of its own.
        texts = vars(import_module(f"cardref.cli.{verb}")).values()
        text = "\n".join(t for t in texts if isinstance(t, str) and t.startswith(f"cardref {verb}"))
        commands = [
            re.split(r" {3,}", line.strip())[0]
            for line in text.splitlines()
            if line.strip().startswith("cardref ")
        ]
        found += [(verb, command) for command in commands or [""]]
    return found


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A git checkout of two commits, with dataset and examples, in which ``cardref`` is this one."""
    place = tmp_path / "checkout"
    for name in ("dataset", "examples", "schemas"):
        shutil.copytree(ROOT / name, place / name)
    command = tmp_path / "bin" / "cardref"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m cardref "$@"\n')
    command.chmod(0o755)
    monkeypatch.setenv("PATH", os.pathsep.join([str(command.parent), os.environ["PATH"]]))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    monkeypatch.chdir(place)
    subprocess.run(["git", "init", "-q", "-b", "main"], check=True)
    subprocess.run(["git", "add", "."], check=True)
    commit = ["git", "-c", "user.name=n", "-c", "user.email=n@example.org", "commit", "-q", "-m"]
    subprocess.run([*commit, "one"], check=True)
    subprocess.run([*commit, "two", "--allow-empty"], check=True)
    return place


@pytest.mark.usefixtures("checkout")
@pytest.mark.parametrize(("verb", "command"), _examples())
def test_an_example_works_as_it_is_shown(verb: str, command: str) -> None:
    """The example calls its own verb, ends with an answer, and prints something; nothing goes wrong."""
    assert command.startswith(f"cardref {verb}"), "the help shows no command of this verb"
    for wanted, step in _BEFORE:
        if wanted in command:
            assert _run(step).returncode == 0
    done = _run(command)
    if command.endswith("--ask"):
        # It asks at a terminal only; elsewhere it must say so, and what to do instead.
        assert done.returncode == 2
        assert "needs a terminal" in done.stderr
        return
    assert done.returncode in ANSWERS, done.stderr
    assert "Traceback" not in done.stderr, done.stderr
    assert done.stdout.strip() or verb in ("fmt", "fix"), "an answer was expected"


def _run(command: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        ["bash", "-c", command],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize("verb", sorted({verb for verb, _ in _examples()}))
def test_the_purpose_is_one_line(verb: str) -> None:
    """The first sentence of a verb's help says what it is for, and fits a line; what else it says follows."""
    summary: str = import_module(f"cardref.cli.{verb}").SUMMARY
    assert "\n" not in summary
    purpose = summary.partition(". ")[0]
    assert 10 < len(purpose) <= 120, purpose
