"""The picture of figures by backs: well-formed, whole in itself, told in words, legible without colour."""

import re
from xml.etree import ElementTree as ET

import pytest

from cardref.errors import UsageError
from cardref.facts.cards import exists
from cardref.index import Index
from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.face import Face
from cardref.model.figure import Figure, Name
from cardref.model.kinds import KINDS, Record
from cardref.model.line import Line
from cardref.model.maker import Maker
from cardref.model.specimen import Specimen, Want
from cardref.notation.designation import Designation
from cardref.specimens.holdings import recorded_pairs
from cardref.specimens.matrix import panels
from cardref.specimens.picture import picture
from tests.specimens.made import BACK, CARD, FIGURE, collected, index

SVG = "{http://www.w3.org/2000/svg}"
OTHER = "tidewrack/quay-marl/b-001"


def _drawn() -> str:
    mine = collected(
        Specimen(id="1", card=CARD),
        Specimen(id="2", card=CARD),
        Specimen(id="3", figure=FIGURE, maker="maker/quay-marl"),
        Specimen(id="4", figure="tidewrack/figure/sounding-tam", back="tidewrack/quay-marl/b-019"),
        Specimen(id="5", figure="night-post/figure/owl-carrier", back="night-post/stellan-fogg/b-001"),
        Want(id="w", figure=FIGURE, back="tidewrack/quay-marl/b-001"),
        Want(id="v", figure=FIGURE, back=BACK),
    )
    return picture(index(), panels(index(), mine))


def test_it_is_one_file_that_needs_nothing_beside_it() -> None:
    """The SVG parses, runs nothing, and leads nowhere."""
    root = ET.fromstring(_drawn())  # noqa: S314 - our own text
    assert root.tag == f"{SVG}svg"
    assert not {element.tag for element in root.iter()} & {
        f"{SVG}script",
        f"{SVG}image",
        f"{SVG}foreignObject",
    }
    for element in root.iter():
        assert not any(name.endswith("href") or name.startswith("on") for name in element.attrib)
    urls = re.findall(r"url\((.*?)\)", _drawn())
    assert set(urls) <= {"#no"}
    assert "http" not in _drawn().replace("http://www.w3.org/2000/svg", "")


def test_it_is_told_in_words() -> None:
    """Title and description are named by the root, and every mark says what it stands for."""
    root = ET.fromstring(_drawn())  # noqa: S314 - our own text
    ids = {element.get("id"): element for element in root.iter() if element.get("id")}
    assert (root.get("aria-labelledby") or "").split() == ["title", "desc"]
    assert "Tidewrack, Quay & Marl Playworks: 45 figures on 40 backs" in (ids["desc"].text or "")
    words = [element.text for element in root.iter(f"{SVG}title")]
    assert "Lamp Diver on 25B: 2 owned, wanted, recorded" in words
    assert "Lamp Diver on 10A: wanted, recorded" in words
    assert "Sounding Tam on 25D: owned, on no record" in words
    assert "Lamp Diver, back not known: owned, recorded" in words


def test_no_colour_carries_meaning() -> None:
    """Black, white and greys are all there is; the marks differ in their shapes."""
    for colour in re.findall(r"#[0-9a-fA-F]{3,8}\b", _drawn().replace("url(#no)", "")):
        assert len(set(colour[1:].lower())) == 1, colour
    root = ET.fromstring(_drawn())  # noqa: S314 - our own text
    shapes: dict[str, set[tuple[tuple[str, str | None, str | None], ...]]] = {}
    for group in root.iter(f"{SVG}g"):
        said = (group.findtext(f"{SVG}title") or "").rpartition(": ")[2]
        drawn = tuple(
            (element.tag, element.get("class"), element.get("fill"))
            for element in group
            if element.tag != f"{SVG}title"
        )
        shapes.setdefault(re.sub("[0-9]+", "n", said), set()).add(drawn)
    assert all(len(ways) == 1 for ways in shapes.values()), "what is said alike is drawn alike"
    ways = [drawn for way in shapes.values() for drawn in way]
    assert len(set(ways)) >= 5


@pytest.mark.parametrize(("wanted", "inlays"), [(True, 2), (False, 1)])
def test_what_is_owned_and_wanted_once_more_bears_both_marks(wanted: bool, inlays: int) -> None:
    """A white diamond in the black square, as in the legend, and nowhere else."""
    wants = [Want(id="w", figure=FIGURE, back=BACK)] if wanted else []
    mine = collected(Specimen(id="1", card=CARD), *wants, Want(id="v", figure=FIGURE, back=OTHER))
    assert picture(index(), panels(index(), mine)).count('<path fill="#fff" d=') == inlays


def test_every_mark_is_a_fact() -> None:
    """What is marked recorded is recorded, what is marked impossible is, and what is blank is neither."""
    (panel,) = panels(index(), collected(Specimen(id="1", card=CARD)))
    for figure in panel.figures:
        for back in panel.backs:
            mark = panel.marks.get((figure, back))
            pair = (figure, back) in recorded_pairs(index())
            assert (mark is not None and mark.recorded) == pair
            no = exists(index(), figure, back).verdict == "no"
            assert (mark is not None and mark.impossible) == (no and not pair)
    assert sum(mark.owned for mark in panel.marks.values()) == 1


def test_names_are_escaped() -> None:
    """A name that would be markup, or would break the file, is text."""
    hostile = '<script>alert("x")</script>&\x1b\u202e'
    tables: dict[str, dict[str, Record]] = {kind: {} for kind in KINDS}
    tables["line"]["l"] = Line(id="l", title=hostile, home="maker/m")
    tables["maker"]["maker/m"] = Maker(id="maker/m", name=hostile)
    tables["figure"]["l/figure/a"] = Figure(id="l/figure/a", names=(Name(text=hostile, language="en"),))
    tables["back"]["l/m/b-1"] = Back(id="l/m/b-1", designation=Designation(1), series="l/series/s", count=1)
    tables["face"]["l/m/f-1"] = Face(id="l/m/f-1", figure="l/figure/a", series="l/series/s")
    tables["card"]["l/m/c-1"] = Card(id="l/m/c-1", face="l/m/f-1", back="l/m/b-1")
    small = Index(tables)
    text = picture(small, panels(small, collected(Specimen(id="1", card="l/m/c-1"), over=small)))
    root = ET.fromstring(text)  # noqa: S314 - our own text
    assert f"{SVG}script" not in {element.tag for element in root.iter()}
    assert "<script" not in text
    assert "\x1b" not in text
    assert "\u202e" not in text


def test_nothing_owned_is_nothing_to_draw() -> None:
    """Of a line or maker of which nothing is owned there is no picture, and a word."""
    with pytest.raises(UsageError, match="nothing of that is owned"):
        panels(index(), collected())
    with pytest.raises(UsageError, match="nothing of that is owned"):
        panels(index(), collected(Specimen(id="1", card=CARD)), maker="maker/fjellvik")
