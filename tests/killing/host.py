r"""A process that does nothing but start others and kill them: at every event of a command's writing.

``python -m tests.killing.host NAME... [MOST]`` runs a command of :data:`tests.killing.works.WORKS` (``all``
for all of them) once undisturbed, counts what it asks of the file system (opening for writing, renaming,
removing, flushing, locking ...), then runs it again from the same start for each of these (or for MOST of
them, evenly), in a process of its own that is killed (SIGKILL) right before it, and looks at every file. Then
the command is run again, undisturbed, as somebody would. After that the same with a system that refuses and
with Ctrl-C in place of the kill, and with kills at random times, where CARDREF_KILLS says how many. It prints
what it did as JSON.

The events are those of PEP 578 (audit hooks), and ``os.fsync``, which has none.
"""

import contextlib
import errno
import json
import os
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from attrs import asdict, define, field

from cardref.checks.runner import check
from cardref.cli.dispatch import main
from cardref.storage.unfinished import UNFINISHED, is_ours
from tests.killing.works import WORKS, Work

__all__ = ["Told", "watch"]

Tree = dict[str, bytes]

_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC
_EVENTS = {
    "os.rename": 2, "os.remove": 1, "os.mkdir": 1, "os.rmdir": 1, "os.link": 2, "os.symlink": 2,
    "os.truncate": 1, "os.chmod": 1, "os.chown": 1, "fcntl.flock": 0, "sqlite3.connect": 1,
}  # fmt: skip


@define
class Told:
    """What was done to a command, and what was wrong (nothing, one hopes)."""

    events: int = 0
    kills: int = 0
    kept: int = 0
    cut: int = 0
    done: int = 0
    failures: int = 0
    interrupts: int = 0
    said: dict[str, int] = field(factory=dict)
    wrong: list[str] = field(factory=list)


def tree(folder: Path) -> Tree:
    """Every file below a folder, hidden ones too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file()
    }


def shown(files: Tree) -> Tree:
    """The files that somebody put there: not what the writing leaves when it is killed."""
    return {path: data for path, data in files.items() if not _hidden(path)}


def _hidden(path: str) -> bool:
    name = path.rpartition("/")[2]
    return name == UNFINISHED or is_ours(name)


def watch(folder: Path, react: Callable[[int], None]) -> None:
    """Call ``react`` with 1, 2, 3 ... right before each event in this folder, as long as we live."""
    count = 0
    top = os.fspath(folder) + os.sep

    def mine(what: Any) -> bool:
        if isinstance(what, int):
            return True  # an open file, or a folder that is locked
        return (os.path.abspath(os.fsdecode(what)) + os.sep).startswith(top)  # noqa: PTH100 - cheaper

    def one() -> None:
        nonlocal count
        count += 1
        react(count)

    def hook(event: str, args: tuple[Any, ...]) -> None:
        if event == "open":
            path, _, flags = args
            if isinstance(path, (str, bytes)) and flags & _WRITING and mine(path):
                one()
        elif event in _EVENTS and all(map(mine, args[: _EVENTS[event]])) and not relative(event, args):
            one()

    def relative(event: str, args: tuple[Any, ...]) -> bool:
        """Whether names are relative to an open folder: temporary ones are removed so, and never ours."""
        return event in ("os.remove", "os.rmdir", "os.mkdir") and args[-1] != -1

    real = os.fsync

    def fsync(handle: Any) -> None:
        one()
        real(handle)

    os.fsync = fsync  # type: ignore[assignment] # it names its argument otherwise
    sys.addaudithook(hook)


def child(folder: Path, work: Callable[[], int], log: Path) -> int:
    """Run ``work`` in a process of its own, in ``folder``; its wait status."""
    sys.stdout.flush()
    sys.stderr.flush()
    pid = os.fork()
    if pid:
        return os.waitpid(pid, 0)[1]
    status = 70
    try:
        tempfile.tempdir = os.fspath(log.parent)  # what a killed command leaves there goes with the scene
        os.chdir(folder)
        handle = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
        os.dup2(handle, 1)
        os.dup2(handle, 2)
        status = work()
        sys.stdout.flush()
        sys.stderr.flush()
    finally:
        os._exit(status)


@contextlib.contextmanager
def _silence() -> Iterator[None]:
    with (
        Path(os.devnull).open("w", encoding="utf-8") as nowhere,
        contextlib.redirect_stdout(nowhere),
        contextlib.redirect_stderr(nowhere),
    ):
        yield


class Scene:
    """One command, its start and its end."""

    def __init__(self, work: Work, folder: Path) -> None:
        self.work = work
        self.base = folder / "base"
        self.at = folder / "at"
        self.log = folder / "log"
        self.base.mkdir()
        with contextlib.chdir(self.base), _silence():
            work.prepare()
        self.old = shown(tree(self.base))
        self.afresh()
        # Once in this process, so that its children need not import and compile everything again.
        with contextlib.chdir(self.at), _silence():
            main(list(work.words))
        self.status, self.new = self.undisturbed(afresh=True)
        self.again, self.twice = self.undisturbed(afresh=False)

    def afresh(self) -> None:
        """The start again."""
        shutil.rmtree(self.at, ignore_errors=True)
        shutil.copytree(self.base, self.at)

    def undisturbed(self, *, afresh: bool) -> tuple[int, Tree]:
        """The exit status of the command, and what the files are then."""
        if afresh:
            self.afresh()
        status = child(self.at, lambda: main(list(self.work.words)), self.log)
        return os.waitstatus_to_exitcode(status), tree(self.at)

    def disturbed(self, react: Callable[[int], None], before: Callable[[], None] | None = None) -> int:
        """The wait status of the command, ``react`` called before each event."""
        self.afresh()

        def work() -> int:
            if before is not None:
                before()
            watch(self.at, react)
            return main(list(self.work.words))

        return child(self.at, work, self.log)

    def said(self) -> str:
        """What the last command printed."""
        return self.log.read_text(encoding="utf-8", errors="replace")

    def events(self) -> int:
        """How many events the command has, undisturbed."""
        tally = self.log.with_name("tally")

        def react(number: int) -> None:
            # Not one of the events: it lies outside of the folder.
            tally.write_text(str(number))

        self.disturbed(react)
        return int(tally.read_text())

    def faults(self, files: Tree) -> Iterator[str]:
        """What is wrong with the files behind a command that did not come to its end."""
        for path, data in shown(files).items():
            if data not in (self.old.get(path), self.new.get(path)):
                yield f"{path} is neither the old nor the new one"
        for path in self.old.keys() & self.new.keys():
            if path not in files:
                yield f"{path} is gone"
        noted = any(path.rpartition("/")[2] == UNFINISHED for path in files)
        mixed = shown(files) not in (self.old, self.new)
        if mixed and self.work.together and not noted:
            yield "some files are new, some old, and nothing tells it"
        if noted and (self.at / "dataset" / UNFINISHED).exists():
            told = [finding.rule for finding in check(self.at / "dataset", select=["reading"]).findings]
            if "unfinished-change" not in told:
                yield "a check does not tell that a change was cut off"

    def faults_later(self, files: Tree) -> Iterator[str]:
        """What is wrong when the command is run once more; ``files`` were there before."""
        noted = any(path.rpartition("/")[2] == UNFINISHED for path in files)
        status, now = self.undisturbed(afresh=False)
        # What is finished first, or was done, is done a second time.
        later = noted or shown(files) == self.new
        expected = (self.again, self.twice) if later else (self.status, self.new)
        if not self.work.together and shown(files) not in (self.old, self.new):
            status, now = self.status, shown(now)  # what is fixed already is not fixed again
            expected = (self.status, self.new)
        if (status, now) != expected:
            names = [
                path for path in now.keys() | expected[1].keys() if now.get(path) != expected[1].get(path)
            ]
            yield f"run again: exit {status}, not {expected[0]}; differing: {names[:4]}; {self.said()[-400:]}"


def _some(count: int, most: int) -> list[int]:
    """Numbers from 1 to ``count``, at most so many, evenly."""
    few = min(count, most)
    return sorted({1 + (count - 1) * number // max(1, few - 1) for number in range(few)})


def kill_at_each(scene: Scene, told: Told, most: int) -> None:
    """Kill before every event."""
    told.events = scene.events()
    for at in _some(told.events, most):

        def react(number: int, at: int = at) -> None:
            if number == at:
                os.kill(os.getpid(), signal.SIGKILL)

        status = scene.disturbed(react)
        if os.waitstatus_to_exitcode(status) != -signal.SIGKILL:
            told.wrong.append(f"event {at}: not killed, but ended with {status}")
        _look(scene, told, f"killed before event {at}")


def kill_within(scene: Scene, told: Told, sizes: tuple[int, ...] = (0, 1, 100, 300)) -> None:
    """Kill in the middle of writing: the system itself, when a file would get larger than so many bytes."""
    for size in sizes:

        def before(size: int = size) -> None:
            os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
            os.dup2(1, 2)
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL)
            resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
            resource.setrlimit(resource.RLIMIT_FSIZE, (size, size))

        status = scene.disturbed(lambda _: None, before)
        if os.WIFSIGNALED(status):
            _look(scene, told, f"killed when a file was {size} bytes long")


def kill_at_random(scene: Scene, told: Told, count: int, seed: int) -> None:
    """Kill at any time, in the middle of whatever the command is doing."""
    began = time.monotonic()
    scene.undisturbed(afresh=True)
    takes = time.monotonic() - began
    rng = random.Random(seed)
    for _ in range(count):
        delay = rng.uniform(1e-6, 1.1 * takes)

        def before(delay: float = delay) -> None:
            signal.signal(signal.SIGALRM, signal.SIG_DFL)  # which ends us as suddenly as SIGKILL
            signal.setitimer(signal.ITIMER_REAL, delay)

        if os.WIFSIGNALED(scene.disturbed(lambda _: None, before)):
            _look(scene, told, f"killed after {delay:.6f} s")


def _look(scene: Scene, told: Told, when: str) -> None:
    told.kills += 1
    files = tree(scene.at)
    told.kept += shown(files) == scene.old
    told.done += shown(files) == scene.new
    told.cut += shown(files) not in (scene.old, scene.new)
    told.wrong += [f"{when}: {fault}" for fault in (*scene.faults(files), *scene.faults_later(files))]


def refuse_at_each(scene: Scene, told: Told, most: int) -> None:
    """Let the system refuse an event, once or for ever after: every file is as it was, or it is told."""
    for at in _some(told.events, most):
        for number, lasting in ((errno.ENOSPC, True), (errno.EIO, False)):

            def react(count: int, at: int = at, number: int = number, lasting: bool = lasting) -> None:
                if count == at or (lasting and count > at):
                    raise OSError(number, os.strerror(number))

            status = os.waitstatus_to_exitcode(scene.disturbed(react))
            told.failures += 1
            files, said = tree(scene.at), scene.said()
            half = "some are new and some old" in said
            if status == 2 != scene.status:
                told.said["half" if half else "whole"] = told.said.get("half" if half else "whole", 0) + 1
            when = f"{errno.errorcode[number]} at event {at}{' and ever after' if lasting else ''}"
            wrong = list(scene.faults(files))
            if status == 2 != scene.status and ("cardref: " not in said or "Traceback" in said):
                wrong.append("no clear word")
            wrong += _whole(scene, status, files, half=half)
            if half and not lasting:
                wrong.append("it could have been put back")
            litter = [path for path in files if _hidden(path)]
            if litter and not lasting and (status == 2 or len(litter) > 1 or UNFINISHED not in litter[0]):
                wrong.append(f"left over: {litter}")
            wrong += scene.faults_later(files)
            told.wrong += [f"{when}: exit {status}: {fault}: {said[-300:]}" for fault in wrong]


def _whole(scene: Scene, status: int, files: Tree, *, half: bool) -> Iterator[str]:
    """What does not agree with the exit status."""
    if status not in (scene.status, 2):
        yield "an exit status of its own"
    elif status == 2 != scene.status and not half and shown(files) != scene.old:
        yield "it is not told that files changed"
    elif status != 2 and shown(files) != scene.new:
        yield "not all was written"


def interrupt_at_each(scene: Scene, told: Told, most: int) -> None:
    """Let somebody press Ctrl-C at an event: all is as it was, or all was done, and nothing is left over."""
    for at in _some(told.events, most):

        def react(count: int, at: int = at) -> None:
            if count == at:
                raise KeyboardInterrupt

        status = os.waitstatus_to_exitcode(scene.disturbed(react))
        told.interrupts += 1
        files = tree(scene.at)
        wrong = list(scene.faults(files))
        if status != 130 or shown(files) not in (scene.old, scene.new) or any(map(_hidden, files)):
            wrong.append(f"left {[path for path in files if _hidden(path)]}")
        wrong += scene.faults_later(files)
        told.wrong += [f"interrupted at event {at}: exit {status}: {fault}" for fault in wrong]


def run(name: str, most: int = 10_000) -> Told:
    """All of it, for the command of that name."""
    told = Told()
    os.umask(0o022)
    with tempfile.TemporaryDirectory() as made:
        scene = Scene(WORKS[name], Path(made).resolve())
        both = scene.old.keys() | scene.new.keys()
        changed = sorted(path for path in both if scene.old.get(path) != scene.new.get(path))
        if len(changed) < scene.work.files:
            told.wrong.append(f"only {len(changed)} files changed, not {scene.work.files}: {changed}")
        kill_at_each(scene, told, most)
        kill_within(scene, told, (0, 1, 100, 300) if most > told.events else (100,))
        if scene.work.whole:
            refuse_at_each(scene, told, most // 2 or 1)
            interrupt_at_each(scene, told, most // 2 or 1)
        kill_at_random(scene, told, int(os.environ.get("CARDREF_KILLS", "0")), seed=most)
    return told


def main_of_host(words: list[str]) -> int:
    """What is typed: names, and how many points at most."""
    most = int(words.pop()) if words[-1].isdecimal() else 10_000
    told = {name: asdict(run(name, most)) for name in (WORKS if words == ["all"] else words)}
    print(json.dumps(told, indent=1))
    return 1 if any(one["wrong"] for one in told.values()) else 0


if __name__ == "__main__":
    sys.exit(main_of_host(sys.argv[1:]))
