"""The verbs check and rules: what they print, and the status they end with."""

import json
import subprocess
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from cardref.checks.table import rules
from cardref.cli import main
from cardref.report.shapes import report_schema
from cardref.specimens.rules import RULES as OWN_RULES
from tests.checks.laid import SAMPLE, cards, laid

SLIP = cards("{id: c-020, face: f-004, back: b-001, sources: [bidner]}")
STICKERS = "lines/lanternfish/stickers.yaml"
NOTE = {
    STICKERS: SAMPLE[STICKERS]
    + "  - {id: badge-offer, kind: offer, text: Free badge!, by: [pell-orrin], sources: [binder]}\n"
}
DAY = ["--today", "2026-11-25"]


def run(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Status, output and errors of one call."""
    status = main(["check", *words, *DAY])
    captured = capsys.readouterr()
    return status, captured.out, captured.err


def test_a_clean_dataset_ends_with_0(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The last line says what was looked at."""
    status, out, _ = run(capsys, str(laid(tmp_path, {})))
    assert status == 0
    assert out.startswith("clean: nothing found in ")


def test_a_slip_ends_with_1_and_is_shown_at_its_place(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """File, line and column, the line itself, and what to do."""
    status, out, _ = run(capsys, str(laid(tmp_path, SLIP)))
    assert status == 1
    assert "pell-orrin.more.yaml\n  4:53 error" in out
    assert "bidner" in out
    assert "did you mean binder?" in out


@pytest.mark.parametrize(("fail_on", "status"), [("error", 0), ("warning", 0), ("note", 1)])
def test_fail_on_sets_what_counts(
    fail_on: str, status: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A note fails only where notes are asked to."""
    assert run(capsys, str(laid(tmp_path, NOTE)), "--fail-on", fail_on)[0] == status


def test_json_has_the_documented_shape(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """It validates against our schema, and nothing but JSON is on standard output."""
    status, out, _ = run(capsys, str(laid(tmp_path, SLIP)), "--format", "json")
    report = json.loads(out)
    Draft202012Validator(report_schema()).validate(report)
    assert status == 1
    assert report["findings"][0]["rule"] == "unknown-link"
    assert report["summary"] == {"error": 1, "warning": 0, "note": 0, "waived": 0}


def test_sarif_and_annotations_name_paths_from_the_top_of_the_repository(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A dataset that is one folder of a repository is found there by what reads the report."""
    folder = laid(tmp_path / "data" / "sample", SLIP)
    subprocess.run(["git", "init", "--quiet"], cwd=tmp_path, check=True)
    _, out, _ = run(capsys, str(folder), "--format", "annotations")
    assert "file=data/sample/lines/lanternfish/cards/pell-orrin.more.yaml,line=4" in out
    _, out, _ = run(capsys, str(folder), "--format", "sarif")
    (sarif,) = json.loads(out)["runs"]
    location = sarif["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]
    assert location["uri"] == "data/sample/lines/lanternfish/cards/pell-orrin.more.yaml"
    assert len(sarif["tool"]["driver"]["rules"]) == len(rules())


def test_files_that_are_named_limit_what_is_told(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The whole dataset is looked at, as an editor or a hook needs it, and one file's findings are told."""
    folder = laid(tmp_path, {**SLIP, "glossary.yaml": "terms: [\n"})
    status, out, _ = run(capsys, str(folder / "glossary.yaml"))
    assert (status, "unknown-link" in out, "yaml-syntax" in out) == (1, False, True)
    status, out, _ = run(capsys, str(folder / "makers.yaml"))
    assert status == 0


def test_a_baseline_accepts_what_was_there_and_nothing_new(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Written once, read from then on; a new slip still fails, and a mended one is told to be stale."""
    folder, baseline = laid(tmp_path / "data", SLIP), str(tmp_path / "baseline.json")
    assert run(capsys, str(folder), "--write-baseline", baseline)[0] == 0
    assert run(capsys, str(folder), "--baseline", baseline)[0] == 0
    laid(folder, {**SLIP, "glossary.yaml": "terms: [\n"})
    assert run(capsys, str(folder), "--baseline", baseline)[0] == 1
    laid(folder, cards("{id: c-020, face: f-004, back: b-001, sources: [binder]}"))
    status, out, _ = run(capsys, str(folder), "--baseline", baseline)
    assert (status, "is there no more" in out) == (0, True)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["no-such-folder"], "does not exist"),
        (["--select", "unknown-lnik"], "did you mean unknown-link"),
        (["--plugin", "not_there"], "cannot be imported"),
        (["--since", "no-such-branch"], "neither a directory nor a git revision"),
        (["--baseline", "no-such-file"], "cannot be read"),
        (["--today", "yesterday"], "no day such as"),
        (["--fail-on", "never"], "--help"),
        (["--format", "xml"], "--help"),
    ],
)
def test_a_wrong_call_ends_with_2_and_the_next_step(
    words: list[str], said: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Never a traceback, and never a status that a CI takes for clean."""
    folder = str(laid(tmp_path, {}))
    words = words if words[0] == "no-such-folder" else [folder, *words]
    assert main(["check", *words]) == 2
    captured = capsys.readouterr()
    assert said in captured.err
    assert "Traceback" not in captured.err


def test_nothing_checked_ends_with_2(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """No rule left to run: the answer is not "clean"."""
    status, out, _ = run(capsys, str(laid(tmp_path, {})), "--select", "links", "--ignore", "links")
    assert (status, "nothing was checked" in out) == (2, True)


def test_rules_lists_every_rule_by_family(capsys: pytest.CaptureFixture[str]) -> None:
    """Each with its severity and summary."""
    assert main(["rules"]) == 0
    out = capsys.readouterr().out
    every: list[Any] = [*rules(), *OWN_RULES]
    assert all(rule.id in out and rule.summary in out for rule in every)
    assert f"{len(every)} rules" in out


def test_one_rule_is_explained_with_its_examples(capsys: pytest.CaptureFixture[str]) -> None:
    """Why it matters, what passes and what fails."""
    assert main(["rules", "unknown-link"]) == 0
    out = capsys.readouterr().out
    assert "passes: lines/lanternfish" in out
    assert "fails: lines/lanternfish" in out
    assert "sources: [bidner]" in out


def test_every_rule_can_be_explained(capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever its examples hold, nothing raw and nothing endless is printed."""
    for rule in rules():
        assert main(["rules", rule.id]) == 0
        out = capsys.readouterr().out
        assert rule.summary in out
        assert all(line.isprintable() for line in out.split("\n"))
        assert len(out) < 8_000


def test_rules_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    """The same data for programs."""
    assert main(["rules", "--format", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    every: list[Any] = [*rules(), *OWN_RULES]
    assert [rule["id"] for rule in told] == [rule.id for rule in every]
    assert all(rule["passes"]["path"] and rule["fails"]["path"] for rule in told)


def test_an_unknown_rule_is_answered_with_the_nearest(capsys: pytest.CaptureFixture[str]) -> None:
    """A misspelt name is no empty answer."""
    assert main(["rules", "count-mismach"]) == 2
    assert "did you mean count-mismatch" in capsys.readouterr().err
