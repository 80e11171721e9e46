"""A new dataset: clean, canonical, decodable, whatever the line is called; nothing is overwritten."""

import datetime as dt
import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

import cardref
from cardref.errors import DatasetError, UsageError
from cardref.fixing.formatting import formatted
from cardref.fixing.place import target_of
from cardref.fixing.retiring import rename
from cardref.model.forms import is_slug
from cardref.starting.start import LICENCES, Beginning, slug, start
from cardref.storage.atomic import write_changes
from cardref.storage.layout import DOCUMENTS
from cardref.storage.tree import owned, parse

PLAIN = Beginning(line="Lantern Trail", maker="Pell Playthings")
HARD = (
    {"line": "On", "maker": "null", "country": "NO", "language": "nb"},
    {"line": "25", "maker": "1981 & Sons", "years": "1981~/1984"},
    {
        "line": "파도길",
        "maker": 'Ανεμώνη: [x] # "y"',
        "line_id": "padogil",
        "maker_id": "anemoni",
        "language": "el",
    },
    {"line": "{x}: {y}", "maker": "::set-output", "series": "# no"},
    {"line": "true", "maker": "yes", "licence": "ODbL-1.0"},
    {"line": "Lantern " * 30, "maker": "Pell " * 30, "series": "Trail " * 40},
)


def _start(folder: Path, beginning: Beginning) -> str:
    folder.mkdir(parents=True, exist_ok=True)
    done = start(folder, beginning)
    write_changes(folder, done.changes)
    return done.code


@pytest.mark.parametrize("given", [{}, *HARD], ids=lambda given: str(given.get("line", "plain"))[:10])
def test_a_new_dataset_is_clean(tmp_path: Path, given: dict[str, str]) -> None:
    """It passes every check without a single note, is in the canonical layout, and its one code is known."""
    words: Any = {"line": "Lantern Trail", "maker": "Pell Playthings", **given}
    beginning = Beginning(**words)
    code = _start(tmp_path / "new", beginning)
    report = cardref.check(tmp_path / "new")
    assert report.clean
    assert report.findings == ()
    assert report.skipped == ()
    assert not formatted(tmp_path / "new", target_of([tmp_path / "new"]).paths).changes
    decoding = cardref.load(tmp_path / "new").decode(code)
    assert decoding.known == "yes"
    assert decoding.consistent == "yes"


def test_it_says_what_was_given(tmp_path: Path) -> None:
    """Titles, country, years, language and licence stand in the records, as given."""
    beginning = Beginning(
        line="Lantern Trail", maker="Pell", country="IE", series="Deepwater", years="1981/1984",
        language="nb", licence="CC-BY-4.0",
    )  # fmt: skip
    _start(tmp_path, beginning)
    ref = cardref.load(tmp_path)
    assert ref.dataset is not None
    assert ref.dataset.licence == "CC-BY-4.0"
    assert not ref.dataset.invented
    line, maker = ref.line("lantern-trail"), ref.maker("pell")
    assert (line.title, maker.name, maker.country, maker.languages) == (
        "Lantern Trail",
        "Pell",
        "IE",
        ("nb",),
    )
    (series,) = ref.series.values()
    assert (series.title, str(series.years)) == ("Deepwater", "1981/1984")
    assert LICENCES["CC-BY-4.0"] in (tmp_path / "LICENCE.md").read_text()
    assert Counter(len(table) for table in (ref.backs, ref.faces, ref.cards, ref.schemes)) == {1: 4}


def test_editors_find_the_schema_of_every_file(tmp_path: Path) -> None:
    """Each file names a schema that is there, and is valid by it for a general validator."""
    _start(tmp_path, PLAIN)
    paths = target_of([tmp_path]).paths
    assert len(paths) == len(DOCUMENTS)
    for path in paths:
        text = (tmp_path / path).read_text()
        hint = text.splitlines()[0].removeprefix("# yaml-language-server: $schema=")
        schema = json.loads(((tmp_path / path).parent / hint).read_text())
        Draft202012Validator(schema).validate(yaml.safe_load(text))


def test_every_file_teaches(tmp_path: Path) -> None:
    """Every data file begins with a comment that says what belongs in it."""
    _start(tmp_path, PLAIN)
    for path in target_of([tmp_path]).paths:
        comments = owned(parse((tmp_path / path).read_text()))
        assert len(comments) >= 2, path
        assert len(comments[1]) > 20, path


def test_the_examples_in_comments_are_right(tmp_path: Path) -> None:
    """Without their comment marks the commented examples are records of the right shape."""
    _start(tmp_path, PLAIN)
    before = cardref.check(tmp_path).records
    for path in target_of([tmp_path]).paths:
        text = (tmp_path / path).read_text()
        lines = []
        for line in text.splitlines():
            bare = line.lstrip()
            starts = bare.startswith(("# - ", "#   ", "#     "))
            lines.append(line.replace("# ", "", 1) if starts and not bare.startswith("# - `") else line)
        made = "\n".join(lines) + "\n"
        for plural in ("features", "stickers", "reproductions", "waivers"):
            made = made.replace(f"{plural}: []\n", f"{plural}:\n")
        (tmp_path / path).write_text(made)
    shape = {"yaml-syntax", "missing-key", "unknown-key", "wrong-type", "wrong-value", "ill-formed", "layout"}
    report = cardref.check(tmp_path)
    assert report.records == before + 8
    assert not [f for f in report.findings if f.rule in shape]


def test_continuous_integration_and_hooks_are_plain_yaml(tmp_path: Path) -> None:
    """The workflow and the hooks can be read and run the two commands that matter."""
    _start(tmp_path, PLAIN)
    workflow: Any = yaml.safe_load((tmp_path / ".github/workflows/check.yml").read_text())
    commands = [step.get("run", "") for step in workflow["jobs"]["check"]["steps"]]
    assert "cardref check . --format annotations" in commands
    hooks: Any = yaml.safe_load((tmp_path / ".pre-commit-config.yaml").read_text())
    entries = [hook["entry"] for hook in hooks["repos"][0]["hooks"]]
    assert entries == ["cardref fmt --check .", "cardref check ."]


def test_nothing_that_is_there_is_overwritten(tmp_path: Path) -> None:
    """Pages that are there stay; a dataset, or a file in its place, stops it before anything is written."""
    (tmp_path / "README.md").write_text("mine")
    done = start(tmp_path, PLAIN)
    assert done.kept == ("README.md",)
    write_changes(tmp_path, done.changes)
    assert (tmp_path / "README.md").read_text() == "mine"
    with pytest.raises(DatasetError, match="holds a dataset already"):
        start(tmp_path, PLAIN)
    (tmp_path / "other").mkdir()
    (tmp_path / "other/makers.yaml").write_text("mine")
    with pytest.raises(DatasetError, match=r"'makers.yaml' is there already"):
        start(tmp_path / "other", PLAIN)
    with pytest.raises(DatasetError, match="is a file"):
        start(tmp_path / "README.md", PLAIN)


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"line": " "}, "the line needs a name"),
        ({"maker": "a\nb"}, "the maker needs a name of one line"),
        ({"maker": "파도길"}, "its title gives none.*--maker-id"),
        ({"line": ""}, "the line needs a name"),
        ({"line": "Figure"}, "name of a kind"),
        ({"line_id": "Not A Slug"}, "lower-case letters"),
        ({"country": "Ireland"}, "ISO 3166"),
        ({"years": "1981-84"}, "EDTF"),
        ({"language": "English"}, "BCP 47"),
        ({"licence": "do what you like"}, "SPDX"),
    ],
)
def test_what_is_ill_written_is_told(tmp_path: Path, given: dict[str, str], said: str) -> None:
    """Each wrong answer is named with what it must be, and nothing is written."""
    words: Any = {"line": "Lantern Trail", "maker": "Pell", **given}
    with pytest.raises(UsageError, match=said):
        start(tmp_path, Beginning(**words))
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("given", [{}, *HARD], ids=lambda given: str(given.get("line", "plain"))[:10])
def test_a_bare_one_is_clean_and_holds_no_example(tmp_path: Path, given: dict[str, str]) -> None:
    """Line, maker, series, wave and one source, and nothing else; no note, in the canonical layout."""
    words: Any = {"line": "Lantern Trail", "maker": "Pell Playthings", **given}
    assert _start(tmp_path, Beginning(**words, bare=True)) == ""
    assert cardref.check(tmp_path).findings == ()
    assert not formatted(tmp_path, target_of([tmp_path]).paths).changes
    index = cardref.load(tmp_path).index
    held = {kind for kind, table in index.tables.items() if table}
    assert held == {"dataset", "maker", "source", "term", "line", "series", "wave"}
    told = "".join(path.read_text() for path in tmp_path.rglob("*") if path.suffix in (".md", ".yaml"))
    assert "xample Figure" not in told
    assert "cardref tables add LIST.csv" in (tmp_path / "README.md").read_text()


def test_the_scheme_in_a_bare_ones_comment_reads_a_code(tmp_path: Path) -> None:
    """Without its comment marks, and with a figure of one's own, it is the scheme that it explains."""
    _start(tmp_path, evolve(PLAIN, bare=True))
    path = tmp_path / "lines/lantern-trail/line.yaml"
    head, _, scheme = path.read_text().partition("schemes: []\n")
    lines = [line.removeprefix("# ") for line in scheme.splitlines()[1:]]
    path.write_text(
        head + "schemes:\n" + "".join(f"  {line}\n" for line in lines).replace("example-figure", "mine")
    )
    (tmp_path / "lines/lantern-trail/figures.yaml").write_text(
        "line: lantern-trail\nfigures:\n  - id: mine\n    names:\n      - {text: Mine, language: en}\n"
    )
    decoding = cardref.load(tmp_path).decode("A001-01")
    assert decoding.best is not None
    assert decoding.best.value == "A001-01"
    assert decoding.best.figures == ("lantern-trail/figure/mine",)


def test_the_version_is_this_month(tmp_path: Path) -> None:
    """Version and the example source's date are those of the day."""
    done = start(tmp_path, PLAIN, dt.date(2031, 2, 3))
    texts = {change.path: (change.after or b"").decode() for change in done.changes}
    assert 'version: "2031.02"' in texts["dataset.yaml"]
    assert 'date: "2031-02-03"' in texts["sources.yaml"]


def test_the_example_can_be_renamed_away(tmp_path: Path) -> None:
    """A newcomer renames the example figure in one step, and the dataset is still clean."""
    code = _start(tmp_path, PLAIN)
    write_changes(tmp_path, rename(tmp_path, "example figure", "lamp-keeper").changes)
    assert cardref.check(tmp_path).clean
    assert cardref.load(tmp_path).decode(code).known == "yes"


@given(st.text(max_size=30))
@settings(max_examples=200, deadline=None)
def test_a_slug_is_a_slug_or_nothing(text: str) -> None:
    """Whatever the title, the short id made of it is one, or empty."""
    made = slug(text)
    assert made == "" or is_slug(made)
