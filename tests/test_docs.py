"""What the documentation shows is what happens: its code blocks are executed.

:mod:`tests.markdown` says what a block's fence means.
"""

import doctest
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.markdown import Block, blocks

ROOT = Path(__file__).parents[1]
DOCUMENTS = sorted(
    path
    for place in (ROOT, ROOT / "dataset", ROOT / "examples")
    for path in (place.glob("*.md") if place == ROOT else place.rglob("*.md"))
)
LANGUAGES = {"python", "console", "sh", "yaml", "json", "text", "toml", "csv", "markdown"}


def _name(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def _blocks(path: Path, language: str = "") -> list[Block]:
    found = blocks(path.read_text(encoding="utf-8"))
    return [block for block in found if not language or block.language == language]


@pytest.fixture
def workplace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A directory like the checkout, which examples may change, with this cardref as a command."""
    place = tmp_path / "checkout"
    for name in ("dataset", "examples", "schemas"):
        shutil.copytree(ROOT / name, place / name)
    command = tmp_path / "bin" / "cardref"
    command.parent.mkdir()
    command.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m cardref "$@"\n')
    command.chmod(0o755)
    # No matter how the tests were started, it is the cardref of this checkout that is shown.
    monkeypatch.setenv("PATH", os.pathsep.join([str(command.parent), os.environ["PATH"]]))
    monkeypatch.setenv("PYTHONPATH", str(ROOT))
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "1")
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    monkeypatch.setenv("COLUMNS", "100")
    monkeypatch.chdir(place)
    return place


@pytest.mark.parametrize("path", DOCUMENTS, ids=_name)
def test_every_block_says_what_it_is(path: Path) -> None:
    """A fence names a language that we know, and a shell block how it is executed."""
    for block in _blocks(path):
        assert block.language in LANGUAGES, f"line {block.line}: no language that tests/markdown.py knows"
        if block.language == "sh":
            assert set(block.words) & {"fresh", "by-hand"}, f"line {block.line}: sh says neither who runs it"
        if block.language == "console":
            assert block.text.startswith("$ "), f"line {block.line}: a console block starts with a command"


@pytest.mark.usefixtures("workplace")
@pytest.mark.parametrize("path", DOCUMENTS, ids=_name)
def test_python_blocks_do_what_they_show(path: Path) -> None:
    """Doctests give the output beside them, and other Python runs; the blocks of one file are one session."""
    names: dict[str, object] = {"__name__": "__main__"}
    runner = doctest.DocTestRunner(optionflags=doctest.ELLIPSIS | doctest.REPORT_NDIFF)
    parser = doctest.DocTestParser()
    for block in _blocks(path, "python"):
        if ">>>" in block.text:
            test = parser.get_doctest(block.text, names, path.name, str(path), block.line)
            runner.run(test, clear_globs=False)
            names = test.globs
        else:
            padded = "\n" * block.line + block.text
            exec(compile(padded, str(path), "exec"), names)  # noqa: S102 - the documentation is ours
    assert runner.failures == 0


@pytest.mark.usefixtures("workplace")
@pytest.mark.parametrize("path", DOCUMENTS, ids=_name)
def test_console_blocks_do_what_they_show(path: Path) -> None:
    """A command prints what stands under it; with nothing under it, it ends with exit status 0.

    Standard error counts where standard output is empty; beside an answer it is left out of documents.
    """
    for block in _blocks(path, "console"):
        # A command goes on over lines that end with a backslash.
        for step in re.split(r"^\$ ", block.text, flags=re.MULTILINE)[1:]:
            command, expected = _split(step)
            done = subprocess.run(
                ["bash", "-c", command],
                stdin=subprocess.DEVNULL,
                capture_output=True,
                text=True,
                encoding="utf-8",
                check=False,
            )
            told = done.stdout or done.stderr
            shown = f"line {block.line} of {_name(path)}: $ {command}\n{done.stderr}{done.stdout}"
            assert "Traceback" not in done.stderr, shown
            if expected:
                assert _fits(told, expected), shown
            else:
                assert done.returncode == 0, shown


def _split(step: str) -> tuple[str, str]:
    """A command, with its further lines, and the output under it."""
    lines = step.splitlines(keepends=True)
    last = next(number for number, line in enumerate(lines) if not line.endswith("\\\n"))
    return "".join(lines[: last + 1]).rstrip("\n"), "".join(lines[last + 1 :])


def _fits(shown: str, expected: str) -> bool:
    """Equal, but that ``...`` stands for any text, and alone on a line for any lines, also none.

    Spaces at the ends of lines do not count.
    """
    pattern = "".join(
        "(?:.*\n)*"
        if line.strip() == "..."
        else ".*".join(re.escape(part) for part in line.rstrip().split("...")) + " *\n"
        for line in expected.rstrip("\n").split("\n")
    )
    return bool(re.fullmatch(pattern, shown.rstrip("\n") + "\n"))


@pytest.mark.parametrize(
    ("shown", "expected", "fits"),
    [
        ("a\nb\n", "a\nb\n", True),
        ("a\nb\n\n", "a\nb", True),
        ("a\nx\ny\nb\n", "a\n...\nb\n", True),
        ("a\nb\n", "a\n...\nb\n", True),
        ("a b c\n", "a ... c\n", True),
        ("a b\nc\n", "a ... c\n", False),
        ("a b d\n", "a ... c\n", False),
        ("a\nb\n", "a\n", False),
        ("a.c\n", "abc\n", False),
        ("", "a\n", False),
    ],
)
def test_the_comparison_sees_a_difference(shown: str, expected: str, fits: bool) -> None:
    """The comparison of this file is not content with anything."""
    assert _fits(shown, expected) is fits


def test_a_block_is_found_whole() -> None:
    """A fence is closed by one at least as long, an indented block loses its indent, and its line is told."""
    text = "a\n````sh fresh\n```\nb\n````\n  ```json\n  {\n    1}\n  ```\n`x`\n"
    assert list(blocks(text)) == [
        Block("sh", ("fresh",), "```\nb\n", 2),
        Block("json", (), "{\n  1}\n", 6),
    ]


def test_a_block_without_end_is_refused() -> None:
    """A forgotten fence would swallow the blocks behind it, and nobody would execute them."""
    with pytest.raises(ValueError, match="line 1: the code block is never closed"):
        list(blocks("```python\n>>> 1\n"))


def test_a_newcomer_finds_two_commands() -> None:
    """README has the two blocks for a fresh machine, and .ci/run is what executes them."""
    fresh = [block for block in _blocks(ROOT / "README.md", "sh") if "fresh" in block.words]
    assert len(fresh) == 2
    assert "tests/markdown.py README.md fresh" in (ROOT / ".ci" / "run").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", DOCUMENTS, ids=_name)
def test_every_link_leads_somewhere(path: Path) -> None:
    """A relative link names a file that is there, and its fragment a heading of that file."""
    for target in _links(path.read_text(encoding="utf-8")):
        name, _, heading = target.partition("#")
        aim = (path.parent / name).resolve() if name else path
        assert aim.exists(), f"{_name(path)} links to {target}, and there is no such file"
        if heading:
            assert heading in _anchors(aim.read_text(encoding="utf-8")), f"{_name(path)}: no heading {target}"


def _links(text: str) -> list[str]:
    """The relative targets of ``[text](target)``, code left out: what has a scheme is not followed."""
    prose = re.sub(r"^```.*?^```", "", text, flags=re.MULTILINE | re.DOTALL)
    found: list[str] = re.findall(r"\]\(([^()\s]+)\)", re.sub(r"`[^`\n]*`", "", prose))
    return [target for target in found if not re.match(r"[a-z][a-z0-9+.-]*:", target)]


def _anchors(text: str) -> set[str]:
    """What the headings are called in links: small letters, spaces as hyphens, other signs gone."""
    headings = re.findall(r"^#+ (.+)$", text, flags=re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).strip().replace(" ", "-") for heading in headings}


def test_links_are_found() -> None:
    """Links in code are none, links elsewhere are not followed."""
    text = "[a](b.md#c) `[x](y)` [z](https://example.org)\n```text\n[d](e)\n```\n"
    assert _links(text) == ["b.md#c"]
    assert _anchors("# How to `add`\n") == {"how-to-add"}


def test_every_document_is_found() -> None:
    """The two documents of the root are among those that are executed."""
    assert {"README.md", "DEVELOPERS.md"} <= {_name(path) for path in DOCUMENTS}
