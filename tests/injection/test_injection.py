"""Data that carries commands for terminals, logs, spreadsheets, pages and databases: inert in all we write.

What is looked at are the bytes that leave the program. What is dangerous there is written down per format:
terminals by Unicode's categories (:func:`cardref.text.visible`), CSV by common practice for spreadsheets (no
source), Markdown by the GFM specification, XML by the standard parser, SQL by the database itself.
"""

import csv
import io
import json
import re
import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import unquote
from xml.etree import ElementTree as ET

import pytest

from cardref.checks.sample import write_sample
from cardref.reference import load
from cardref.storage.canonical import flow_text
from cardref.storage.scalars import written
from tests.hostile.kit import Ran, raw_signs, run
from tests.injection.poison import ATTACKS, poisoned

SHIFTS = (0, 7, 19)


@pytest.fixture(scope="module", params=SHIFTS)
def data(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dataset that can be loaded, with attacks in all its free texts."""
    folder = tmp_path_factory.mktemp("poisoned") / "dataset"
    return write_sample(folder, files=poisoned(request.param)[0])


@pytest.fixture(scope="module", params=SHIFTS)
def wild(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A dataset in which hardly a reference leads anywhere, and every message quotes an attack."""
    folder = tmp_path_factory.mktemp("wild") / "dataset"
    files = poisoned(request.param, wild=True)[0]
    # Keys can carry attacks as well.
    keys = "".join(f"{written(attack, quote=True)}: x\n" for attack in ATTACKS if len(attack) < 200)
    return write_sample(folder, files={path: text + keys for path, text in files.items()})


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample dataset without any attack, to compare with."""
    return write_sample(tmp_path_factory.mktemp("plain") / "dataset")


def test_every_attack_is_there() -> None:
    """The datasets of the tests hold every attack at least once, loadable ones too."""
    texts = [text for shift in SHIFTS for text in poisoned(shift)[1]]
    for attack in ATTACKS:
        assert any(text.startswith(attack) for text in texts), attack


# --- terminals and logs ------------------------------------------------------------------------------------


def _inert(ran: Ran, *, but: str = "") -> str:
    """The output, once it is seen that no terminal or log would act on any of it."""
    assert ran.status in (0, 1, 2)
    both = ran.out + ran.err
    assert set(raw_signs(both)) <= set(but)
    for line in re.split("[\r\n]+", both.decode()):
        assert not line.lstrip().startswith("::"), line
        assert not re.search(r"##(\[|vso\[|teamcity\[)", line), line
    return ran.out.decode()


TEXTS = """
check DATA
check DATA --select text
rules
list lines --dataset DATA
list series --dataset DATA
list waves --dataset DATA
list figures --dataset DATA
list makers --dataset DATA
list backs --dataset DATA
list faces --dataset DATA
list cards --dataset DATA
list stickers --dataset DATA
list features --dataset DATA
list sources --dataset DATA
show lanternfish --dataset DATA
show pell-orrin --dataset DATA
show reef-pilot --dataset DATA
show lanternfish/pell-orrin/b-001 --dataset DATA
show lanternfish/pell-orrin/f-001 --dataset DATA
show lanternfish/pell-orrin/c-001 --dataset DATA
show spring-list --dataset DATA
show glossy-four --dataset DATA
show whistle-offer --dataset DATA
explain back --dataset DATA
explain count --dataset DATA
decode 4A --dataset DATA
vet maker=pell-orrin back=4A figure=reef-pilot --dataset DATA
vet --signs maker=pell-orrin back=4A --dataset DATA
identify --line lanternfish --dataset DATA
identify --line lanternfish --features --dataset DATA
identify maker=pell-orrin back-count=4 --dataset DATA
gaps --dataset DATA
fmt --diff DATA
fmt --check DATA
fix --diff DATA
fix --diff --unsafe DATA
retire glossy-four --reason =x --diff --dataset DATA
compare PLAIN DATA
compare DATA PLAIN
""".strip().split("\n")


def _words(line: str, data: Path, plain: Path) -> list[str]:
    return [word.replace("DATA", str(data)).replace("PLAIN", str(plain)) for word in line.split()]


@pytest.mark.parametrize("line", TEXTS)
def test_text_is_inert(data: Path, plain: Path, line: str) -> None:
    """No escape, direction mark or log command of the data comes out of any verb as it is."""
    _inert(run(_words(line, data, plain)))


@pytest.mark.parametrize("line", ["check DATA", "fix --diff --unsafe DATA", "fmt --diff DATA"])
def test_messages_about_what_fits_nowhere_are_inert(wild: Path, plain: Path, line: str) -> None:
    """The same where every reference and every key is an attack that a message quotes."""
    ran = run(_words(line, wild, plain))
    _inert(ran)
    assert len(ran.out) > 1_000


def test_annotations_are_ours_alone(wild: Path) -> None:
    """Every line of annotations is one command of ours about one finding, and data cannot end it early."""
    ran = run(["check", str(wild), "--format", "annotations"])
    lines = ran.out.decode().splitlines()
    assert raw_signs(ran.out) == []
    for line in lines:
        match = re.fullmatch(r"::(error|warning|notice) ([^:]*)::(.*)", line)
        assert match, line
        properties = dict(part.split("=", 1) for part in match[2].split(","))
        assert set(properties) <= {"file", "line", "endLine", "col", "endColumn", "title"}
        assert re.fullmatch("[a-z-]+", properties["title"])
        for said in unquote(match[3]).split("\n"):
            assert raw_signs(said.encode()) == []
    findings = json.loads(run(["check", str(wild), "--format", "json"]).out)["findings"]
    assert sum("title=cardref" not in line for line in lines) == len(findings)


# --- JSON --------------------------------------------------------------------------------------------------


def _strings(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for key, item in value.items():
            yield key
            yield from _strings(item)
    elif isinstance(value, list):
        for item in value:
            yield from _strings(item)


JSONS = [
    line
    for line in TEXTS
    if line.split()[0] in "list show explain decode vet identify gaps rules check".split()
]


@pytest.mark.parametrize("line", JSONS)
def test_json_is_inert(data: Path, plain: Path, line: str) -> None:
    """What is JSON can be read, and none of its texts commands a terminal, once decoded either."""
    ran = run([*_words(line, data, plain), "--format", "json"])
    assert raw_signs(ran.out + ran.err) == []
    if ran.out:
        for text in _strings(json.loads(ran.out)):
            assert raw_signs(text.encode()) == [], text


def test_sarif_has_no_links_or_placeholders_of_the_data(wild: Path) -> None:
    """In SARIF's messages no link (3.11.6) and no placeholder (3.11.5) comes from the data."""
    told = json.loads(run(["check", str(wild), "--format", "sarif"]).out)
    messages = [result["message"]["text"] for result in told["runs"][0]["results"]]
    assert any("javascript" in message for message in messages)
    for message in messages:
        assert not re.search(r"\[[^\]]*\]\(", message), message
        assert not re.search(r"(?<!\{)\{[0-9]+\}(?!\})", message), message
        assert raw_signs(message.encode()) == []


# --- tables ------------------------------------------------------------------------------------------------

FORMULA = re.compile("[=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20].")


def _cells(text: str) -> list[str]:
    return [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]


def _no_formula(text: str) -> None:
    cells = _cells(text)
    assert cells
    for cell in cells:
        # A plain number may begin with a sign; nobody runs it.
        assert not FORMULA.match(cell) or re.fullmatch(r"-?[0-9.]+", cell), cell


@pytest.mark.parametrize("line", [line for line in TEXTS if line.split()[0] in "list decode gaps".split()])
def test_csv_runs_nothing(data: Path, plain: Path, line: str) -> None:
    """No cell of CSV begins with a sign that a spreadsheet program takes for a formula."""
    ran = run([*_words(line, data, plain), "--format", "csv"])
    _no_formula(_inert(ran))


def test_exported_tables_run_nothing(data: Path, tmp_path: Path) -> None:
    """No cell of the tables for a spreadsheet is a formula, and bringing them back changes nothing."""
    assert run(["tables", "export", str(tmp_path / "tables"), "--dataset", str(data)]).status == 0
    for table in (tmp_path / "tables").glob("*.csv"):
        for cell in _cells(table.read_text(encoding="utf-8-sig")):
            assert not FORMULA.match(cell) or re.fullmatch(r"-?[0-9.]+", cell), cell
    before = {path: path.read_bytes() for path in data.rglob("*.yaml")}
    ran = run(["tables", "import", str(tmp_path / "tables"), "--dataset", str(data)])
    _inert(ran)
    assert ran.out == b"nothing changed\n"
    assert {path: path.read_bytes() for path in data.rglob("*.yaml")} == before


def test_a_data_package_runs_nothing(data: Path, tmp_path: Path) -> None:
    """Paths of a package stay inside, its names are plain words, and no cell is a formula."""
    assert run(["export", "datapackage", str(tmp_path / "p"), "--dataset", str(data)]).status == 0
    package = json.loads((tmp_path / "p/datapackage.json").read_bytes())
    assert re.fullmatch("[-a-z0-9._/]+", package["name"])
    for resource in package["resources"]:
        assert re.fullmatch("data/[a-z_]+[.]csv", resource["path"])
        assert re.fullmatch("[a-z_]+", resource["name"])
        for cell in _cells((tmp_path / "p" / resource["path"]).read_text(encoding="utf-8")):
            assert not FORMULA.match(cell) or re.fullmatch(r"-?[0-9.]+", cell), cell
    assert sorted(path.name for path in (tmp_path / "p").iterdir()) == ["data", "datapackage.json"]


# --- databases, pages, pictures ----------------------------------------------------------------------------


def _schema(path: Path) -> list[tuple[str, ...]]:
    base = sqlite3.connect(path)
    try:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        return sorted(base.execute("SELECT type, name, sql FROM sqlite_master").fetchall())
    finally:
        base.close()


def test_sqlite_holds_texts_as_texts(data: Path, plain: Path, tmp_path: Path) -> None:
    """The schema is that of the sample without attacks, and every note is there, letter for letter."""
    for name, folder in (("bad", data), ("good", plain)):
        assert run(["export", "sqlite", str(tmp_path / name), "--dataset", str(folder)]).status == 0
    assert _schema(tmp_path / "bad/cardref.sqlite") == _schema(tmp_path / "good/cardref.sqlite")
    base = sqlite3.connect(tmp_path / "bad/cardref.sqlite")
    try:
        held = dict(base.execute("SELECT id, citation FROM source").fetchall())
    finally:
        base.close()
    assert held == {full: source.citation for full, source in load(data).sources.items()}
    assert any(text.split(" ")[0].strip() for text in held.values())


def test_one_json_file_holds_texts_as_texts(data: Path, tmp_path: Path) -> None:
    """The export for programs holds every text letter for letter."""
    assert run(["export", "json", str(tmp_path / "j"), "--dataset", str(data)]).status == 0
    held = set(_strings(json.loads((tmp_path / "j/cardref.json").read_bytes())))
    assert {source.citation for source in load(data).sources.values()} <= held


def test_markdown_is_text(data: Path, plain: Path) -> None:
    """In Markdown no attack is a tag, a link, a mention, a heading, a list, code or a picture."""
    for words in (["compare", str(plain), str(data)], ["compare", str(data), str(plain)]):
        for notes in ([], ["--notes"]):
            out = _inert(run([*words, "--format", "markdown", *notes]), but="\u2060")
            for line in out.splitlines():
                body = re.sub(r"\\.", " ", line)  # what is escaped is a sign and no more
                assert not re.search("[<`|]", body), line
                assert "](" not in body, line
                assert not re.search(r"(^|\W)[@#!]\w", body), line
                assert not re.search("https?://|www[.]", body), line
                assert re.match(r"(## |### |- |Next version|No change|$)", body), line


def test_a_picture_is_well_formed(data: Path, tmp_path: Path) -> None:
    """A picture of what somebody has is XML of shapes and texts: no script, no link, nothing fetched."""
    mine = tmp_path / "mine.yaml"
    rows = [
        {"id": f"s-{at}", "card": "lanternfish/pell-orrin/c-001", "note": attack, "seller": attack}
        | {"photos": [attack], "grade": {"text": attack, "issuer": attack}}
        for at, attack in enumerate(ATTACKS)
    ]
    mine.write_text(f"specimens: {flow_text(rows)}\n", encoding="utf-8")
    picture = tmp_path / "mine.svg"
    for form in ("text", "json", "csv"):
        _inert(run(["own", "report", str(mine), "--dataset", str(data), "--format", form]))
    _inert(run(["check", str(mine), "--dataset", str(data)]))
    ran = run(["own", "report", str(mine), "--dataset", str(data), "--svg", str(picture)])
    _inert(ran)
    assert picture.is_file(), ran
    assert raw_signs(picture.read_bytes()) == []
    root = ET.fromstring(picture.read_bytes())  # noqa: S314 - our own output, and the parser is the test
    for element in root.iter():
        tag = element.tag.rpartition("}")[2]
        assert tag in {
            "svg",
            "g",
            "rect",
            "text",
            "title",
            "desc",
            "style",
            "path",
            "line",
            "circle",
            "defs",
            "pattern",
        }, tag
        for name, value in element.attrib.items():
            assert not name.lower().startswith("on"), name
            assert "href" not in name, name
            assert "url(" not in value or value.startswith("url(#"), value
            assert "javascript" not in value, value
