"""The text format: what is said, in which order, and that it is true and harmless."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.finding import Accepted, Edit, Fix, Related, Report, Severity, Skipped
from cardref.location import Place
from cardref.report import render_text
from tests.report.made import finding, report, reports, texts

SOURCE = "b-017:\n count: 25\n"


def _text(made: Report, *, colour: bool = False, source: str | None = None) -> str:
    return "".join(render_text(made, colour=colour, source=None if source is None else lambda _: source))


def test_one_finding_in_full() -> None:
    """A finding shows place, severity, message, rule, excerpt with carets, the other place and the fix."""
    made = finding(
        related=(Related(Place("line.yaml", 3, 1), "the wave that debuts it"),),
        fix=Fix("write count: 24", safe=False),
    )
    assert _text(report(made), source=SOURCE) == (
        "backs.yaml\n"
        "  2:8 error quay-marl 25B pictures 24 figures, its count says 25 [count-mismatch]\n"
        "    2 |  count: 25\n"
        "      |        ^^\n"
        "    see line.yaml:3:1: the wave that debuts it\n"
        "    fix: write count: 24 (unsafe: look before you apply it)\n"
        "\n"
        "1 error in 1 of 3 files (40 records, 62 rules)\n"
    )


def test_findings_are_grouped_by_file_in_the_order_of_the_report() -> None:
    """A file is named once, where its first finding stands, and keeps the order of its findings."""
    made = [
        finding("one", place=Place("b.yaml", 9, 1)),
        finding("two", place=Place("a.yaml", 1, 1)),
        finding("three", place=Place("b.yaml", 2, 1)),
    ]
    heads = [
        line for line in _text(report(*made)).splitlines() if line.endswith(("yaml", "[count-mismatch]"))
    ]
    assert [line.strip().split(" [")[0] for line in heads] == [
        "b.yaml",
        "9:1 error one",
        "2:1 error three",
        "a.yaml",
        "1:1 error two",
    ]


def test_a_finding_about_a_whole_file_claims_no_line() -> None:
    """Line 0 is told as the whole file, and shows no excerpt."""
    text = _text(report(finding("is empty", place=Place("backs.yaml"))), source=SOURCE)
    assert "  whole file: error is empty [count-mismatch]\n\n" in text


def test_a_finding_about_the_dataset_names_the_dataset() -> None:
    """With no path, the group is headed by words and not by an empty line."""
    assert _text(report(finding("has no dataset.yaml", place=Place("")))).startswith("the dataset\n")


@pytest.mark.parametrize(
    ("place", "source", "carets"),
    [
        (Place("f", 1, 3, 1, 5), "ab파도c", "  ^^^^"),
        (Place("f", 1, 1, 3, 1), "abc\nd", "^^^"),
        (Place("f", 1, 4), "abc", "   ^"),
        (Place("f", 1, 2, 1, 99), "abc\r\n", " ^^"),
        (Place("f", 1, 2, 1, 3), "a\x1bb", " ^^^^"),
        (Place("f", 1, 0, 0, 0), "abc", "^"),
    ],
)
def test_carets_stand_under_what_is_meant(place: Place, source: str, carets: str) -> None:
    """Wide signs, spans over lines, line ends, escapes and spans that are too long keep the carets true."""
    lines = _text(report(finding(place=place)), source=source).splitlines()
    assert lines[3] == "      | " + carets


@pytest.mark.parametrize(
    ("place", "source"), [(Place("f", 7, 1), "abc"), (Place("f", 1, 9), "abc"), (Place("f", 1, 1), "")]
)
def test_no_excerpt_of_what_is_not_there(place: Place, source: str) -> None:
    """A place outside the text that is at hand (the file may have changed) shows no excerpt."""
    assert "|" not in _text(report(finding(place=place)), source=source)


def test_a_line_separator_in_data_does_not_shift_the_excerpt() -> None:
    """Only a newline ends a line: other signs at which Python would split do not."""
    assert "2 | two" in _text(report(finding(place=Place("f", 2, 1))), source="one\x0b\u2028\x85x\ntwo")


def test_a_source_is_asked_for_once_a_file_and_only_if_needed() -> None:
    """Excerpts read a file on the first finding in it, and never again."""
    asked: list[str] = []

    def source(path: str) -> str:
        asked.append(path)
        return SOURCE

    made = [finding("x"), finding("y"), finding("z", place=Place("other.yaml"))]
    list(render_text(report(*made), source=source))
    assert asked == ["backs.yaml"]


def test_a_thousand_equal_findings_take_four_lines() -> None:
    """Alike findings of a file are counted after the third, although names and numbers in them differ."""
    made = [
        finding(f"quay-marl {n}B pictures {n} figures, not 'x{n}'", place=Place("f", n + 1, 1))
        for n in range(1000)
    ]
    lines = _text(report(*made)).splitlines()
    assert len([line for line in lines if "pictures" in line]) == 3
    assert "  and 997 more of count-mismatch in this file" in lines
    assert lines[-1] == "1000 errors in 1 of 3 files (40 records, 62 rules)"


def test_four_equal_findings_are_all_shown() -> None:
    """Nothing is held back to print "and 1 more" in its place."""
    assert "more of" not in _text(report(*[finding(f"is {n}") for n in range(4)]))


def test_equal_findings_over_many_files_are_summarised_too() -> None:
    """Thirty alike findings are shown in all; those in further files are counted, with the first place."""
    made = [finding(f"is {n}", place=Place(f"f{n:04}.yaml", 5, 1)) for n in range(1000)]
    text = _text(report(*made))
    assert text.count("[count-mismatch]") == 30
    assert text.count(".yaml\n") == 30
    assert "and 970 more of count-mismatch in 970 other files, the first at f0030.yaml:5:1; " in text


def test_different_findings_of_one_rule_are_all_shown() -> None:
    """What is counted is what is worded alike, not what a rule says: each wording is seen."""
    wordings = [
        "count is missing",
        "maker is missing",
        "counts is no field",
        "letter is no text",
        "is empty",
        "odd",
    ]
    text = _text(report(*[finding(wording) for wording in wordings]))
    assert all(wording in text for wording in wordings)
    assert "more of" not in text


@given(reports)
def test_every_finding_is_shown_or_counted(made: Report) -> None:
    """The numbers of the last line are those of the report, whatever was held back above."""
    last = _text(made).splitlines()[-1]
    for severity, number in made.counts.items():
        assert (f"{number} {severity.value}" in last) == bool(number)


@given(reports, texts)
def test_nothing_in_the_output_acts(made: Report, source: str) -> None:
    """No control or format sign, no command of a CI log and no lone surrogate is in the text format."""
    for line in render_text(made, source=lambda _: source):
        assert line.endswith("\n")
        assert not line.lstrip().startswith("::")
        assert "##[" not in line
        assert "##vso[" not in line
        assert not {unicodedata.category(sign) for sign in line[:-1]} & {"Cc", "Cs", "Zl", "Zp"}
        line.encode()


@given(reports)
def test_colour_only_emphasises(made: Report) -> None:
    """Without the colours, the coloured text is the plain one."""
    coloured = _text(made, colour=True)
    for code in ("\x1b[1m", "\x1b[1;31m", "\x1b[1;33m", "\x1b[2m", "\x1b[0m"):
        coloured = coloured.replace(code, "")
    assert coloured == _text(made)


@pytest.mark.parametrize(
    ("made", "last"),
    [
        (Report(dataset="d"), "nothing was checked: no file could be read"),
        (Report(dataset="d", files=2), "nothing was checked: no rule was run"),
        (
            Report(dataset="d", findings=(finding(place=Place("d")),), rules=1),
            "nothing was checked: no file could be read; 1 error",
        ),
        (
            Report(dataset="d", findings=(finding(), finding(place=Place("gone"))), files=1, rules=1),
            "2 errors in 1 file (0 records, 1 rule)",
        ),
        (report(), "clean: nothing found in 3 files (40 records, 62 rules)"),
        (report(finding(severity=Severity.NOTE)), "1 note in 1 of 3 files (40 records, 62 rules)"),
        (
            report(waived=(finding(waived="disputed"),)),
            "nothing found in 3 files (40 records, 62 rules); 1 waived",
        ),
        (
            report(skipped=(Skipped("back-order", "backs.yaml cannot be read"),)),
            "nothing found in 3 files (40 records, 62 rules); 1 rule not run in full",
        ),
        (
            report(
                finding(fix=Fix("write 24", safe=True, edits=(Edit(Place("f", 1, 1), "24"),))),
                finding(severity=Severity.WARNING, fix=Fix("write 24", safe=True)),
            ),
            "1 error, 1 warning in 1 of 3 files (40 records, 62 rules); cardref fix can mend 1",
        ),
    ],
)
def test_the_last_line_is_true(made: Report, last: str) -> None:
    """Clean is said only when something was checked, all of it, and nothing at all was found."""
    assert _text(made).splitlines()[-1] == last


def test_skipped_rules_are_told_with_their_reason() -> None:
    """Rules that could not be run are named, together where the reason is one."""
    skipped = [Skipped(f"rule-{n}", "backs.yaml cannot be read") for n in range(5)]
    text = _text(report(skipped=(*skipped, Skipped("other", "no base version was given"))))
    assert "not run in full: rule-0, rule-1, rule-2 and 2 more: backs.yaml cannot be read\n" in text
    assert "not run in full: other: no base version was given\n" in text


def test_a_rule_held_back_twice_is_counted_once() -> None:
    """A rule can be held back for two lines with two reasons; it is still one rule."""
    text = _text(report(skipped=(Skipped("a", "one line cannot be read"), Skipped("a", "nor another"))))
    assert text.splitlines()[-1].endswith("; 1 rule not run in full")


@pytest.mark.parametrize(
    ("made", "clean"),
    [
        (report(), True),
        (report(finding(severity=Severity.NOTE)), True),
        (report(waived=(finding(waived="disputed"),)), True),
        (report(finding(severity=Severity.WARNING)), False),
        (report(skipped=(Skipped("a", "why"),)), False),
        (Report(dataset="d", rules=1), False),
        (Report(dataset="d", files=1), False),
    ],
)
def test_a_report_is_clean_only_if_all_was_checked(made: Report, clean: bool) -> None:
    """Notes and waived findings leave a report clean; a rule held back, or nothing checked, does not."""
    assert made.clean is clean


def test_stale_entries_are_told_with_the_next_step() -> None:
    """What the baseline accepts in vain is named, and how to be rid of it."""
    made = Report(
        dataset="d",
        files=1,
        rules=1,
        stale=tuple(Accepted("no-source", f"b-{n}", "sources", "0" * 16, 1 + n) for n in range(5)),
    )
    text = _text(made)
    assert "baseline: no-source b-0 sources is there no more\n" in text
    assert "baseline: no-source b-1 sources (2 times) is there no more\n" in text
    assert "baseline: and 2 more entries\n" in text
    assert "--write-baseline" in text


@given(st.integers(0, 3), st.integers(0, 3), st.integers(0, 3), st.integers(0, 3))
def test_a_span_counts_from_one_and_never_runs_backwards(line: int, column: int, last: int, end: int) -> None:
    """Place.span mends what a place leaves open, and changes nothing that is right."""
    span = Place("f", line, column, last, end).span
    assert min(span) >= 1
    assert span[:2] <= span[2:]
    if min(line, column, last, end) >= 1 and (line, column) <= (last, end):
        assert span == (line, column, last, end)
