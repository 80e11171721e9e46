"""Commands that write, killed at any moment, or refused by the system: each file is the old or the new one.

A change of several files is finished by the next command, or nothing of it was done. The ordinary run takes a
few moments of the usual commands; ``CARDREF_KILLS=50 python -m pytest tests/killing`` takes every moment of
every command, and so many at random times.
"""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.killing.works import WORKS

ROOT = Path(__file__).parents[2]
LONG = "CARDREF_KILLS" in os.environ
USUAL = ("fmt", "fix", "tables import", "tables add", "rename", "own add")
NAMES = tuple(WORKS) if LONG else USUAL


def _told(names: tuple[str, ...], most: int) -> dict[str, Any]:
    done = subprocess.run(
        [sys.executable, "-m", "tests.killing.host", *names, *([] if LONG else [str(most)])],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


# In two groups, so that they may run beside each other, and no more: a process takes a while to begin.
@pytest.mark.parametrize("group", range(2))
def test_killed_or_refused_at_any_moment_every_file_is_whole(group: int) -> None:
    """Every file is old or new, half a change is told and finished, errors are clear, there is no litter."""
    for name, told in _told(NAMES[group::2], 3).items():
        print(name, told)
        assert told["wrong"] == [], name
        assert told["kills"] >= 3
        assert told["kept"] >= 1
        assert told["kept"] + told["cut"] + told["done"] == told["kills"]
        assert not WORKS[name].whole or (told["failures"] >= 2 and told["interrupts"] >= 1)
        if LONG:
            assert told["kills"] >= told["events"] >= 6
            assert bool(told["cut"]) == (WORKS[name].files > 1), name
            assert told["kills"] >= 30 or WORKS[name].files == 1


def test_between_two_files_the_next_command_knows() -> None:
    """Killed at each moment of a change of two files: some leave half a change, and none is lost."""
    both = _told(("retire", "finish"), 12)
    told = both["retire"]
    assert told["wrong"] == []
    assert both["finish"]["wrong"] == []  # finishing can be cut off as well, and is finished the next time
    assert told["cut"] >= 1
    assert told["said"]["half"] >= 1  # a disk that stays full lets nothing be put back, and that is said
    assert told["said"]["whole"] >= 1
