"""A scheme ready to be asked: what segments mean, and whether they agree with each other and the records."""

import pytest
from attrs import evolve

from cardref.facts.answer import Verdict
from cardref.facts.codebook import CodeBook, codebooks, cross_checks
from cardref.index import Index
from cardref.model.maker import BackPolicy
from cardref.notation.code import PackageCode
from tests.facts.indexes import sample, sample_with

PO, MV = "lanternfish/scheme/po", "lanternfish/scheme/mv"
BACK = "lanternfish/pell-orrin/"


def _book(index: Index | None = None) -> CodeBook:
    return codebooks(index or sample())[PO]


def _code(text: str) -> PackageCode:
    return _book().parse(text)


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("L-021/06", ["Lanternfish", "Kelp Weaver", "back count 6"]),
        ("D-031/07", ["Lanternfish: Deepwater", "Night Keeper", "back count 7"]),
        ("L-099/06", ["Lanternfish", "no such segment is recorded", "back count 6"]),
        ("?-02?/0?", ["one of 2: Lanternfish, Lanternfish: Deepwater", "one of 2: Kelp Weaver, Bell Ringer",
                      "one of 2: back count 6, back count 7"]),
        ("L-0??/06", ["Lanternfish", "one of 8: Reef Pilot, Tide Clerk, Brine Smith, Gull Warden, ...",
                      "back count 6"]),
    ],
)  # fmt: skip
def test_segments_are_told_in_words(text: str, labels: list[str]) -> None:
    """What the table says of each; all that an unread sign leaves, the first four by name."""
    meanings = _book().meanings(_code(text))
    assert [meaning.label for meaning in meanings] == labels
    assert [meaning.text for meaning in meanings] == [text[slice(*meaning.span)] for meaning in meanings]
    assert all(meaning.closed for meaning in meanings)


def test_a_segment_without_a_table_is_open() -> None:
    """It means nothing that is recorded, and nothing is wrong with it; a check digit is called one."""
    book = codebooks(sample())[MV]
    figure, check = book.meanings(book.parse("2041-2"))
    assert (figure.closed, figure.label) == (True, "Reef Pilot")
    assert (check.closed, check.label) == (False, "check digit")
    bare = tuple(evolve(segment, table={}) for segment in sample().schemes[PO].segments)
    open_book = _book(sample_with(("scheme", evolve(sample().schemes[PO], segments=bare))))
    assert {m.label for m in open_book.meanings(_code("L-021/06"))} == {
        "no table is recorded for this segment"
    }


def test_the_one_thing_that_a_code_names() -> None:
    """Figure, series and back count, where the table gives one; nothing where several or none are left."""
    book = _book()
    whole, partly = _code("L-021/06"), _code("?-02?/0?")
    assert book.figure(whole) == "lanternfish/figure/kelp-weaver"
    assert book.series(whole) == "lanternfish/series/lanternfish"
    assert book.count(whole) == 6
    assert (book.figure(partly), book.series(partly), book.count(partly)) == ("", "", None)
    assert (book.figure(_code("L-099/99")), book.count(_code("L-099/99"))) == ("", None)
    assert book.has("figure")
    assert not book.has("printing")


def test_words_and_numbers_in_a_back_table() -> None:
    """A count is up to three digits; anything else is words."""
    (*rest, back) = sample().schemes[PO].segments
    table = {"06": "6", "07": "1234", "08": "\u0967", "09": "all of them"}
    scheme = evolve(sample().schemes[PO], segments=(*rest, evolve(back, table=table)))
    book = _book(sample_with(("scheme", scheme)))
    told = [book.senses(book.parse(f"L-021/0{n}"), "back")[0] for n in (6, 7, 8, 9)]
    assert [sense.count for sense in told] == [6, None, None, None]
    assert [sense.words for sense in told] == ["", "1234", "\u0967", "all of them"]


def test_a_code_is_read_in_the_scheme_s_digits_or_in_ascii() -> None:
    """As printed or as written; other digits, or a mix, are no code of the scheme."""
    scheme = evolve(sample().schemes[PO], digits="devanagari")
    book = _book(sample_with(("scheme", scheme)))
    printed = book.printed("L-\u0966\u0968\u0967/\u0966\u096c")
    assert printed is not None
    assert printed.text == "L-021/06"
    assert book.printed("L-021/06") == printed
    assert book.printed("L-\u0966\u0968\u0967/06") is None
    assert book.printed("L-\uff10\uff12\uff11/06") is None
    assert book.written("L-021-06") is None


# --- whether the segments agree --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "verdict", "because"),
    [
        ("L-021/06", Verdict.YES, "Kelp Weaver is pictured on backs of Lanternfish with 6 figures"),
        (
            "L-031/06",
            Verdict.NO,
            "Night Keeper is pictured on no recorded back of Lanternfish with 6 figures",
        ),
        ("L-099/06", Verdict.NO, "'099' is no figure that this scheme is known to have"),
        ("D-021/06", Verdict.UNKNOWN, "no back of Lanternfish: Deepwater with 6 figures is recorded"),
        ("L-0??/06", Verdict.UNKNOWN, ""),
        ("?-021/06", Verdict.UNKNOWN, ""),
        ("L-021/0?", Verdict.UNKNOWN, ""),
        ("L-9??/06", Verdict.NO, "'9??' is no figure that this scheme is known to have"),
        ("?-021/99", Verdict.NO, "'99' is no back that this scheme is known to have"),
    ],
)
def test_a_code_is_held_against_itself_and_the_records(text: str, verdict: Verdict, because: str) -> None:
    """At a glance and in words the same: a no is never a want of records."""
    check = cross_checks(sample())[PO]
    answers = check.answers(_code(text))
    assert check.verdict(_code(text)) is verdict
    told = {answer.verdict for answer in answers}
    worst = Verdict.NO if Verdict.NO in told else Verdict.YES if Verdict.YES in told else Verdict.UNKNOWN
    assert worst is verdict
    assert because in [answer.because for answer in answers] or not because


def test_a_count_under_which_no_code_is_printed_is_no() -> None:
    """A scheme that holds for some counts only: its table may know others."""
    scheme = evolve(sample().schemes[PO], counts=(7,))
    index = sample_with(("scheme", scheme))
    check = cross_checks(index)[PO]
    assert check.verdict(_code("L-021/06")) is Verdict.NO
    assert "no code is printed on fronts for 6 figures" in [
        a.because for a in check.answers(_code("L-021/06"))
    ]


def test_generic_backs_and_unlisted_ones_exclude_nothing() -> None:
    """Where any figure may stand on a back of the count, no figure is excluded."""
    maker = evolve(sample().makers["maker/pell-orrin"], backs=BackPolicy.GENERIC)
    unlisted = evolve(sample().backs[f"{BACK}b-003"], pictures=None)
    for index in (sample_with(("maker", maker)), sample_with(("back", unlisted))):
        check = cross_checks(index)[PO]
        assert check.verdict(_code("L-031/06")) is Verdict.UNKNOWN
        assert [a.because for a in check.answers(_code("L-031/06"))] == [
            "what these backs picture is not recorded"
        ]


def test_the_backs_of_a_code_are_its_makers_of_that_line() -> None:
    """Every back with the count that the code names, of the scheme's makers and line, by designation."""
    stranger = evolve(sample().backs[f"{BACK}b-003"], id="lanternfish/morvane/b-009")
    elsewhere = evolve(sample().backs[f"{BACK}b-003"], id="otherline/pell-orrin/b-009")
    twin = evolve(sample().backs[f"{BACK}b-003"], id=f"{BACK}b-103")
    index = sample_with(("back", stranger), ("back", elsewhere), ("back", twin))
    check = cross_checks(index)[PO]
    assert check.backs(_code("L-021/06")) == (f"{BACK}b-003", f"{BACK}b-103")
    assert check.backs(_code("L-021/0?")) == (f"{BACK}b-003", f"{BACK}b-103", f"{BACK}b-004")
    assert check.backs(_code("L-021/99")) == ()


def test_a_scheme_that_tells_neither_series_nor_back_leaves_it_open() -> None:
    """Nothing to compare with is unknown, with no answers to give."""
    book, check = codebooks(sample())[MV], cross_checks(sample())[MV]
    assert check.verdict(book.parse("2041-2")) is Verdict.UNKNOWN
    assert check.answers(book.parse("2041-2")) == ()
