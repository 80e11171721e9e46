"""The annotation format: every line is a command of ours, and data cannot make another one."""

import re

from hypothesis import example, given
from hypothesis import strategies as st

from cardref.finding import Fix, Related, Report, Severity, Skipped
from cardref.location import Place
from cardref.report import render_annotations
from tests.report.made import finding, report, reports, texts

COMMAND = re.compile(r"::(error|warning|notice) ((?:[A-Za-z]+=[^:,\r\n]*)(?:,[A-Za-z]+=[^:,\r\n]*)*)::(.*)\n")


def _lines(made: Report, base: str = "") -> list[str]:
    return list(render_annotations(made, base=base))


def _unescaped(text: str) -> str:
    """What the CI service makes of an escaped text: its own replacements, ``%25`` last."""
    for code, sign in (("%0D", "\r"), ("%0A", "\n"), ("%3A", ":"), ("%2C", ","), ("%25", "%")):
        text = text.replace(code, sign)
    return text


def test_one_finding_in_full() -> None:
    """A finding is one line with its place from the top of the repository, its rule, and the rest."""
    made = finding(
        related=(Related(Place("line.yaml", 3, 1), "the wave"),), fix=Fix("write count: 24", safe=True)
    )
    assert _lines(report(made), "data/set") == [
        (
            "::error file=data/set/backs.yaml,line=2,endLine=2,col=8,endColumn=9,title=count-mismatch::"
            "quay-marl 25B pictures 24 figures, its count says 25"
            "%0Asee line.yaml:3:1: the wave%0Afix: write count: 24\n"
        ),
        "::notice title=cardref::1 error in 1 of 3 files (40 records, 62 rules)\n",
    ]


def test_severities_have_their_commands() -> None:
    """Error, warning and note become the three levels that annotations have."""
    lines = _lines(report(*[finding(severity=severity) for severity in Severity]))
    assert [line.split()[0] for line in lines[:3]] == ["::notice", "::warning", "::error"]


def test_a_whole_file_has_no_line_and_a_long_span_no_columns() -> None:
    """Only what is known is said: no line for a file as a whole, no columns over several lines."""
    whole, long, *_ = _lines(report(finding(place=Place("f")), finding(place=Place("f", 2, 8, 4, 1))))
    assert whole.startswith("::error file=f,title=")
    assert long.startswith("::error file=f,line=2,endLine=4,title=")


def test_nothing_checked_is_an_error_of_its_own() -> None:
    """A check that saw nothing does not pass in silence, and a skipped rule is a warning."""
    assert _lines(Report(dataset="d")) == [
        "::error title=cardref::nothing was checked: no file could be read\n"
    ]
    assert "::warning title=cardref::not run in full: r: why\n" in _lines(
        report(skipped=(Skipped("r", "why"),))
    )


@given(reports, st.sampled_from(["", "dataset", "a:b,c"]))
def test_every_line_is_one_command_of_ours(made: Report, base: str) -> None:
    """The bytes: whatever the data says, each line begins with our command and holds no other line end."""
    for line in _lines(made, base):
        assert COMMAND.fullmatch(line)
        assert not re.search(rb"[\x00-\x09\x0b-\x1f\x7f]", line.encode())
        assert b"\n" not in line.encode()[:-1]
        assert "##[" not in line
        assert "##vso[" not in line


@given(texts.filter(str.isprintable), texts.filter(str.isprintable))
@example("50%0A.yaml", "a%3Ab,c:d")
def test_escaping_can_be_undone(path: str, rule: str) -> None:
    """Decoding a property as the CI service does gives back the path and the rule."""
    if "##" in path + rule or "::" in path + rule:
        return  # shown with a visible escape
    line = _lines(report(finding("m", rule=rule, place=Place(path, 1, 1))))[0]
    match = COMMAND.fullmatch(line)
    assert match
    properties = dict(part.split("=", 1) for part in match[2].split(","))
    assert _unescaped(properties.get("file", "")) == path
    assert _unescaped(properties["title"]) == rule
