"""What is recognised in running text, and what is not, measured on invented listing titles."""

import pickle
import string
from collections import Counter
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from cardref.notation.code import CodeLayout, Segment
from cardref.notation.condition import CONDITION
from cardref.notation.designation import Designation
from cardref.notation.names import NameIndex
from cardref.notation.running import findall

HERE = Path(__file__).parent
SEEN = yaml.safe_load((HERE / "titles.yaml").read_text(encoding="utf-8"))
UNSEEN = yaml.safe_load((HERE / "titles_unseen.yaml").read_text(encoding="utf-8"))
LAYOUTS = [
    CodeLayout([Segment(*segment) for segment in layout["segments"]], check=layout["check"])
    for layout in SEEN["layouts"]
]
NAMES = NameIndex(tuple(row) for row in SEEN["names"])


def found(text: str) -> list[str]:
    """Kind and value of each hit, in the order of the text, as the title files write them."""
    return [
        f"{hit.kind} {' '.join(hit.value) if isinstance(hit.value, tuple) else hit.value}"
        for hit in findall(text, LAYOUTS, NAMES)
    ]


def measured(titles: list[dict[str, Any]]) -> tuple[int, int, int]:
    """How many hits are right, how many are wrong, and how many are missing."""
    right = wrong = missing = 0
    for title in titles:
        given, wanted = Counter(found(title["title"])), Counter(title["hits"])
        right += (given & wanted).total()
        wrong += (given - wanted).total()
        missing += (wanted - given).total()
    return right, wrong, missing


def test_the_set_is_large_and_half_of_it_traps() -> None:
    """At least 150 titles, about half of them traps, no title twice."""
    plain = [*SEEN["plain"], *UNSEEN["plain"]]
    traps = [*SEEN["traps"], *UNSEEN["traps"]]
    assert len(plain) + len(traps) >= 250
    assert 0.4 <= len(traps) / (len(plain) + len(traps)) <= 0.6
    titles = [title["title"] for title in plain + traps]
    assert len(titles) == len(set(titles))


@pytest.mark.parametrize(
    ("titles", "least"), [(SEEN, 0.99), (UNSEEN, 0.97)], ids=["the rules were made with", "unseen"]
)
def test_precision_and_recall(titles: dict[str, Any], least: float, record_property: Any) -> None:
    """Of the hits on the titles, and of what is to be found there, at least this share is right."""
    right, wrong, missing = measured([*titles["plain"], *titles["traps"]])
    precision, recall = right / (right + wrong), right / (right + missing)
    record_property("precision", f"{precision:.4f}")
    record_property("recall", f"{recall:.4f}")
    print(f"{right} right, {wrong} wrong, {missing} missing: precision {precision:.3f}, recall {recall:.3f}")
    assert precision >= least
    assert recall >= least


def test_designations_alone_are_never_wrong_on_a_trap() -> None:
    """No trap yields a designation that is not there: a wrong one misleads more than a missed one."""
    for title in (*SEEN["traps"], *UNSEEN["traps"]):
        given = [hit for hit in found(title["title"]) if hit.startswith("designation")]
        assert given == [hit for hit in title["hits"] if hit.startswith("designation")], title["title"]


@pytest.mark.parametrize(
    "text", ["1982", "$25", "25 cm", "25 figures lot", "555-0125", "25", "25%", "1/25", "x25"]
)
def test_no_designation_in_years_prices_sizes_and_counts(text: str) -> None:
    """The plainest traps have no designation in them, alone, in words, or at either end."""
    for around in ("{}", "lot {} lot", "{} lot", "lot {}", "({})", "{}!", "{},"):
        hits = findall(around.format(text), LAYOUTS, NAMES)
        assert not [hit for hit in hits if hit.kind in ("designation", "code")], around


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("25B", "25B"),
        ("25-B", "25B"),
        ("25 back", "25"),
        ("25-back", "25"),
        ("25back", "25"),
        ("25 b back", "25B"),
        ("25B back", "25B"),
        ("25B-back", "25B"),
        ("25Bback", "25B"),
        ("25 back B", "25B"),
        ("25-back-B", "25B"),
        ("the 25 back", "25"),
        ("25 card back", "25"),
        ("25 figure back", "25"),
        ("25-figure back", "25"),
        ("back 25B", "25B"),
        ("back 25 B", "25B"),
        ("back: 25", "25"),
        ("back #25", "25"),
        ("back count 25", "25"),
        ("back no. 25", "25"),
        ("cardback 25", "25"),
        ("43AA", "43AA"),
        ("#25B", "25B"),
        ("(25B)", "25B"),
        ("２５Ｂ", "25B"),
        ("25Β", "25B"),
        ("25–B", "25B"),
        ("0 back", "0"),
        ("25 bk", "25"),
        ("25 BACK", "25"),
        ("28k back", "28K"),
        ("12H back", "12H"),
        ("3D back", "3D"),
    ],
)
def test_every_way_of_writing_a_designation(text: str, written: str) -> None:
    """Each is found alone, in a sentence, and at either end; its span ends with its last sign."""
    for around in ("{}", "a {} here", "sealed {}", "{}, sealed", "[{}]"):
        whole = around.format(text)
        (hit,) = [hit for hit in findall(whole) if hit.kind == "designation"]
        assert hit.value == Designation.parse(written)
        assert whole[slice(*hit.span)] == hit.text
        assert hit.text in text


@pytest.mark.parametrize(
    "text",
    [
        "25 back in stock",
        "25 back issues",
        "sent 25 back",
        "get 25 back",
        "25 backs",
        "backpack 25",
        "back 25 years",
        "'82 back",
        "seat 25B",
        "page 25A",
        "lot 25B",
        "13A plug",
        "plug 13A",
        "25C wash",
        "3D",
        "4K",
        "5G",
        "12V",
        "25L",
        "25MM",
        "AB-25-B",
        "25-B-7",
        "25B7",
        "1,25B",
        "2.5B",
        "1025B",
        "25B&W",
        "25°C",
        "£25 back",
        "025B",
        "25ABC",
        "25b",
        "25 b",
        "25-b",
        "21-25 back",
        "25th back",
        "25TH BACK",
        "25kg back",
        "25 KG BACK",
        "a25B",
        "25.5 back",
    ],
)
def test_what_is_no_designation(text: str) -> None:
    """Each of the written rules for what is none, alone and in a sentence."""
    for around in ("{}", "a {} here"):
        assert not [hit for hit in findall(around.format(text)) if hit.kind == "designation"]


@pytest.mark.parametrize(
    ("text", "hits"),
    [
        ("7K 2046/031", ["code 7K 2046/031"]),
        ("7K2046031", ["code 7K 2046/031"]),
        ("7k 2O46-O31", ["code 7K 2046/031"]),
        ("7K 2O4G-O3I", []),  # four lookalikes are too many
        ("7K ?0?6/0??", ["code 7K ?0?6/0??"]),
        ("7K ????/0??", []),  # more than half is unread
        ("in 1982/083", []),  # a small word is no segment
        ("IN 1982/083", ["code IN 1982/083"]),
        ("17 2046/031", ["code 17 2046/031"]),
        ("172046031", []),  # a bare run of digits may be anything
        ("code 172046031", ["code 17 2046/031"]),
        ("30418024", ["code 30418-02-4"]),  # but a check digit vouches for it
        ("30418025", []),
        ("7K 2046/031-5", []),
        ("x7K 2046/031", []),
        ("7K 2046/031/2", []),
        ("7K 2046/031, 30418-02-4", ["code 7K 2046/031", "code 30418-02-4"]),
    ],
)
def test_package_codes(text: str, hits: list[str]) -> None:
    """Codes are found by the layouts given, with any separators and few lookalikes."""
    assert found(text) == hits


def test_no_codes_without_layouts() -> None:
    """Without a layout nothing is a package code."""
    assert findall("7K 2046/031") == ()


def test_an_exact_code_wins_over_a_lenient_one() -> None:
    """Where one layout's code is written exactly and another could be read, the exact one is taken."""
    loose = CodeLayout([Segment("figure", 4), Segment("back", 5, "alphanumeric", before="-")])
    tight = CodeLayout([Segment("series", 2), Segment("figure", 4, before=" "), Segment("x", 3, before="/")])
    (hit,) = findall("17 2046/031", [loose, tight])
    assert (hit.value.layout, hit.changes) == (tight, ())


def test_changes_have_columns_of_the_whole_text() -> None:
    """What was read as something else is told with its column in the text as given."""
    (hit,) = findall("see 7K 2O46/031", LAYOUTS)
    assert [str(change) for change in hit.changes] == ["O read as 0 at column 9"]
    (hit,) = findall("see 25Β back")
    assert [str(change) for change in hit.changes] == ["Β read as B at column 7"]


@pytest.mark.parametrize(
    ("text", "hits"),
    [
        ("2047183006120", ["barcode 02047183006120"]),
        ("2 047183 006120", ["barcode 02047183006120"]),
        ("4 30711 22059 4", ["barcode 00430711220594"]),
        ("430711-220594", ["barcode 00430711220594"]),
        ("2047183006121", []),
        ("20471 83006 120", []),
        ("21033445", []),
        ("EAN 21033445", ["barcode 00000021033445"]),
        ("tel 430711220594", []),
        ("+430711220594", []),
        ("tracking 430711220594", []),
        ("4307112205940", []),
    ],
)
def test_barcodes(text: str, hits: list[str]) -> None:
    """Barcodes are found as they are printed, when their check digit fits and nothing says otherwise."""
    assert found(text) == hits


@pytest.mark.parametrize(
    ("text", "hits"),
    [
        ("1982", ["date 1982"]),
        ("1979-1982", ["date 1979/1982"]),
        ("1979–82", ["date 1979/1982"]),
        ("1980s", ["date 198X"]),
        ("1899", []),
        ("2040", []),
        ("$1982", []),
        ("1982 EUR", []),
        ("1982-1979", []),
        ("12/05/1982", ["date 1982"]),
        ("1982 pieces", []),
        ("x1982", []),
        ("1982.5", []),
        ("01982", []),
        ("4 mm", ["length 4 mm"]),
        ("1.5cm", ["length 15 mm"]),
        ("1/16 in", ["length 1/16 in"]),
        ('43"', ["length 43 in"]),
        ("25 in box", []),
        ("25 in long", ["length 25 in"]),
        ("2-3 mm", ["length 2-3 mm"]),
        ("about 3 mm", ["length about 3 mm"]),
        ("25 m", []),
        ("mm 25", []),
        ("1,500 mm", []),
    ],
)
def test_dates_and_lengths(text: str, hits: list[str]) -> None:
    """Years, spans of years and decades; numbers with mm, cm and inches."""
    assert found(text) == hits


@pytest.mark.parametrize(("term", "ways"), CONDITION.items(), ids=list(CONDITION))
def test_every_word_of_condition(term: str, ways: tuple[str, ...]) -> None:
    """Each way of saying a term gives that term, in any case, with hyphens, and denied."""
    for way in ways:
        assert (
            found(way)
            == found(f"x {way.upper()}, x")
            == found(way.replace(" ", "-"))
            == [f"condition {term}"]
        )
        if "proof of purchase" not in way:
            assert found(f"no {way}") == [f"condition not {term}"]


@pytest.mark.parametrize(
    ("text", "hits"),
    [
        ("no creases or tears", ["condition not creased", "condition not torn"]),
        ("not unpunched", ["condition not unpunched"]),
        ("w/o veins", ["condition not veins"]),
        ("free of creases", ["condition not creased"]),
        ("no major creases, torn", ["condition not creased", "condition torn"]),
        ("mint green", []),
        ("loose change", []),
        ("sealed bid", []),
        ("complete set", []),
        ("tear drop", []),
        ("bubble wrap", []),
        ("tape measure", []),
        ("unsealed", []),
        ("minted", []),
    ],
)
def test_words_of_condition_in_their_place(text: str, hits: list[str]) -> None:
    """What is denied is said to be, and words with another meaning are left alone."""
    assert found(text) == hits


@given(
    st.one_of(
        st.text(max_size=40),
        st.lists(
            st.sampled_from(
                [
                    "25",
                    "B",
                    "-",
                    " ",
                    "back",
                    "card",
                    "7K",
                    "2046",
                    "/",
                    "031",
                    "$",
                    "1982",
                    "no ",
                    "creased",
                    "lamp",
                    "diver",
                    "mm",
                    ".",
                    "4 30711 22059 4",
                    "?",
                    "O",
                    "'",
                    "é",
                    "２",
                ]
            ),
            max_size=12,
        ).map("".join),
    )
)
def test_any_text_can_be_searched(text: str) -> None:
    """Hits say what stands at their span, in order, without overlapping; each can be pickled."""
    done = 0
    for hit in findall(text, LAYOUTS, NAMES):
        start, end = hit.span
        assert done <= start < end <= len(text)
        assert text[start:end] == hit.text
        assert all(start < change.column <= end + 1 for change in hit.changes)
        assert pickle.loads(pickle.dumps(hit)) == hit  # noqa: S301 - our own bytes
        done = end


@given(
    st.sampled_from(["25B", "7K 2046/031", "2047183006120"]),
    st.text(string.ascii_letters + " .,!", max_size=15),
)
def test_what_is_found_alone_is_found_after_words(text: str, before: str) -> None:
    """Words before, with a space and a bar between, hide nothing."""
    whole = f"{before} | {text}"
    assert [hit.text for hit in findall(whole, LAYOUTS)][-1] == text


@pytest.mark.parametrize("thing", [None, 25, b"25B", ["25B"]], ids=repr)
def test_only_text_is_searched(thing: Any) -> None:
    """What is no string is a TypeError."""
    with pytest.raises(TypeError):
        findall(thing)


@pytest.mark.parametrize(
    "text", ["25B back ", "1 ", "1-", "7K 2046/03", "back :#", "no or ", "lampdiver", "\ud800", "é"]
)
def test_a_long_text_costs_no_more_than_its_length(text: str) -> None:
    """50,000 signs of any pattern are searched; nothing in it is gone through again and again."""
    findall(text * (50_000 // len(text)), LAYOUTS, NAMES)
