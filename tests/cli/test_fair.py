"""The story of a day at the fair: each question is one command, and its answer fits a screen.

That the answers are what the commands print is held by ``tests/test_docs.py``, as for every document.
What ``...`` leaves out of a line is not measured here.
"""

from pathlib import Path

import pytest

from tests.markdown import Block, blocks

STORY = Path(__file__).parents[2] / "examples" / "fair" / "README.md"
LINES, COLUMNS = 24, 120
"""A screen. A line may be longer than eighty columns where it is one row of a table."""


def _steps() -> list[Block]:
    return [block for block in blocks(STORY.read_text(encoding="utf-8")) if block.language == "console"]


@pytest.mark.parametrize("step", _steps(), ids=lambda step: f"line-{step.line}")
def test_a_question_is_one_command_and_its_answer_fits_a_screen(step: Block) -> None:
    """One command, at most a screen under it, and no line of it left out."""
    command, *answer = step.text.splitlines()
    assert command.startswith("$ cardref ")
    assert 0 < len(answer) <= LINES
    assert not any(line.startswith("$ ") or line.strip() == "..." for line in answer)
    assert all(len(line) <= COLUMNS for line in answer)


def test_every_question_has_its_answer() -> None:
    """Ten questions, ten commands."""
    headings = [line for line in STORY.read_text(encoding="utf-8").splitlines() if line.startswith("## ")]
    assert len(headings) == len(_steps()) == 10
