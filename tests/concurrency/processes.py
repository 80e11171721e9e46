"""A process with no threads but its own, which starts others in every way there is, and says what came of it.

``python -m tests.concurrency.processes DATASET`` prints a word for each way: ``equal``, or what was not.
"""

import json
import multiprocessing
import os
import pickle
import signal
import sys
import threading
from collections.abc import Callable
from multiprocessing.connection import Connection
from typing import Any

import cardref
from cardref.index import Index
from tests.concurrency.questions import QUESTIONS, ask

_PATIENCE = 120
"""Seconds after which a process that waits for something that never comes is ended: that is a failure."""


def answers(ref: cardref.Reference) -> dict[str, Any]:
    """The answers to all questions."""
    return {name: ask(ref, name) for name in QUESTIONS}


def answer_to(pipe: Connection, ref: cardref.Reference) -> None:
    """For the other process: answer by the pipe."""
    signal.alarm(_PATIENCE)
    pipe.send(answers(ref))
    pipe.close()


def started(method: str, ref: cardref.Reference, expected: dict[str, Any]) -> str:
    """What a process that is started so says of a reference that it is given."""
    context: Any = multiprocessing.get_context(method)
    here, there = context.Pipe(duplex=False)
    process = context.Process(target=answer_to, args=(there, ref))
    process.start()
    there.close()
    try:
        found = here.recv()
    except EOFError:
        found = "nothing"
    process.join()
    return "equal" if found == expected and process.exitcode == 0 else f"{process.exitcode}: {found}"


def forked(work: Callable[[], bool]) -> str:
    """Whether ``work`` is true in a process forked off this one as it stands."""
    pid = os.fork()
    if pid == 0:
        status = 3
        try:
            signal.alarm(_PATIENCE)
            status = 0 if work() else 1
        finally:
            os._exit(status)
    ended = os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])
    return "equal" if ended == 0 else f"ended with {ended}"


def from_busy_threads(path: str, expected: dict[str, Any]) -> str:
    """Forked off a process whose threads are asking the same reference all the time."""
    ref = cardref.load(path)
    enough = threading.Event()

    def keep_asking(number: int) -> None:
        names = list(QUESTIONS)[number:]
        while not enough.is_set():
            for name in names:
                ask(ref, name)

    kept = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    threads = [threading.Thread(target=keep_asking, args=(number,)) for number in (0, 5, 9)]
    for thread in threads:
        thread.start()
    try:
        told = {forked(lambda: answers(ref) == expected) for _ in range(4)}
    finally:
        enough.set()
        for thread in threads:
            thread.join()
        sys.setswitchinterval(kept)
    return " ".join(sorted(told))


def from_within_first_use(path: str, expected: dict[str, Any]) -> str:
    """Forked off while a thread is in the middle of working out what the new process needs too."""
    ref = cardref.load(path)
    within, enough = threading.Event(), threading.Event()
    real = Index._name_pairs  # stands for any part that takes a while

    def slow(index: Index) -> Any:
        if threading.current_thread() is not threading.main_thread():
            within.set()
            enough.wait()
        return real(index)

    Index._name_pairs = slow  # type: ignore[assignment, method-assign] # it is put back
    thread = threading.Thread(target=lambda: ref.index.names)
    thread.start()
    within.wait()
    try:
        return forked(lambda: answers(ref) == expected)
    finally:
        enough.set()
        thread.join()
        Index._name_pairs = real  # type: ignore[method-assign] # as it was


def main(path: str) -> dict[str, str]:
    """A word for each way."""
    ref = cardref.load(path)
    expected = answers(ref)
    told = {method: started(method, ref, expected) for method in ("fork", "spawn", "forkserver")}
    told["busy"] = from_busy_threads(path, expected)
    told["within first use"] = from_within_first_use(path, expected)
    again = pickle.loads(pickle.dumps(expected))  # noqa: S301 - our own bytes
    told["answers"] = "equal" if again == expected else "not equal"
    return told


if __name__ == "__main__":
    print(json.dumps(main(sys.argv[1])))
