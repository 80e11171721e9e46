"""What lies in a dataset's folder and is no ordinary file: nothing is followed, waited for or trusted."""

import contextlib
import errno
import json
import os
import socket
import stat
from collections.abc import Iterator
from pathlib import Path
from threading import Event, Thread
from typing import Any
from urllib.parse import unquote

import pytest

import cardref
from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.checks.runner import check
from cardref.checks.sample import SAMPLE, write_sample
from cardref.finding import Finding, Severity
from tests.hostile.kit import TODAY, raw_signs, run


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    """The sample dataset, in a folder beside which there is room."""
    return write_sample(tmp_path / "dataset")


def _found(folder: Path) -> list[tuple[str, str]]:
    return [(finding.place.path, finding.rule) for finding in check(folder, today=TODAY).findings]


# --- no ordinary files -------------------------------------------------------------------------------------


def test_a_pipe_is_not_waited_for(sample: Path) -> None:
    """A pipe in a file's place is told; opening it for reading would wait for ever."""
    (sample / "glossary.yaml").unlink()
    os.mkfifo(sample / "glossary.yaml")
    assert _found(sample) == [("glossary.yaml", "unreadable-file")]
    assert b"glossary" not in run(["fmt", "--check", str(sample)]).out
    assert run(["fmt", str(sample / "glossary.yaml")]).status == 2
    assert run(["list", "terms", "--dataset", str(sample)]).status == 2


def test_a_socket_is_told(sample: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A socket in a file's place is told."""
    (sample / "glossary.yaml").unlink()
    monkeypatch.chdir(sample)  # a socket's path must be short
    with socket.socket(socket.AF_UNIX) as server:
        server.bind("glossary.yaml")
        assert _found(sample) == [("glossary.yaml", "unreadable-file")]


def test_a_device_is_not_read(sample: Path) -> None:
    """A device that never ends is told and not read."""
    (sample / "glossary.yaml").unlink()
    try:
        os.mknod(sample / "glossary.yaml", 0o666 | stat.S_IFCHR, os.makedev(1, 5))
    except PermissionError:
        pytest.skip("only root may make a device")
    assert _found(sample) == [("glossary.yaml", "unreadable-file")]


def test_a_folder_in_a_files_place(sample: Path) -> None:
    """A folder named like a file holds nothing that is read."""
    (sample / "glossary.yaml").unlink()
    (sample / "glossary.yaml").mkdir()
    (sample / "glossary.yaml" / "terms.yaml").write_text("terms: []\n")
    assert _found(sample) == [("glossary.yaml/terms.yaml", "unknown-file")]
    (sample / "dataset.yaml").unlink()
    (sample / "dataset.yaml").mkdir()
    assert ("dataset.yaml", "missing-file") in _found(sample)
    with pytest.raises(cardref.DatasetError):
        cardref.load(sample)


# --- links ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "target",
    ["/etc/passwd", "../outside.yaml", "/dev/zero", "/proc/self/environ", "glossary.yaml", "nowhere"],
)
def test_no_link_is_followed(sample: Path, target: str) -> None:
    """Wherever a link leads, to a secret, a device, itself or nothing, it is told and not read."""
    (sample.parent / "outside.yaml").write_text("terms: [secret-of-another-folder]\n")
    (sample / "glossary.yaml").unlink()
    (sample / "glossary.yaml").symlink_to(target)
    assert _found(sample) == [("glossary.yaml", "symbolic-link")]
    for words in (["check", str(sample)], ["fix", "--diff", str(sample)], ["fmt", "--diff", str(sample)]):
        ran = run(words)
        assert b"root:" not in ran.out + ran.err
        assert b"secret" not in ran.out + ran.err


def test_links_in_a_circle_end(sample: Path) -> None:
    """Links to the folder above, to each other, and to the dataset itself: one finding each, and an end."""
    (sample / "lines/again").symlink_to("..")
    (sample / "lines/one").symlink_to("two")
    (sample / "lines/two").symlink_to("one")
    (sample / "lines/whole").symlink_to(sample)
    links = ["lines/again", "lines/one", "lines/two", "lines/whole"]
    assert _found(sample) == [(link, "symbolic-link") for link in links]


def test_a_folder_that_leads_out(sample: Path) -> None:
    """A link to a folder elsewhere is told once, and no file in it is read, laid out or fixed."""
    outside = write_sample(sample.parent / "outside")
    (outside / "makers.yaml").write_text("makers:   []\n")
    for path in (sample / "lines").rglob("*.yaml"):
        path.unlink()
    (sample / "lines/spindle").symlink_to(outside, target_is_directory=True)
    assert ("lines/spindle", "symbolic-link") in _found(sample)
    run(["fmt", str(sample)])
    run(["fix", "--unsafe", str(sample)])
    assert (outside / "makers.yaml").read_text() == "makers:   []\n"


def test_nothing_is_written_through_a_link(sample: Path) -> None:
    """Where retired.yaml is a link to a file elsewhere, retire writes nothing there."""
    outside = sample.parent / "outside.yaml"
    outside.write_text("retired: []\n")
    (sample / "retired.yaml").unlink()
    (sample / "retired.yaml").symlink_to(outside)
    ran = run(["retire", "glossy-four", "--reason", "x", "--dataset", str(sample)])
    assert ran.status == 2
    assert outside.read_text() == "retired: []\n"
    assert run(["fmt", str(sample / "retired.yaml")]).status == 2


def test_the_dataset_itself_may_be_reached_by_a_link(sample: Path) -> None:
    """A link that the user names is no fault of the dataset."""
    link = sample.parent / "link"
    link.symlink_to(sample, target_is_directory=True)
    assert _found(link) == []


def test_a_path_longer_than_the_system_takes(sample: Path) -> None:
    """Folders nested until no path leads to them any more are told, and walking them ends."""
    handle = os.open(sample, os.O_RDONLY)
    for _ in range(30):
        os.mkdir("d" * 200, dir_fd=handle)
        inner = os.open("d" * 200, os.O_RDONLY, dir_fd=handle)
        os.close(handle)
        handle = inner
    os.close(handle)
    (finding,) = check(sample, today=TODAY).findings
    assert finding.rule == "unreadable-file"


# --- what cannot be read, and what changes -----------------------------------------------------------------


@pytest.mark.parametrize("number", [errno.EACCES, errno.EIO, errno.ELOOP, errno.EMFILE, errno.ENOENT])
def test_a_file_that_cannot_be_opened(sample: Path, monkeypatch: pytest.MonkeyPatch, number: int) -> None:
    """Whatever the system says when a file is opened, it is told, and the other files are checked."""
    real = os.open

    def refuse(path: Any, *arguments: Any, **named: Any) -> int:
        if str(path).endswith("glossary.yaml"):
            raise OSError(number, os.strerror(number), str(path))
        return real(path, *arguments, **named)

    monkeypatch.setattr(os, "open", refuse)
    report = check(sample, today=TODAY)
    assert [(f.place.path, f.rule) for f in report.findings] == [("glossary.yaml", "unreadable-file")]
    assert os.strerror(number) in report.findings[0].message
    assert report.files == len(SAMPLE) - 1
    assert run(["list", "terms", "--dataset", str(sample)]).status == 2


def test_a_folder_that_cannot_be_listed(sample: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder that may not be listed is told; its records count as unread, not as missing."""
    real = os.scandir

    def refuse(path: Any = ".") -> Any:
        if str(path).endswith("backs"):
            raise PermissionError(errno.EACCES, "Permission denied", str(path))
        return real(path)

    monkeypatch.setattr(os, "scandir", refuse)
    assert ("lines/lanternfish/backs", "unreadable-file") in _found(sample)


def _late(sample: Path, change: Any) -> list[Finding]:
    """What is found where the disk changes after the files were read and before places are looked up."""

    def hits(corpus: Corpus) -> Iterator[Hit]:
        change(sample / "glossary.yaml")
        for entry in corpus.entries("term"):
            yield Hit(entry, "seen", ("word",))

    example = Example("glossary.yaml", "")
    rule = Rule(
        id="late", family="own", severity=Severity.ERROR, summary="Own.", rationale="Own.", check=hits,
        good=example, bad=example,
    )  # fmt: skip
    return list(check(sample, today=TODAY, rules=[rule], select=["late"]).findings)


def test_no_place_is_told_in_a_file_that_changed_meanwhile(sample: Path) -> None:
    """A file rewritten, emptied, removed or replaced after it was read: a finding without a line."""
    before = _late(sample, Path.exists)
    assert before
    assert all(finding.place.line for finding in before)

    def replace(path: Path) -> None:
        path.unlink()
        os.mkfifo(path)

    changes = [
        lambda path: path.write_text("# one line more\n" + SAMPLE["glossary.yaml"]),
        lambda path: path.write_bytes(b""),
        lambda path: path.write_bytes(b"\xff\0"),
        lambda path: path.unlink(),
        replace,
    ]
    for change in changes:
        found = _late(sample, change)
        assert [finding.message for finding in found] == [finding.message for finding in before]
        assert {finding.place.line for finding in found} == {0}
        (sample / "glossary.yaml").unlink(missing_ok=True)
        (sample / "glossary.yaml").write_text(SAMPLE["glossary.yaml"])


def test_a_file_that_is_being_written(sample: Path) -> None:
    """While another process truncates and writes a file again and again, each check gives a verdict."""
    path, stop = sample / "glossary.yaml", Event()

    def write() -> None:
        while not stop.is_set():
            path.write_text(SAMPLE["glossary.yaml"])
            path.write_text("terms:\n  - {id: back, wrod: a}\n" * 50)
            path.unlink()

    writer = Thread(target=write)
    writer.start()
    try:
        for _ in range(15):
            for finding in check(sample, today=TODAY).findings:
                assert finding.place.path == "glossary.yaml"
            assert run(["fmt", "--check", str(sample)]).status in (0, 1, 2)
    finally:
        stop.set()
        writer.join()


# --- names ------------------------------------------------------------------------------------------------

NAMES = [
    b"a\nb.yaml",
    b"a\rb.yaml",
    b"\x1b[31mred.yaml",
    b"\x1b]0;title\x07.yaml",
    b"::error::x.yaml",
    b"##[error]x.yaml",
    b"\xff\xfe.yaml",
    b"\xed\xa0\x80.yaml",
    "a\u202eb.yaml".encode(),
    b"a%0Ab.yaml",
    b"a b,c:d=e.yaml",
    b"<script>.yaml",
    b"';DROP TABLE back;--.yaml",
    b"=1+1.yaml",
    b"-x.yaml",
    b"--format.yaml",
    b"\\..\\..\\x.yaml",
    b"x" * 250 + b".yaml",
]


def test_odd_names_are_told_and_harmless(sample: Path) -> None:
    """Files and folders with names made to mislead: one finding each, and nothing is raw in any format."""
    for name in NAMES:
        (sample / os.fsdecode(name)).write_text("terms: []\n")
        folder = sample / "lines" / os.fsdecode(name.removesuffix(b".yaml"))
        with contextlib.suppress(FileExistsError):
            folder.mkdir()
        (folder / "line.yaml").write_text("id: x\n")
    found = check(sample, today=TODAY).findings
    assert [finding.rule for finding in found] == ["unknown-file"] * (2 * len(NAMES))
    for form in ("text", "json", "sarif", "annotations"):
        ran = run(["check", str(sample), "--format", form])
        assert ran.status == 1
        assert raw_signs(ran.out + ran.err) == []
        for line in ran.out.decode().split("\n"):
            assert form == "annotations" or not line.lstrip().startswith(("::", "##[")), line
    told = json.loads(run(["check", str(sample), "--format", "json"]).out)
    assert len(told["findings"]) == len(found)
    lines = run(["check", str(sample), "--format", "annotations"]).out.decode().split("\n")
    assert len(lines) == len(found) + 2  # the summary, and the end of the last line
    sarif = json.loads(run(["check", str(sample), "--format", "sarif"]).out)
    uris = [
        result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
        for result in sarif["runs"][0]["results"]
    ]
    assert all(uri.isascii() and uri.isprintable() and " " not in uri for uri in uris)
    readable = {name.decode() for name in NAMES if _is_text(name)}
    assert readable <= {unquote(uri).rpartition("/")[2] for uri in uris}


def _is_text(name: bytes) -> bool:
    with contextlib.suppress(UnicodeDecodeError):
        return bool(name.decode())
    return False


def test_a_dataset_in_a_folder_with_an_odd_name(tmp_path: Path) -> None:
    """The path of the dataset itself may be anything: verbs that read end well and write it visibly."""
    for name in (b"a\nb", b"\x1b[31m", b"\xff", b"::error::", "a\u202eb".encode(), b"-rf"):
        folder = write_sample(tmp_path / os.fsdecode(name) / "dataset")
        for line in (
            "check --format json", "check --format sarif", "check --format annotations", "check",
            "list backs", "list backs --format json", "list backs --format csv", "show pell-orrin",
            "decode 7A", "compare {}", "fmt --check", "fix --diff",
        ):  # fmt: skip
            verb, *rest = [word.replace("{}", str(folder)) for word in line.split()]
            where = (
                [str(folder)] if verb in ("check", "fmt", "fix", "compare") else ["--dataset", str(folder)]
            )
            ran = run([verb, *rest, *where])
            assert ran.status in (0, 1), (name, line, ran)
            assert raw_signs(ran.out + ran.err) == []
            assert b"\n::" not in ran.out + ran.err or "annotations" in line
