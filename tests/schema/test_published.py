"""What stands in schemas/ is what the code says, and all of it."""

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from cardref.cli import main
from cardref.cli.schemas import published

SCHEMAS = Path(__file__).parents[2] / "schemas"
ADVICE = "write them again: python -m cardref.cli.schemas schemas"


def test_every_schema_is_published_and_no_other() -> None:
    """A file in schemas/ that nothing makes any more is as wrong as one that is not there."""
    assert {path.name for path in SCHEMAS.iterdir()} == set(published()), ADVICE


@pytest.mark.parametrize("name", published())
def test_a_published_schema_is_up_to_date(name: str) -> None:
    """The file is, to the sign, what the code makes."""
    assert (SCHEMAS / name).read_text(encoding="utf-8") == published()[name], ADVICE


@pytest.mark.parametrize("name", published())
def test_a_published_schema_is_one(name: str) -> None:
    """By draft 2020-12 (json-schema.org), as package jsonschema has it; known by the name of its file."""
    schema = json.loads(published()[name])
    Draft202012Validator.check_schema(schema)
    assert schema["$id"].rpartition(":")[2] == name.removesuffix(".schema.json")


def test_the_verb_exports_all_of_them(tmp_path: Path) -> None:
    """`cardref export schemas` gives people what stands in schemas/."""
    assert main(["export", "schemas", str(tmp_path / "schemas")]) == 0
    written = {path.name: path.read_text(encoding="utf-8") for path in (tmp_path / "schemas").iterdir()}
    assert written == published()
