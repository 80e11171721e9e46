"""The public names: the ones documented, all to be had, known to a type checker, and cheap to import."""

import ast
import re
import subprocess
import sys
from pathlib import Path

import pytest

import cardref

ROOT = Path(__file__).parents[1]
SOURCE = ast.parse((ROOT / "cardref" / "__init__.py").read_text(encoding="utf-8"))
NAMES = set(cardref.__all__) - {"__version__"}


def test_the_public_names_are_the_documented_ones() -> None:
    """The docstring of the package names each of them, and no other."""
    assert set(re.findall("``(.+?)``", cardref.__doc__ or "")) == NAMES


def test_a_type_checker_is_told_the_same_names_and_homes() -> None:
    """What is imported for type checkers is what is given on demand, from the same modules."""
    (block,) = (node for node in SOURCE.body if isinstance(node, ast.If))
    told = {
        alias.asname: node.module
        for node in block.body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
        if alias.name == alias.asname
    }
    homes: dict[str, str] = vars(cardref)["_HOMES"]
    assert told == {name: f"cardref.{home}" for name, home in homes.items()}


def test_every_public_name_can_be_had_and_is_listed() -> None:
    """dir() and __all__ agree, each name resolves, and a misspelt one is an AttributeError."""
    for name in cardref.__all__:
        assert getattr(cardref, name) is not None
        assert name in dir(cardref)
    with pytest.raises(AttributeError):
        cardref.no_such_name  # type: ignore[attr-defined] # noqa: B018 - the point of the test


def test_a_script_reads_a_users_own_file_with_public_names_only(tmp_path: Path) -> None:
    """Checked, read and priced beside the reference, a Reference being what is handed in."""
    path = tmp_path / "mine.csv"
    path.write_text("id,back,figure,price\n7,quay-marl 25B,lamp-diver,5 EUR\n", encoding="utf-8")
    ref = cardref.load()
    assert isinstance(cardref.check_own([path], ref), cardref.Report)
    mine = cardref.read_collection([path], ref)
    assert isinstance(mine, cardref.Collection)
    (held,) = mine.specimens
    assert ref.card(held.where.card).back == ref.back("quay-marl 25B").id
    assert cardref.Money.parse(str(held.record.price)) == cardref.Money.parse("5.00 EUR")


def test_importing_cardref_imports_nothing_heavy() -> None:
    """`import cardref` reads no data and pulls in none of attrs, cattrs, yaml, jsonschema, argparse."""
    heavy = "attrs attr cattrs yaml jsonschema argparse json".split()
    code = "import sys; before = set(sys.modules); import cardref; print(*set(sys.modules) - before)"
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert set(out.stdout.split()).isdisjoint(heavy)
