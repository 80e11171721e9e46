"""``cardref identify --ask`` at a pseudo-terminal: what a person sees and types."""

import os
import pty
import select
import signal
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROMPT = b"> "
PATIENCE = 60.0


class Terminal:
    """``cardref identify --ask ...`` with a terminal of its own; ``told`` is all that it showed so far."""

    def __init__(self, *words: str) -> None:
        self.told = ""
        self.fd, theirs = pty.openpty()
        self.program = subprocess.Popen(
            [sys.executable, "-m", "cardref", "identify", "--ask", *words],
            cwd=ROOT, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
        )  # fmt: skip
        os.close(theirs)

    def until(self, end: bytes) -> str:
        """What it shows next, up to ``end`` or to the end of the program."""
        shown = b""
        while not shown.endswith(end):
            ready, _, _ = select.select([self.fd], [], [], PATIENCE)
            assert ready, f"no answer within {PATIENCE} s after {shown!r}"
            try:
                piece = os.read(self.fd, 4096)
            except OSError:  # Linux says so where the program has ended
                piece = b""
            if not piece:
                break
            shown += piece
        text = shown.decode().replace("\r\n", "\n")
        self.told += text
        return text

    def type(self, line: str, end: bytes = PROMPT) -> str:
        """Type a line; what it shows then, up to the next question."""
        os.write(self.fd, f"{line}\n".encode())
        return self.until(end)

    def finish(self, line: str = "") -> tuple[str, int]:
        """Type a last line; what it shows to the end, and the exit status."""
        text = self.type(line, b"\0") if line else self.until(b"\0")
        status = self.program.wait(PATIENCE)
        os.close(self.fd)
        return text, status


def test_from_the_line_to_the_printing() -> None:
    """The line by number, answers by number and word, a look not seen: it ends when it is settled."""
    at = Terminal()
    assert "Which line is it?" in at.until(PROMPT)
    assert "2  Night Post" in at.told
    first = at.type("2")
    assert "1. " in first
    assert "Where: " in first
    answers = {
        "Stand": "1", "Street": "1", "Satchel": "1", "Postmark": "present", "Moon": "1",
    }  # fmt: skip
    text = first
    for number in range(14):
        if "identified as far" in text or "cannot tell" in text:
            break
        word = next((answer for begin, answer in answers.items() if f". {begin}" in text), "")
        text = at.type(word if number % 4 else "?", PROMPT)
    assert "identified as far as recorded: stellan-fogg" in text or "cannot tell" in text
    _, status = at.finish()
    assert status == 0
    assert "Nothing here authenticates a card" in at.told


def test_every_step_can_be_left_undone_or_taken_back() -> None:
    """Could not see, go back, what remains, help, another look, nonsense, stop: all at every question."""
    at = Terminal("--line", "tidewrack", "maker=quay-marl")
    first = at.until(PROMPT)
    assert "b: go back" in first
    assert "1. Back count" in first
    assert "This is the first question" in at.type("b")
    assert "whole number" in at.type("many")
    assert "quay-marl 10A" in at.type("w")
    assert "could not see" in at.type("h")
    second = at.type("25")
    assert "2. " in second
    assert "quay-marl 25" in second
    assert "1. Back count" in at.type("b")
    assert "2. " in at.type("?")
    assert "Back count" not in at.type("rope=4 mm").partition("Where")[0]
    assert "rope taken for rope-length" in at.told
    text, status = at.finish("s")
    assert status == 0
    assert "Length of the rope's loose end 4 mm" in text
    assert "next: " in text


def test_the_end_of_input_stops_with_the_answer_so_far() -> None:
    """Ctrl-D is "stop": what was seen is answered."""
    at = Terminal("--line", "night-post")
    at.until(PROMPT)
    at.type("1")
    text, status = at.finish("\x04")
    assert status == 0
    assert "authenticates" in text


def test_interrupting_ends_with_130() -> None:
    """An interrupt ends it at once, without a traceback."""
    at = Terminal("--line", "night-post")
    at.until(PROMPT)
    at.program.send_signal(signal.SIGINT)
    text, status = at.finish()
    assert status == 130
    assert "Traceback" not in text


@pytest.mark.parametrize("choice", ["9", "", "no such line"])
def test_a_line_that_does_not_exist_is_asked_for_again(choice: str) -> None:
    """Any other answer gets the question again; a title names a line as well."""
    at = Terminal()
    at.until(PROMPT)
    assert "Type a number from 1 to 3" in at.type(choice)
    assert "Shape" in at.type("Hedgerow Circuit") or "1. " in at.told
    assert at.finish("s")[1] == 0
