"""The package as a stranger gets it: built, installed elsewhere, and used without the checkout."""

import json
import os
import re
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
pytestmark = pytest.mark.slow

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
    """Code, compiled data and the typing marker are in; tests, schemas and the data's YAML are not."""
    names = zipfile.ZipFile(installed.wheel).namelist()
    assert "cardref/py.typed" in names
    assert "cardref/_bundled/data/back.json" in names
    assert {name.split("/")[0] for name in names} == {"cardref", f"cardref-{cardref.__version__}.dist-info"}
    assert not [name for name in names if name.endswith((".yaml", ".pyc"))]


def test_the_schemas_come_from_the_code(installed: Installed) -> None:
    """Whoever has installed it gets the schemas that stand in the checkout."""
    installed.run("cardref", "export", "schemas", "all-schemas")
    for path in (ROOT / "schemas").glob("*.json"):
        assert (installed.elsewhere / "all-schemas" / path.name).read_text() == path.read_text()


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


def _strictly(installed: Installed, consumer: Path) -> str:
    """What mypy says of a file, strictly, of the package as it is installed."""
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


def test_a_consumer_sees_the_type_of_every_public_name(installed: Installed) -> None:
    """A project that uses each of them passes a strict checker, and runs where only the package is."""
    consumer = installed.elsewhere / "consumer.py"
    shutil.copy(Path(__file__).with_name("consumer.py"), consumer)
    source = consumer.read_text(encoding="utf-8")
    unused = {name for name in cardref.__all__ if not re.search(rf"\bcardref\.{name}\b", source)}
    assert unused == {"__version__"}
    assert "Success" in _strictly(installed, consumer)
    said = installed.run("python", str(consumer))
    assert said.split() == [
        *("25", CODE[:2], CODE[3:], "True", "NotationError", "AmbiguousRecord"),
        *("UnknownRecord", "DatasetError", "UsageError"),
    ]


@pytest.mark.parametrize(
    ("line", "fault"),
    [
        ('cardref.Desingation.parse("25B")', 'has no attribute "Desingation"'),
        ("cardref.Designation.parse(25)", "[arg-type]"),
        ('cardref.load().back("quay-marl 25B").count = 3', "read-only"),
        ('cardref.load().backs["x"] = None', "[index]"),
    ],
)
def test_a_consumer_s_mistake_is_seen(installed: Installed, line: str, fault: str) -> None:
    """A misspelt name, a wrong type, a change of what is frozen: a strict checker refuses each."""
    consumer = installed.elsewhere / "mistaken.py"
    consumer.write_text(f"import cardref\n{line}\n", encoding="utf-8")
    assert fault in _strictly(installed, consumer)
