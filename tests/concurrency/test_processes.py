"""References and answers in other processes: equal there, of a sensible size, and nobody waits for ever."""

import json
import pickle
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

import cardref
from cardref.checks.sample import write_sample
from cardref.errors import CardrefError
from cardref.storage.atomic import ChangedMeanwhile
from cardref.tables.sheetfile import SheetError
from tests.concurrency.questions import QUESTIONS, ask

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def sample(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample as a dataset."""
    return write_sample(tmp_path_factory.mktemp("processes") / "dataset")


@pytest.fixture(scope="module")
def ref() -> cardref.Reference:
    """The bundled reference."""
    return cardref.load()


def _again(value: Any) -> Any:
    return pickle.loads(pickle.dumps(value))  # noqa: S301 - our own bytes


def test_another_process_answers_alike(sample: Path) -> None:
    """By fork, spawn and a fork server; also forked off in the middle of busy threads and of first use."""
    done = subprocess.run(
        [
            sys.executable,
            "-W",
            "ignore::DeprecationWarning",
            "-m",
            "tests.concurrency.processes",
            str(sample),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    told = json.loads(done.stdout)
    assert told == dict.fromkeys(
        ("fork", "spawn", "forkserver", "busy", "within first use", "answers"), "equal"
    )


@pytest.mark.parametrize("name", QUESTIONS)
def test_answers_pickle_and_compare_equal(sample: Path, name: str) -> None:
    """What a question gives, before and after the reference was used for all others."""
    first = cardref.load(sample)
    fresh = ask(first, name)
    assert _again(fresh) == fresh
    other = _again(first)
    for one in QUESTIONS:
        ask(first, one)
    assert ask(_again(first), name) == ask(other, name) == fresh


def _faulty(folder: Path) -> Path:
    root = write_sample(folder / "faulty")
    makers = root / "makers.yaml"
    makers.write_text(
        makers.read_text().replace("country:", "contry:").replace("active: 1981", "active: 19x1")
    )
    return root


def test_findings_and_errors_pickle_and_compare_equal(tmp_path: Path, ref: cardref.Reference) -> None:
    """A report with findings and fixes, and every kind of exception with all that it carries."""
    root = _faulty(tmp_path)
    report = cardref.check(root)
    assert len(report.findings) > 2
    assert any(finding.fix for finding in report.findings)
    assert _again(report) == report
    assert hash(_again(report.findings[0])) == hash(report.findings[0])
    raising: list[Callable[[], object]] = [
        lambda: cardref.Designation.parse("25!"),
        lambda: cardref.Date.parse("19x"),
        lambda: cardref.Length.parse("4 mn"),
        lambda: cardref.Gtin.parse("12"),
        lambda: cardref.load(root),
        lambda: ref.back("zonk"),
        lambda: ref.back("quay-marl 25"),
        ref.vet,
        lambda: ref.identify(line="tidewrack", zonk="x"),
    ]
    errors: list[CardrefError] = [
        ChangedMeanwhile("changed", report.findings),
        SheetError("a-rule", 3, "why"),
    ]
    for one in raising:
        with pytest.raises(CardrefError) as caught:
            one()
        errors.append(caught.value)
    for error in errors:
        other = _again(error)
        assert type(other) is type(error)
        assert (str(other), vars(other)) == (str(error), vars(error))


def test_sizes_are_those_of_what_is_told(ref: cardref.Reference) -> None:
    """A reference takes less than its YAML; an answer takes what it says, and not the reference with it."""
    files = sum(path.stat().st_size for path in (ROOT / "dataset").rglob("*.yaml"))
    size = len(pickle.dumps(ref))
    assert size < files * 1.5
    for name in QUESTIONS:
        ask(ref, name) if name not in ("check", "compare") else None
    assert len(pickle.dumps(ref)) == size  # what was worked out meanwhile is left here
    ident = ref.identify(line="tidewrack").observe("back-count", 25)
    assert size < len(pickle.dumps(ident)) < size * 1.6  # goes on elsewhere, so it takes its records along
    small = {
        "decoding": ref.decode("7K 2O46/031"),
        "candidate": ident.candidates[0],
        "fits": ident.candidates[0].fits,
        "conclusion": ident.conclusion,
        "next": ident.next_features,
        "vetting": ref.vet(figure="lamp-diver", back="quay-marl 21A"),
        "hits": ref.read("lamp diver 25B near mint"),
        "record": ref.back("quay-marl 25B"),
    }
    for name, value in small.items():
        assert len(pickle.dumps(value)) < 20_000, name
        assert _again(value) == value, name


def test_a_candidate_that_was_sent_on_still_says_why(ref: cardref.Reference) -> None:
    """What speaks for it, and where each statement comes from, goes with it."""
    ident = ref.identify(line="tidewrack").observe("back-count", 25).observe("maker", "quay-marl")
    for candidate in ident.candidates[:3]:
        other = _again(candidate)
        assert (other, other.fits, str(other)) == (candidate, candidate.fits, str(candidate))
        assert [fit.where for fit in other.fits] == [fit.where for fit in candidate.fits]
        assert any(getattr(fit.where, "records", ()) for fit in other.fits)
        assert [_again(fit).where for fit in candidate.fits] == [fit.where for fit in candidate.fits]
