"""The hooks that we offer, run by `pre-commit` itself in a repository that holds a dataset.

Outside check: `pre-commit` reads the definition with its own schema, and runs what it says.
"""

import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import yaml
from pre_commit.clientlib import load_manifest  # type: ignore[import-untyped]  # it ships no types

ROOT = Path(__file__).parents[1]
MANIFEST = ROOT / ".pre-commit-hooks.yaml"


def run(place: Path, *command: str) -> subprocess.CompletedProcess[str]:
    """What a command says in a directory, without the settings of whoever runs the tests."""
    environment = {"PATH": "/usr/bin:/bin", "HOME": str(place), "PYTHONPATH": str(ROOT)}
    identity = {"GIT_CONFIG_GLOBAL": "/dev/null", "GIT_CONFIG_SYSTEM": "/dev/null"}
    return subprocess.run(
        command, cwd=place, env=environment | identity, capture_output=True, text=True, check=False
    )


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A new dataset under git, with our hooks as local ones: the same words, run by this Python.

    ``language: python`` would have an environment made from the package index, which a test must not need.
    """
    hooks: list[dict[str, Any]] = yaml.safe_load(MANIFEST.read_text(encoding="utf-8"))
    for hook in hooks:
        assert hook["entry"].startswith("cardref ")
        hook |= {"entry": f"{sys.executable} -m {hook['entry']}", "language": "system"}
    shutil.copytree(ROOT / "dataset", tmp_path, dirs_exist_ok=True)
    (tmp_path / ".pre-commit-config.yaml").write_text(
        yaml.safe_dump({"repos": [{"repo": "local", "hooks": hooks}]}), encoding="utf-8"
    )
    assert run(tmp_path, "git", "init", "-q").returncode == 0
    assert run(tmp_path, "git", "add", "-A").returncode == 0
    return tmp_path


def hooked(place: Path) -> subprocess.CompletedProcess[str]:
    """What `pre-commit` says of all files."""
    return run(place, sys.executable, "-m", "pre_commit", "run", "--all-files", "--color", "never")


def test_the_definition_is_one_that_pre_commit_takes() -> None:
    """Its own schema holds, and the entries are our verbs on the whole dataset, wherever it is."""
    hooks = {hook["id"]: hook for hook in load_manifest(MANIFEST)}
    assert set(hooks) == {"cardref-check", "cardref-fmt"}
    for hook in hooks.values():
        assert hook["language"] == "python"
        assert hook["args"] == ["."]
        assert not hook["pass_filenames"]


def test_a_clean_dataset_may_be_committed(repository: Path) -> None:
    """Both hooks pass, and no file is touched."""
    done = hooked(repository)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stdout.count("Passed") == 2
    assert run(repository, "git", "diff", "--stat").stdout == ""


def test_a_slip_stops_the_commit_and_is_told(repository: Path) -> None:
    """The finding stands in what the committer sees, with its place."""
    path = repository / "lines/tidewrack/backs/quay-marl.yaml"
    text = path.read_text(encoding="utf-8")
    assert "\n    count: 25\n" in text
    path.write_text(text.replace("\n    count: 25\n", "\n    count: 26\n", 1), encoding="utf-8")
    done = hooked(repository)
    assert done.returncode == 1
    assert "lines/tidewrack/backs/quay-marl.yaml:" in done.stdout
    assert "error" in done.stdout


def test_a_layout_that_is_off_is_mended_and_shown(repository: Path) -> None:
    """The formatter writes, and `pre-commit` stops so that the committer looks at what it did."""
    path = repository / "makers.yaml"
    tidy = path.read_text(encoding="utf-8")
    path.write_text(tidy.replace("  name: ", "  name:    ", 1), encoding="utf-8")
    assert path.read_text(encoding="utf-8") != tidy
    run(repository, "git", "add", "-A")
    done = hooked(repository)
    assert done.returncode == 1
    assert "files were modified by this hook" in done.stdout
    assert path.read_text(encoding="utf-8") == tidy
