"""The baseline: accepts what was there, no more, says what is gone, and refuses what is no baseline."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from cardref.errors import UsageError
from cardref.finding import Accepted, Report, Skipped
from cardref.location import Place
from cardref.report import apply_baseline, read_baseline, render_baseline
from cardref.report.baseline import REASON
from cardref.report.shapes import baseline_schema
from tests.report.made import finding, report, reports

ENTRY = {"rule": "r", "record": "x", "field": "f", "fingerprint": "0" * 16, "count": 1}


def _baseline(made: Report) -> tuple[Accepted, ...]:
    return read_baseline("".join(render_baseline(made)))


@given(reports)
def test_a_report_is_clean_under_its_own_baseline(made: Report) -> None:
    """Writing and applying leaves no finding, loses none, and leaves nothing stale."""
    after = apply_baseline(made, _baseline(made))
    assert after.findings == ()
    assert [f.fingerprint for f in after.waived[len(made.waived) :]] == [f.fingerprint for f in made.findings]
    assert after.stale == made.stale


@given(reports)
def test_writing_again_under_a_baseline_changes_nothing(made: Report) -> None:
    """What the baseline accepts stays in it when it is written from the report it was applied to."""
    text = "".join(render_baseline(made))
    assert "".join(render_baseline(apply_baseline(made, read_baseline(text)))) == text


@given(st.lists(st.integers(0, 20), unique=True), st.randoms(use_true_random=False))
def test_the_file_does_not_depend_on_order(numbers: list[int], random: Any) -> None:
    """Findings in another order, at other lines, give the same bytes: a diff shows only what changed."""
    made = [finding(record=f"b-{n}", place=Place("f", n + 1, 1)) for n in numbers]
    moved = [finding(record=f"b-{n}", place=Place("f", n + 7, 3)) for n in numbers]
    random.shuffle(moved)
    assert list(render_baseline(report(*made))) == list(render_baseline(report(*moved)))


@given(reports)
def test_the_file_fits_its_schema_and_is_ascii(made: Report) -> None:
    """Whatever the findings say, the file is valid against the published schema and harmless to show."""
    text = "".join(render_baseline(made))
    Draft202012Validator(baseline_schema()).validate(json.loads(text))
    assert text.isascii()


def test_one_entry_a_line() -> None:
    """The form that reviews well: sorted, one line for an identity, with how often it stands there."""
    made = report(finding(record="b"), finding(record="a"), finding(record="a"))
    a, b = finding(record="a").fingerprint, finding(record="b").fingerprint
    assert "".join(render_baseline(made)) == (
        '{"format": 1, "accepted": [\n'
        f'{{"rule": "count-mismatch", "record": "a", "field": "count", "fingerprint": "{a}", "count": 2}},\n'
        f'{{"rule": "count-mismatch", "record": "b", "field": "count", "fingerprint": "{b}", "count": 1}}\n'
        "]}\n"
    )


def test_an_entry_without_a_record_names_the_file() -> None:
    """Who reads the file sees where the finding stood."""
    (entry,) = _baseline(report(finding(record="", place=Place("backs.yaml"))))
    assert entry.record == "backs.yaml"


def test_a_waiver_of_the_dataset_needs_no_entry() -> None:
    """What the dataset itself accepts, with reason and expiry, is not accepted a second time for ever."""
    assert _baseline(report(waived=(finding(waived="disputed until the spring"),))) == ()


def test_a_third_where_two_were_is_new() -> None:
    """An entry accepts as many findings as it counts; one more of the same identity is found."""
    after = apply_baseline(report(*[finding()] * 3), _baseline(report(*[finding()] * 2)))
    assert (len(after.findings), len(after.waived)) == (1, 2)
    assert {f.waived for f in after.waived} == {REASON}


def test_a_changed_value_is_new_and_the_old_one_stale() -> None:
    """A finding whose offending value changed was not accepted."""
    after = apply_baseline(report(finding(value="26")), _baseline(report(finding(value="25"))))
    assert len(after.findings) == 1
    assert [(entry.record, entry.count) for entry in after.stale] == [("night-post/b-002", 1)]


def test_half_an_entry_gone_is_stale_by_half() -> None:
    """Of two accepted findings one is mended: the entry is stale for the other one's count."""
    after = apply_baseline(report(finding()), _baseline(report(finding(), finding())))
    assert [entry.count for entry in after.stale] == [1]


def test_a_rule_that_did_not_look_leaves_no_entry_stale() -> None:
    """Entries of a rule that was skipped, or not asked for, are not told as gone."""
    baseline = _baseline(report(finding()))
    assert apply_baseline(report(skipped=(Skipped("count-mismatch", "why"),)), baseline).stale == ()
    assert apply_baseline(report(), baseline, ran={"other"}).stale == ()
    assert len(apply_baseline(report(), baseline, ran={"count-mismatch"}).stale) == 1


def test_a_finding_that_got_a_waiver_keeps_its_entry_from_being_stale() -> None:
    """The finding is still there, only accepted in another way; its own reason stays."""
    after = apply_baseline(report(waived=(finding(waived="disputed"),)), _baseline(report(finding())))
    assert after.stale == ()
    assert [f.waived for f in after.waived] == ["disputed"]


def test_an_entry_left_twice_by_a_merge_counts_once() -> None:
    """Two branches that both accept a finding do not make room for a second one."""
    one, two = _baseline(report(finding())), _baseline(report(finding(), finding()))
    assert len(apply_baseline(report(finding(), finding()), one + one).findings) == 1
    for merged in (one + two, two + one):
        assert apply_baseline(report(finding(), finding()), merged).findings == ()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "line 1, column 1: this is not JSON"),
        ('{"format": 1,\n "accepted": [,]}', "line 2, column 15: this is not JSON"),
        ("<<<<<<< HEAD\n", "this is not JSON"),
        ("\ufeff{}", "this is not JSON"),
        ("[" * 100_000, "nesting without end"),
        ("9" * 5_000, "a number"),
        ("[]", "expected an object"),
        ('{"accepted": []}', "expected an object"),
        ('{"format": 1, "accepted": {}}', "expected an object"),
        ('{"format": 2, "accepted": []}', "it has format 2"),
        ('{"format": true, "accepted": []}', "it has format True"),
        ('{"format": "\\u001b[31m", "accepted": []}', "it has format \\x1b[31m"),
        ('{"format": 1, "accepted": [7]}', "entry 1: expected an object"),
        *(
            (json.dumps({"format": 1, "accepted": [ENTRY, ENTRY | change]}), f"entry 2: {words}")
            for change, words in (
                ({"more": 1}, "expected an object"),
                ({"rule": None}, "rule is no text"),
                ({"fingerprint": 12}, "fingerprint is no text"),
                ({"count": 0}, "count is no number"),
                ({"count": True}, "count is no number"),
                ({"count": 1.5}, "count is no number"),
                ({"count": float("nan")}, "count is no number"),
            )
        ),
    ],
)
def test_what_is_no_baseline_is_refused_with_the_next_step(text: str, words: str) -> None:
    """The error names the file and the place in it, and says what to do; no other exception gets out."""
    with pytest.raises(UsageError) as caught:
        read_baseline(text, "accepted.json")
    assert words in str(caught.value)
    assert str(caught.value).startswith("'accepted.json' is not a baseline: ")
    assert "--write-baseline" in str(caught.value)
