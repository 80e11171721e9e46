"""The floors of the house: imports go down only, and never in a circle.

Every import counts, wherever it stands: at the top, inside a function, under ``TYPE_CHECKING``, and as a
name given to ``import_module``.
"""

import ast
from collections.abc import Iterator, Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

import cardref

ROOT = Path(__file__).parents[1]

FLOORS: tuple[tuple[str, ...], ...] = (
    ("errors", "text", "location", "severity", "finding", "frozen", "collector", "lazy"),
    ("notation",),
    ("model",),
    ("storage", "schema"),
    ("index", "facts"),
    ("checks", "identification", "decoding"),
    ("vetting", "comparison", "fixing", "starting", "specimens", "gaps"),
    ("reference", "report", "export", "tables"),
    ("", "__main__", "cli"),
)
"""From the ground up, the modules and folders of each floor; "" is the package itself."""

BESIDE = {
    ("errors", "text"): "a message shows text from data",
    ("errors", "finding"): "an error about a dataset carries its findings",
    ("finding", "location"): "a finding has a place",
    ("finding", "severity"): "a finding is bad to some degree",
    ("schema", "storage"): "a schema describes a file of the layout",
    ("facts", "index"): "facts follow from the records, which the index holds",
    ("__main__", "cli"): "python -m cardref is the command line",
    ("cli", ""): "the command line tells the version",
}
"""What may import its neighbour on the same floor, and why. All else of one floor keeps apart."""

ALLOWED_IN_ROOT = {
    "README.md",
    "DEVELOPERS.md",
    "pyproject.toml",
    "cardref",
    "schemas",
    "dataset",
    "tests",
    "examples",
}
BUILT = {"build", "dist", "__pycache__"}
"""What a tool may leave in the root; none of it is ever committed."""

Sources = Mapping[str, str]
"""From a module's full name to its source; a package has the name of its folder."""


def _sources(root: Path) -> dict[str, str]:
    names = {}
    for path in sorted((root / "cardref").rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        names[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path.read_text(encoding="utf-8")
    return names


def _imports(name: str, sources: Sources) -> Iterator[tuple[str, int]]:
    """The modules of ours that a module imports, each with the line."""
    package = name if any(other.startswith(f"{name}.") for other in sources) else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(sources[name])):
        wanted: list[str] = []
        if isinstance(node, ast.Import):
            wanted = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = package.split(".")[: len(package.split(".")) - node.level + 1]
                base = ".".join([*above, *([base] if base else [])])
            # "from cardref.report import baseline" may name a module or something inside the package.
            full = [f"{base}.{alias.name}" for alias in node.names]
            wanted = [name if name in sources else base for name in full]
        elif isinstance(node, ast.Call) and node.args:
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            first = node.args[0]
            if called in ("import_module", "__import__") and isinstance(first, ast.Constant):
                wanted = [str(first.value)]
        for target in wanted:
            if target.split(".")[0] == "cardref" and target != name:
                yield target, getattr(node, "lineno", 0)


def _unit(module: str) -> str:
    """The module or folder directly inside cardref that a module belongs to."""
    return module.split(".")[1] if "." in module else ""


def _faults(sources: Sources) -> list[str]:
    """Each import that goes up, to a neighbour not allowed, or nowhere; and each module without a floor."""
    floor = {unit: number for number, units in enumerate(FLOORS) for unit in units}
    faults = [f"{name} stands on no floor" for name in sources if _unit(name) not in floor]
    for name in sources:
        for target, line in _imports(name, sources):
            here, there = _unit(name), _unit(target)
            if target not in sources:
                faults.append(f"{name}:{line} imports {target}, which is not there")
                continue
            if here == there or here not in floor or there not in floor:
                continue
            if floor[there] < floor[here] or (here, there) in BESIDE:
                continue
            faults.append(f"{name}:{line} imports {target}, which is not below it")
    return faults


def _circle(sources: Sources) -> list[str]:
    """The modules of a circle of imports, or nothing."""
    graph = {name: {target for target, _ in _imports(name, sources) if target in sources} for name in sources}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return [str(name) for name in error.args[1]]
    return []


OURS = _sources(ROOT)


def test_imports_go_down() -> None:
    """No module imports from its own floor or from above, but for the neighbours listed with a reason."""
    assert _faults(OURS) == []


def test_imports_never_go_in_a_circle() -> None:
    """Not even inside one folder do modules import each other in a circle."""
    assert _circle(OURS) == []


def test_an_exception_is_used() -> None:
    """Every neighbour allowed to be imported is imported: the list holds no leftovers."""
    used = {(_unit(name), _unit(target)) for name in OURS for target, _ in _imports(name, OURS)}
    present = {_unit(name) for name in OURS}
    assert {pair for pair in BESIDE if set(pair) <= present} <= used


@pytest.mark.parametrize(
    ("name", "source"),
    [
        ("cardref.text", "from cardref.model import back"),
        ("cardref.text", "import cardref.model.back"),
        ("cardref.text", "def f():\n    from cardref.model.back import Back"),
        ("cardref.text", "if TYPE_CHECKING:\n    from cardref.model.back import Back"),
        ("cardref.text", "from .model.back import Back"),
        ("cardref.text", "from . import model"),
        ("cardref.text", "import importlib\nimportlib.import_module('cardref.model.back')"),
        ("cardref.text", "import cardref"),
        ("cardref.text", "from cardref import load"),
        ("cardref.checks.rule", "from cardref.identification import belief"),
        ("cardref.checks.rule", "from ..identification.belief import Belief"),
        ("cardref.vetting", "from cardref.gaps import gaps"),
        ("cardref.newcomer", ""),
        ("cardref.text", "from cardref.nowhere import x"),
    ],
)
def test_a_wrong_import_is_seen(name: str, source: str) -> None:
    """The check of this file sees each way of importing upward or sideways, and a module nobody placed."""
    house = dict.fromkeys(
        ["cardref", "cardref.model", "cardref.model.back", "cardref.identification", "cardref.checks"], ""
    )
    house |= {"cardref.identification.belief": "", "cardref.gaps": "", name: source}
    assert len(_faults(house)) == 1


def test_a_circle_is_seen() -> None:
    """Two modules of one folder that import each other, one of them lazily, are a circle."""
    house = {
        "cardref": "",
        "cardref.model": "",
        "cardref.model.a": "from cardref.model.b import B",
        "cardref.model.b": "def f():\n    from cardref.model import a",
    }
    assert set(_circle(house)) == {"cardref.model.a", "cardref.model.b"}


def test_no_module_hides_a_public_name() -> None:
    """Importing cardref.x the module would put it in the place of cardref.x the function."""
    assert not {name for name in cardref.__all__ if f"cardref.{name}" in OURS}


def test_the_root_holds_what_it_may() -> None:
    """The layout at the root is fixed."""
    there = {path.name for path in ROOT.iterdir() if not path.name.startswith(".")}
    assert {name for name in there - ALLOWED_IN_ROOT - BUILT if not name.endswith(".egg-info")} == set()


@pytest.mark.parametrize("name", sorted(OURS))
def test_every_module_says_what_it_is(name: str) -> None:
    """A module begins with a docstring."""
    assert ast.get_docstring(ast.parse(OURS[name]))
