"""One reference and many threads: whoever comes first, all get the same, and nobody waits for ever."""

import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import Any

import pytest

import cardref
from cardref.checks.sample import write_sample
from cardref.index import from_compiled
from cardref.storage.bundle import compile_dataset
from tests.concurrency.questions import QUESTIONS, ask

ROOT = Path(__file__).parents[2]
THREADS = 8


@contextmanager
def _switching(seconds: float | None) -> Iterator[None]:
    """Threads take turns after so short a time that they meet in the middle of everything."""
    kept = sys.getswitchinterval()
    if seconds is not None:
        sys.setswitchinterval(seconds)
    try:
        yield
    finally:
        sys.setswitchinterval(kept)


def _together(work: Callable[[int], Any]) -> list[Any]:
    """What ``work`` gives in so many threads that begin at once; an exception is given as it is."""
    start = threading.Barrier(THREADS)
    found: list[Any] = [None] * THREADS

    def one(number: int) -> None:
        start.wait()
        try:
            found[number] = work(number)
        except BaseException as error:  # noqa: BLE001 - told by the test, not lost with the thread
            found[number] = error

    threads = [threading.Thread(target=one, args=(number,)) for number in range(THREADS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return found


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample as a dataset."""
    return write_sample(tmp_path_factory.mktemp("threads") / "dataset")


@pytest.fixture(scope="module")
def expected(sample: Path) -> dict[str, Any]:
    """The answers when nobody else asks."""
    ref = cardref.load(sample)
    return {name: ask(ref, name) for name in QUESTIONS}


def _ask(ref: cardref.Reference, name: str, _: int) -> Any:
    return ask(ref, name)


def _compiled(sample: Path, folder: Path) -> cardref.Reference:
    """The same from compiled tables, of which nothing is read before it is asked for."""
    for name, data in compile_dataset(sample).items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(data)
    return cardref.Reference(from_compiled(folder / "data"), str(sample))


@pytest.mark.parametrize("seconds", [None, 1e-6])
@pytest.mark.parametrize("how", ["read", "compiled"])
def test_first_use_by_many_at_once(
    sample: Path, expected: dict[str, Any], tmp_path: Path, how: str, seconds: float | None
) -> None:
    """Fresh references: threads that begin with different questions, or the same one, get equal answers."""
    names = list(QUESTIONS)
    for same in (True, False):
        ref = cardref.load(sample) if how == "read" else _compiled(sample, tmp_path)

        def work(number: int, ref: cardref.Reference = ref, same: bool = same) -> dict[str, Any]:
            first = 0 if same else number * len(names) // THREADS
            return {name: ask(ref, name) for name in names[first:] + names[:first]}

        with _switching(seconds):
            for answers in _together(work):
                assert answers == expected


def test_every_question_first(sample: Path, expected: dict[str, Any]) -> None:
    """For each question a fresh reference of which many threads ask it first, at once."""
    with _switching(1e-6):
        for name in QUESTIONS:
            ref = cardref.load(sample)
            for answer in _together(partial(_ask, ref, name)):
                assert answer == expected[name]


def test_an_identification_goes_on_in_many_threads(sample: Path) -> None:
    """One identification, from which each thread takes its own way: none disturbs another, nor the first."""
    ref = cardref.load(sample)
    first = ref.identify(line="lanternfish")
    looks = ["4", "6", "7", "3", "4|6", "6|7", "?", "3|4"]

    def work(number: int) -> tuple[str, list[Any], str]:
        mine = first.observe("back-count", looks[number])
        back = mine.retract("back-count")
        return mine.explain(), list(mine.candidates), back.explain()

    alone = [work(number) for number in range(THREADS)]
    with _switching(1e-6):
        assert _together(work) == alone
    assert {told for _, _, told in alone} == {first.explain()}


def test_values_are_parsed_by_many_at_once() -> None:
    """What notations remember between calls is shared, and gives each the right value."""
    texts = [f"{year}-{month:02}" for year in range(1970, 1990) for month in range(1, 13)]
    lengths = [f"{number} mm" for number in range(300)]

    def work(number: int) -> list[str]:
        turned = texts[number * 20 :] + texts[: number * 20]
        dates = {text: str(cardref.Date.parse(text)) for text in turned}
        return [dates[text] for text in texts] + [str(cardref.Length.parse(text)) for text in lengths]

    with _switching(1e-6):
        assert all(found == texts + lengths for found in _together(work))


_FIRST_IMPORT = """
import sys, threading
sys.setswitchinterval(1e-6)
import cardref

names = sorted(set(cardref.__all__) - {"__version__"})
start = threading.Barrier(8)
found = [None] * 8

def work(number):
    start.wait()
    turned = names[number * 3:] + names[:number * 3]
    for name in turned:
        getattr(cardref, name)
    ref = cardref.load(sys.argv[1])
    ident = ref.identify(line="lanternfish").observe("back-count", 4)
    found[number] = (
        ref.fingerprint, str(ref.decode("L-014/06").best), ident.explain(), str(ref.vet("Reef Pilot 4A")),
        len(cardref.check(sys.argv[1]).findings), str(ref.read("reef pilot 4A")),
    )

threads = [threading.Thread(target=work, args=(number,)) for number in range(8)]
for thread in threads: thread.start()
for thread in threads: thread.join()
assert found[0] is not None and found.count(found[0]) == 8, found
print("equal")
"""


def test_the_very_first_use_of_the_package_by_many_at_once(sample: Path) -> None:
    """In a fresh process, where what is asked for is imported first, threads that race get the same."""
    done = subprocess.run(
        [sys.executable, "-c", _FIRST_IMPORT, str(sample)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (done.returncode, done.stdout) == (0, "equal\n"), done.stderr
