"""Any bytes as arguments, on standard input or in the environment: an answer or a clear word."""

import os
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardref.checks.sample import write_sample
from cardref.cli.dispatch import VERBS
from tests.hostile.kit import raw_signs, run

ROOT = Path(__file__).parents[2]

# Bytes that are no text reach a program as lone surrogates.
ODD = [
    "", " ", "-", "--", "---", "=", "a=", "=a", "a=b=c", "?", "*", "/", "..", "../..", "/etc/passwd",
    "/dev/null", "/dev/zero", "/proc/self/mem", "~", "$HOME", "`id`", "$(id)", "a\nb", "a\rb",
    "\n::error::x", "\x00", "\x1b[2J", "\x1b]0;x\x07", "\udcff", "\ud800", "\u202eabc", "\ufeff", "%s",
    "%n", "{}", "{0}", "\\", "'", '"', "<b>", "=1+1", "9" * 5000, "x" * 5000, "a" * 300_000, "[" * 10_000,
    "25B" * 2000, "١٢", "²", "𝟛B", "nan", "inf", "-1", "1e999", "NUL", "con", "C:\\x", "\\\\host\\x",
    "http://example.invalid/x", "file:///etc/passwd", "@file", "@/etc/passwd",
]  # fmt: skip
WORDS = [
    "--dataset", "--format", "--over", "--select", "--ignore", "--since", "--base", "--baseline",
    "--plugin", "--today", "--fail-on", "--diff", "--check", "--unsafe", "--reason", "--rename-to",
    "--merge-into", "--split-into", "--replaced-by", "--mention", "--date", "--line", "--maker",
    "--country", "--sure", "--most", "--by", "--features", "--signs", "--card", "--help", "json", "csv",
    "text", "sarif", "annotations", "markdown", "export", "import", "sqlite", "datapackage", "schemas",
    "report", "add", "match", "propose", "backs", "figures", "makers", "quay-marl 25B", "25B",
    "7K 2046/031", "lamp diver", "tidewrack", "back=21A", "maker=quay-marl", "back-count=25",
    "rope-length=4 mm", "code=7K 2O46/031", "dataset", "dataset/makers.yaml", "HEAD", "cards",
    "count-mismatch", "wave",
]  # fmt: skip


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A working directory with a dataset in it, for whatever a verb may write."""
    write_sample(tmp_path / "dataset")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def _clear(words: list[str], stdin: bytes = b"") -> None:
    ran = run(words, stdin)
    assert ran.status in (0, 1, 2), (words, ran)
    assert ran.out or ran.err or ran.status == 0, words
    assert raw_signs(ran.out + ran.err) == [], words
    assert len(ran.err) < 20_000, words  # however long the argument is


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_takes_any_word(here: Path, verb: str) -> None:
    """One odd word, alone, behind the dataset's option, and as a dataset: an answer or a clear word."""
    assert here.is_dir()
    for odd in ODD:
        _clear([verb, odd])
        _clear([verb, "--dataset", odd, "x"])
        _clear([verb, "back", "--dataset", "dataset", odd])


@given(
    st.lists(st.sampled_from(ODD + WORDS), max_size=5), st.sampled_from(list(VERBS)), st.binary(max_size=30)
)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_words_in_any_order(here: Path, words: list[str], verb: str, stdin: bytes) -> None:
    """Options, words and odd words mixed: an answer or a clear word."""
    assert here.is_dir()
    _clear([verb, *words], stdin)


@given(st.lists(st.text(st.characters(), max_size=20), max_size=3))
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_text_is_decoded(here: Path, texts: list[str]) -> None:
    """Whatever text is asked about, the answer says what was made of it."""
    assert here.is_dir()
    _clear(["decode", "--dataset", "dataset", "--", *texts, "x"])


def test_any_bytes_on_standard_input() -> None:
    """Bytes of any kind, and a line without an end, are read in pieces that are answered."""
    _clear(["decode", "-"], bytes(range(256)) * 3)
    _clear(["decode", "-", "--format", "json"], b"\xff\n\0\n7K 2046/031\r\n\n")
    _clear(["decode", "-", "--format", "csv"], b"=1+1\n@x\n")
    _clear(["decode", "-"], b"x" * 3_000_000)
    _clear(["vet", "-"], b"\xff" * 3_000_000)


# --- a process of its own ----------------------------------------------------------------------------------


def _started(
    words: Iterable[bytes | str], env: Mapping[str, str] | None = None, **named: object
) -> subprocess.CompletedProcess[bytes]:
    around = {"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), **(env or {})}
    return subprocess.run(  # type: ignore[call-overload,no-any-return] # the options of one call each
        [sys.executable, "-m", "cardref", *words], env=around, capture_output=True, check=False, **named
    )


@pytest.mark.parametrize(
    "word", [b"\xff\xfe", b"\xed\xa0\x80", b"a\nb", b"\x1b[31m", "٢٥".encode(), b"x" * 100_000]
)
def test_bytes_as_arguments(word: bytes) -> None:
    """Bytes that are no text in any encoding come through the system's own way and are shown as escapes."""
    for verb in ("decode", "show", word, "check"):
        ran = _started([verb, word])
        assert ran.returncode in (0, 1, 2)
        assert b"Traceback" not in ran.stderr
        assert raw_signs(ran.stdout + ran.stderr) == []


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        {"PYTHONIOENCODING": "ascii"},
        {"PYTHONIOENCODING": "latin-1:strict"},
        {"PYTHONIOENCODING": "utf-16"},
        {"LC_ALL": "nowhere_XX.weird"},
        {"COLUMNS": "0"},
        {"COLUMNS": "-1", "LINES": "x"},
        {"TERM": "\x1b[31m", "NO_COLOR": "", "FORCE_COLOR": "1", "CLICOLOR_FORCE": "1"},
        {
            "HOME": "/nowhere",
            "TMPDIR": "/nowhere",
            "XDG_CONFIG_HOME": "/nowhere",
            "XDG_CACHE_HOME": "/nowhere",
        },
        {"GIT_DIR": "/nowhere", "GIT_WORK_TREE": "/nowhere"},
        {"TZ": "Nowhere/Weird", "SOURCE_DATE_EPOCH": "x"},
    ],
    ids=lambda env: next(iter(env.items())),
)
def test_a_weird_environment(env: dict[str, str]) -> None:
    """A locale, encoding, terminal or folder that nobody has: the answer is given all the same."""
    for words in (("show", "padogil"), ("decode", "7K 2046/031")):
        ran = _started(words, env)
        assert ran.returncode == 0, ran
        assert b"Traceback" not in ran.stderr
        assert ran.stdout


@pytest.mark.parametrize("closed", ["stdin", "stdout", "stderr"])
def test_a_closed_stream(closed: str) -> None:
    """A standard stream that is closed from the start does not make a program fail on the others."""
    redirect = {"stdin": "<&-", "stdout": ">&-", "stderr": "2>&-"}[closed]
    done = subprocess.run(
        ["sh", "-c", f'exec "$0" -m cardref decode 7K\\ 2046/031 {redirect}', sys.executable],
        env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)},
        capture_output=True,
        check=False,
    )
    assert done.returncode in (0, 1, 2)
    assert b"Traceback" not in done.stderr
    if closed == "stdin":
        assert b"Lamp Diver" in done.stdout


def test_a_full_disk_under_standard_output() -> None:
    """Where the output cannot be written, that is said, and the status is 2."""
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "cardref", "list", "backs"],
            env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)},
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr


def test_a_working_directory_that_is_gone(tmp_path: Path) -> None:
    """From a folder that was removed meanwhile, what needs none is answered, and what needs one says so."""
    script = 'mkdir gone && cd gone && rmdir ../gone && exec "$0" -m cardref "$@"'
    for words in (["decode", "7K 2046/031"], ["check"], ["init", "x"]):
        done = subprocess.run(
            ["sh", "-c", script, sys.executable, *words],
            cwd=tmp_path,
            env={"PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT)},
            stdin=subprocess.DEVNULL,
            capture_output=True,
            check=False,
        )
        assert done.returncode in (0, 1, 2), done
        assert b"Traceback" not in done.stderr, done
