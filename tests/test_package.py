"""The package as a stranger gets it: built, installed elsewhere, and used without the checkout."""

import json
import os
import shutil
import subprocess
import sys
import venv
import zipfile
from pathlib import Path

import pytest
from attrs import frozen

import cardref

ROOT = Path(__file__).parents[1]
# One worker builds once, where the tests are spread over processes by group.
pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("package")]

CODE = "7K 2046/031"


@frozen
class Installed:
    """A wheel, and an environment in which nothing but it and what it requires is installed."""

    wheel: Path
    bin: Path
    elsewhere: Path

    def run(self, *command: str) -> str:
        """The output of a command from another directory, which must end with exit status 0."""
        environment = {key: value for key, value in os.environ.items() if not key.startswith("PYTHON")}
        done = subprocess.run(
            [str(self.bin / command[0]), *command[1:]],
            cwd=self.elsewhere,
            env=environment,
            capture_output=True,
            stdin=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            check=False,
        )
        assert done.returncode == 0, done.stdout + done.stderr
        return done.stdout


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Installed:
    """Build an sdist of a copy of the tree, a wheel of the sdist, and install it into a fresh environment."""
    place = tmp_path_factory.mktemp("package")
    tree = place / "tree"
    shutil.copytree(
        ROOT,
        tree,
        ignore=shutil.ignore_patterns(
            ".git", ".venv", ".*_cache", ".hypothesis", "__pycache__", "build", "dist", "*.egg-info"
        ),
    )
    subprocess.run(
        [sys.executable, "-m", "build", "--outdir", str(place / "dist"), str(tree)],
        check=True,
        stdin=subprocess.DEVNULL,
    )
    (wheel,) = (place / "dist").glob("*.whl")
    venv.create(place / "venv", with_pip=True)
    shutil.rmtree(tree)
    elsewhere = place / "elsewhere"
    elsewhere.mkdir()
    made = Installed(wheel=wheel, bin=place / "venv" / "bin", elsewhere=elsewhere)
    made.run("python", "-m", "pip", "install", "--quiet", "--disable-pip-version-check", str(wheel))
    return made


def test_the_wheel_holds_the_compiled_reference_and_no_more(installed: Installed) -> None:
    """Code, compiled data, schemas and the typing marker are in; tests and the data's YAML are not."""
    names = zipfile.ZipFile(installed.wheel).namelist()
    assert "cardref/py.typed" in names
    assert "cardref/_bundled/data/back.json" in names
    published = {path.name for path in (ROOT / "schemas").glob("*.json")}
    assert {name.rpartition("/")[2] for name in names if "/_bundled/schemas/" in name} == published
    assert {name.split("/")[0] for name in names} == {"cardref", f"cardref-{cardref.__version__}.dist-info"}
    assert not [name for name in names if name.endswith((".yaml", ".pyc"))]


def test_a_code_is_decoded_from_another_directory(installed: Installed) -> None:
    """The console script finds the bundled data by itself, and gives the answer that the checkout gives."""
    there = installed.run("cardref", "decode", CODE, "--format", "json")
    here = subprocess.run(
        [sys.executable, "-m", "cardref", "decode", CODE, "--format", "json"],
        cwd=installed.elsewhere,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=True,
    ).stdout
    assert json.loads(there) == json.loads(here)


def test_it_runs_as_a_module_too(installed: Installed) -> None:
    """``python -m cardref`` is the same program."""
    for arguments in (("--version",), ("decode", CODE)):
        assert installed.run("python", "-m", "cardref", *arguments) == installed.run("cardref", *arguments)


def test_the_compiled_reference_equals_the_checkout(installed: Installed) -> None:
    """The data in the wheel is the data of the checkout: same version, same fingerprint of every record."""
    script = "import cardref; ref = cardref.load(); print(ref.version, ref.fingerprint)"
    ours = cardref.load()
    assert installed.run("python", "-c", script).split() == [ours.version, ours.fingerprint]


def test_the_metadata_is_complete(installed: Installed) -> None:
    """Licence, version, Python version, description and the four requirements are told."""
    script = (
        "import json; from importlib.metadata import metadata; m = metadata('cardref');"
        "print(json.dumps({key: m.get_all(key) for key in set(m)}))"
    )
    told = json.loads(installed.run("python", "-c", script))
    assert told["License-Expression"] == ["MIT"]
    assert told["Requires-Python"] == [">=3.11"]
    assert told["Version"] == [cardref.__version__]
    assert told["Summary"] != [""]
    required = {line.split(">")[0] for line in told["Requires-Dist"] if "extra ==" not in line}
    assert required == {"attrs", "cattrs", "jsonschema", "pyyaml"}


def test_a_consumer_is_type_checked(installed: Installed) -> None:
    """A strict checker sees the installed package's types: right use passes, a misspelt name does not."""
    consumer = installed.elsewhere / "consumer.py"

    def checked(line: str) -> str:
        consumer.write_text(f"import cardref\n{line}\n", encoding="utf-8")
        return subprocess.run(
            [
                *(sys.executable, "-m", "mypy", "--strict", "--no-incremental", "--cache-dir", os.devnull),
                *("--python-executable", str(installed.bin / "python"), str(consumer)),
            ],
            cwd=installed.elsewhere,
            capture_output=True,
            text=True,
            check=False,
        ).stdout

    assert "Success" in checked('where: str = str(cardref.Designation.parse("25B"))')
    assert 'has no attribute "Desingation"' in checked('cardref.Desingation.parse("25B")')
    assert "[arg-type]" in checked("cardref.Designation.parse(25)")
