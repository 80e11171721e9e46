"""The same answers, byte for byte, however Python is set up; and none of it warns."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]

VARIANTS: dict[str, tuple[list[str], dict[str, str], list[str]]] = {
    # name: options of Python, its environment, options of the script
    "plain": ([], {"PYTHONHASHSEED": "0"}, []),
    "warnings are errors, development mode, another order of sets": (
        ["-X", "dev", "-W", "error"],
        {"PYTHONHASHSEED": "random"},
        [],
    ),
    "no assertions, no docstrings, no libyaml, C locale, ASCII, no HOME": (
        ["-OO"],
        {
            "PYTHONHASHSEED": "1",
            "LC_ALL": "C",
            "PYTHONUTF8": "0",
            "PYTHONCOERCECLOCALE": "0",
            "PYTHONIOENCODING": "ascii",
            "HOME": "",
        },
        ["--pure"],
    ),
}


def _environment(more: Mapping[str, str]) -> dict[str, str]:
    """This process's, without what sets Python up; what is to be "" is taken out."""
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("PYTHON", "LC_", "LANG"))}
    wanted = {**kept, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **more}
    return {key: value for key, value in wanted.items() if value}


@pytest.fixture(scope="module")
def answers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, list[str]]:
    """Variant -> a line for each command and file of ``everything.py``."""
    folders = {name: tmp_path_factory.mktemp("everything") for name in VARIANTS}

    def ask(name: str) -> list[str]:
        options, more, flags = VARIANTS[name]
        folder = folders[name]
        done = subprocess.run(
            [sys.executable, *options, str(ROOT / "tests/compat/everything.py"), str(folder), *flags],
            env=_environment(more),
            capture_output=True,
            text=True,
            encoding="utf-8",
            check=False,
        )
        assert done.returncode == 0, done.stderr
        assert done.stderr == ""  # no warning either
        return done.stdout.splitlines()

    with ThreadPoolExecutor(2) as pool:
        return dict(zip(VARIANTS, pool.map(ask, VARIANTS), strict=True))


@pytest.mark.parametrize("name", [name for name in VARIANTS if name != "plain"])
def test_every_answer_and_export_is_the_same(answers: dict[str, list[str]], name: str) -> None:
    """Each command's bytes and each file's; but schemas have their sentences from docstrings."""
    plain, others = (
        [
            line
            for line in answers[one]
            if not line.startswith("libyaml")
            and not ("no docstrings" in name and line.endswith(".schema.json"))
        ]
        for one in ("plain", name)
    )
    assert len(plain) > 150
    assert others == plain


def test_libyaml_is_used_and_was_hidden(answers: dict[str, list[str]]) -> None:
    """The comparison is one of two parsers: one variant has libyaml's, the other has not."""
    with_it = {name for name, lines in answers.items() if any(line.startswith("libyaml") for line in lines)}
    assert with_it == {name for name, (_, _, flags) in VARIANTS.items() if "--pure" not in flags}


def _cardref(*words: str, cwd: Path | None = None, **more: str) -> bytes:
    done = subprocess.run(
        [sys.executable, "-m", "cardref", *words],
        env=_environment(more),
        cwd=cwd,
        capture_output=True,
        check=False,
    )
    assert b"Traceback" not in done.stderr, done.stderr
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_a_table_is_utf8_and_json_is_json_whatever_the_terminal_is() -> None:
    """In ASCII no sign is lost: JSON has its own escapes (RFC 8259, 7), and a table is UTF-8 as all are."""
    for words in (("list", "makers", "--format", "json"), ("list", "makers", "--format", "csv")):
        plain, narrow = (_cardref(*words, PYTHONIOENCODING=name) for name in ("utf-8", "ascii"))
        assert not plain.isascii()
        if "json" in words:
            assert narrow.isascii()
            assert json.loads(narrow) == json.loads(plain)
        else:
            assert narrow == plain


def test_nothing_is_written_beside_the_code(tmp_path: Path) -> None:
    """From a copy that nobody may write to, where Python would leave its caches, the answer is the same."""
    copy = tmp_path / "copy"
    for name in ("cardref", "dataset", "schemas"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    for folder in [path for path in (copy / "cardref").rglob("*") if path.is_dir()] + [copy / "cardref"]:
        (folder / "__pycache__").touch()  # root may write anywhere, but not make a folder of a file
    before = set(copy.rglob("*"))
    for path in before:
        path.chmod(0o555 if path.is_dir() else 0o444)
    said = _cardref(
        "decode",
        "7K 2046/031",
        cwd=tmp_path,
        PYTHONPATH=str(copy),
        HOME="",
        PYTHONDONTWRITEBYTECODE="",
    )
    assert said == _cardref("decode", "7K 2046/031", cwd=tmp_path)
    assert set(copy.rglob("*")) == before
