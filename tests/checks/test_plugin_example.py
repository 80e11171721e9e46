"""The example of a plugin works as it says, by the library and by the command line."""

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

from cardref.checks.rule import Rule
from cardref.checks.runner import check
from cardref.checks.sample import write_sample
from tests.checks.laid import TODAY

EXAMPLES = Path(__file__).parents[2] / "examples"


def own_rules() -> list[Rule]:
    """The rules of examples/own_rules.py."""
    spec = importlib.util.spec_from_file_location("own_rules", EXAMPLES / "own_rules.py")
    assert spec
    assert spec.loader
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    found: list[Rule] = module.RULES
    return found


def test_its_examples_pass_and_fail_as_they_say(tmp_path: Path) -> None:
    """A rule of one's own is held to what the table's rules are held to."""
    for rule in own_rules():
        for name, example in (("good", rule.good), ("bad", rule.bad)):
            folder = write_sample(tmp_path / f"{rule.id}-{name}", example)
            report = check(folder, rules=[rule], select=[rule.family], today=TODAY)
            told = [(f.record, f.field) for f in report.findings if f.place.path == example.path]
            assert told == ([(example.record, example.field)] if name == "bad" else [])


def test_the_command_line_runs_it(tmp_path: Path) -> None:
    """--plugin with the module on PYTHONPATH, as its docstring says."""
    folder = write_sample(tmp_path, own_rules()[0].bad)
    command = [
        sys.executable,
        "-m",
        "cardref",
        "check",
        str(folder),
        "--plugin",
        "own_rules",
        "--select",
        "own",
    ]
    done = subprocess.run(
        command,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(EXAMPLES), str(EXAMPLES.parent)])},
    )
    assert done.returncode == 0, done.stderr
    assert "[confirmed-unseen]" in done.stdout
