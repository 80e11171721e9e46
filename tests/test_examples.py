"""Every example runs from any directory, ends with exit status 0, and says what it promises to say."""

import csv
import io
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from importlib.util import find_spec
from pathlib import Path

import pytest
import yaml

import cardref
from cardref.cli import main

ROOT = Path(__file__).parents[1]
EXAMPLES = ROOT / "examples"
SCRIPTS = sorted(EXAMPLES.glob("*.py"))


def run(name: str, place: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """What a script says when it is started in ``place``, with this checkout's cardref."""
    environment = os.environ | {"PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", "PYTHONUTF8": "1"}
    return subprocess.run(
        [sys.executable, str(EXAMPLES / name), *words],
        cwd=place,
        env=environment | {"TMPDIR": str(place)},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.stem)
def test_it_ends_well_from_any_directory(path: Path, tmp_path: Path) -> None:
    """Exit status 0, no traceback, and nothing but its own output file is left behind."""
    done = run(path.name, tmp_path)
    assert done.returncode == 0, done.stderr
    assert "Traceback" not in done.stderr
    assert {left.suffix for left in tmp_path.iterdir()} <= {".svg"}


def test_a_column_is_decoded_row_by_row(tmp_path: Path) -> None:
    """Rows come out as they went in, with what was read, what was changed, and what is in doubt."""
    done = run("decode_column.py", tmp_path)
    rows = list(csv.DictReader(io.StringIO(done.stdout)))
    given = list(csv.DictReader(io.StringIO((EXAMPLES / "codes.csv").read_text(encoding="utf-8"))))
    assert [row["Code as I read it"] for row in rows] == [row["Code as I read it"] for row in given]
    assert {row["read as"] for row in rows[:3]} == {"7K 2046/031"}
    assert rows[2]["changes or advice"] == "O read as 0 at column 5; O read as 0 at column 9"
    assert [row["known"] for row in rows] == ["yes"] * 4 + ["unknown"] * 2 + ["", "", "yes"]
    assert rows[4]["consistent"] == "no"
    assert "perhaps" in rows[4]["changes or advice"]
    assert "fits no code scheme" in rows[7]["changes or advice"]
    assert "5 of 9 rows have a recorded code" in done.stderr


def test_a_column_that_is_not_there_is_told(tmp_path: Path) -> None:
    """Status 2 and the columns that there are."""
    done = run("decode_column.py", tmp_path, str(EXAMPLES / "codes.csv"), "Price")
    assert done.returncode == 2
    assert "has no column 'Price'" in done.stderr


def test_the_loop_finds_the_printing_in_spite_of_a_misread(tmp_path: Path) -> None:
    """The right back is first, and what spoke against it is told."""
    said = run("identify_loop.py", tmp_path).stdout
    assert "Identified as far as recorded: quay-marl 25B" in said
    assert "Against quay-marl 25B: Lighthouse beam left, recorded right" in said
    assert "Nothing here authenticates a card" in said


def test_listings_come_with_the_gravest_first(tmp_path: Path) -> None:
    """Contradicted before open before recorded, each with why; cautions at the end."""
    said = run("vet_listings.py", tmp_path).stdout
    verdicts = [line.split()[0] for line in said.splitlines() if line.startswith(("no ", "unknown ", "yes "))]
    assert verdicts == ["no", "unknown", "unknown", "yes", "yes"]
    assert "against it: its figure segment means Anchor Smith, not Lamp Diver" in said
    assert "Never open, press or heat a bubble" in said


def test_the_plot_is_an_svg_that_stands_alone(tmp_path: Path) -> None:
    """Well-formed, a panel for every maker, a mark for every dated back, nothing fetched, the same twice."""
    for name in ("one.svg", "two.svg"):
        assert run("plot_counts.py", tmp_path, name).returncode == 0
    text = (tmp_path / "one.svg").read_text(encoding="utf-8")
    assert text == (tmp_path / "two.svg").read_text(encoding="utf-8")
    tree = ET.fromstring(text)  # noqa: S314 - our own picture
    space = "{http://www.w3.org/2000/svg}"
    shown = [element.text for element in tree.iter(f"{space}text")]
    ref = cardref.load()
    makers = {back.maker for back in ref.backs.values()}
    names = {ref.makers[f"maker/{maker}"] for maker in makers}
    assert {maker.latin or maker.name for maker in names} <= set(shown)
    marks = [e for e in tree.iter() if e.get("class", "").split(" ")[0] in ("back", "dot")]
    dates = [back.released for back in ref.backs.values() if back.released is not None]
    assert len(marks) == sum(date.earliest is not None and date.latest is not None for date in dates)
    assert f"Invented demo data. Reference {ref.version}, {ref.fingerprint}" in shown
    assert text.count("http") == 1  # the name of the standard


def test_bulk_decoding_counts_every_row(tmp_path: Path) -> None:
    """Two processes count what one does, over several blocks."""
    if find_spec("dask") is None:
        assert "pip install" in run("bulk_decode.py", tmp_path).stdout
        return
    one, two = (run("bulk_decode.py", tmp_path, "--rows", "15000", "--processes", n) for n in "12")
    assert one.stdout == two.stdout
    assert sum(int(line.split()[0].replace(",", "")) for line in one.stdout.splitlines()) == 15000
    assert "15,000  rows in" in two.stderr


def test_without_dask_the_example_says_so(tmp_path: Path) -> None:
    """Exit status 0, and how to get it."""
    (tmp_path / "dask.py").write_text("raise ImportError\n")
    script = (
        f"import sys; sys.path.insert(0, {str(tmp_path)!r}); import runpy; sys.argv = ['bulk_decode.py']; "
    )
    script += f"runpy.run_path({str(EXAMPLES / 'bulk_decode.py')!r}, run_name='__main__')"
    done = subprocess.run(
        [sys.executable, "-c", script],
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout == "this example needs Dask: pip install 'cardref[examples]'\n"


def test_the_workflow_runs_commands_that_exist(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is YAML, and each command of ours in it ends well on the bundled dataset."""
    workflow = yaml.safe_load((EXAMPLES / "dataset_workflow.yml").read_text(encoding="utf-8"))
    steps = [step["run"] for job in workflow["jobs"].values() for step in job["steps"] if "run" in step]
    commands = [step for step in steps if step.startswith("cardref ")]
    assert len(commands) >= 6
    monkeypatch.chdir(tmp_path)
    (tmp_path / "dataset").symlink_to(ROOT / "dataset")
    for command in commands:
        words = command.partition(" >")[0].replace('"$BASE"', "dataset").split()[1:]
        assert main(words) == 0, command
    assert {path.name for path in (tmp_path / "published").iterdir()} == {"cardref.sqlite", "package"}


def test_the_index_names_every_example() -> None:
    """Nobody finds what README.md leaves out."""
    index = (EXAMPLES / "README.md").read_text(encoding="utf-8")
    for path in EXAMPLES.iterdir():
        if path.name != "README.md" and not path.name.startswith((".", "_")):
            assert f"]({path.name}" in index, path.name
