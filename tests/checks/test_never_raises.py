"""No rule ever raises, whatever records say: fields lost, of the wrong type, or pointing anywhere."""

import random
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import pytest

from cardref.checks.sample import write_sample
from tests.detection.world import Change, World

WRONG: tuple[Any, ...] = (
    None, "", "x", "lanternfish/figure/reef-pilot", 0, -1, True, [], ["x", "x"],
    {}, {"x": ["y"]}, "1982", "?", [{}],
)  # fmt: skip


@cache
def world() -> World:
    """The sample dataset, from which one record at a time is broken."""
    return World(write_sample(Path(mkdtemp())))


@pytest.mark.parametrize("kind", ["line", "series", "wave", "scheme", "maker", "feature", "figure", "sticker",
                                  "reproduction", "back", "face", "card", "source"])  # fmt: skip
def test_broken_records_break_no_rule(kind: str) -> None:
    """Every field of a record of the kind lost, and twice put wrong; the rest is still judged."""
    rng = random.Random(kind)
    for full in rng.sample(list(world().ids(kind)), min(3, len(world().ids(kind)))):
        for field in world().raw_of(full):
            for wrong in ("lost", *rng.sample(WRONG, 2)):
                raw = world().raw(full)
                if wrong == "lost":
                    del raw[field]
                else:
                    raw[field] = wrong
                world().new([Change(full, raw)])


def test_everything_pointing_at_one_thing_breaks_no_rule() -> None:
    """Links in circles and to records of other kinds: findings, and an end."""
    for full in world().ids("back"):
        for field in ("after", "wave", "series"):
            for target in ("b-001", "b-003", "po-1", "reef-pilot", "morvane/b-001"):
                raw = world().raw(full)
                raw[field] = target
                raw["pictures"] = {"based_on": target, "plus": [target], "minus": [target]}
                world().new([Change(full, raw)])
