"""``cardref own add --from``: an answer is read as far as one can be long; what is none is told in words."""

import io
import json
import os
from pathlib import Path

import pytest

import cardref
from cardref.cli import main
from cardref.cli.own import _LONGEST
from cardref.specimens.collection import read_collection

BUNDLED = ["--dataset", str(Path(__file__).parents[2] / "dataset")]


class _Endless(io.TextIOBase):
    """Standard input that never ends; it remembers how much was taken from it."""

    taken = 0

    def read(self, size: int | None = -1, /) -> str:
        """So many spaces, which JSON may begin with."""
        assert size is not None
        assert size >= 0, "read without a limit"
        self.taken += size
        return " " * size


def _add(capsys: pytest.CaptureFixture[str], path: Path, answer: str | Path) -> str:
    capsys.readouterr()
    assert main(["own", "add", str(path), "--from", str(answer), *BUNDLED]) == 2
    assert not path.exists()
    return capsys.readouterr().err


def test_an_input_without_an_end_is_not_waited_for(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Of standard input, a device, a huge file no more is read than an answer can have, and that is told."""
    endless = _Endless()
    monkeypatch.setattr("sys.stdin", endless)
    huge = tmp_path / "huge.json"
    with huge.open("wb") as stream:
        stream.truncate(1 << 40)  # without taking up room
    for answer in ("-", "/dev/zero", huge):
        said = _add(capsys, tmp_path / "mine.yaml", answer)
        assert f"is longer than {_LONGEST:,} characters" in said
        assert "--format json" in said
    assert endless.taken == _LONGEST + 1


def test_an_answer_of_the_greatest_length_is_taken(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """One character more is one too many."""
    capsys.readouterr()
    assert main(["vet", "Lamp Diver 25B", "--format", "json", *BUNDLED]) == 0
    said = capsys.readouterr().out
    answer = tmp_path / "answer.json"
    answer.write_text(said.ljust(_LONGEST), encoding="utf-8")
    mine = tmp_path / "mine.yaml"
    assert main(["own", "add", str(mine), "--from", str(answer), *BUNDLED]) == 0
    answer.write_text(said.ljust(_LONGEST + 1), encoding="utf-8")
    assert "is longer than" in _add(capsys, tmp_path / "other.yaml", answer)


@pytest.mark.parametrize(
    "data",
    [
        b"", b"\xff", b"{", b"9" * 5000, b'{"looks": ' + b"9" * 5000 + b"}", b"[" * 200_000, b"NaN", b"null",
        b'{"looks": [], "candidates": 5, "line": 7}'[:-1], b"\xef\xbb\xbf{}", b'"\\ud800"',
    ],
)  # fmt: skip
def test_what_is_no_answer_is_refused_in_words(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], data: bytes
) -> None:
    """Bytes that are no text, text that is no JSON, numbers too long for one, JSON that is no answer."""
    answer = tmp_path / "answer.json"
    answer.write_bytes(data)
    said = _add(capsys, tmp_path / "mine.yaml", answer)
    assert "no JSON: ask with --format json" in said or "this is no answer of identify or vet" in said


def test_a_pipe_can_be_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """As shells have it: ``--from <(cardref identify ... --format json)``."""
    assert main(["vet", "Lamp Diver 25B", "--format", "json", *BUNDLED]) == 0
    data = capsys.readouterr().out.encode()
    assert len(data) < 1 << 16  # as much as a pipe holds before anybody reads
    reading, writing = os.pipe()
    os.write(writing, data)
    os.close(writing)
    mine = tmp_path / "mine.yaml"
    assert main(["own", "add", str(mine), "--from", f"/dev/fd/{reading}", *BUNDLED]) == 0
    os.close(reading)
    (held,) = read_collection([mine], cardref.load()).specimens
    assert held.record.back == "tidewrack/quay-marl/b-017"
    assert json.loads(data)["vetting"]
