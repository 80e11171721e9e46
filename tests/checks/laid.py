"""The sample dataset with files laid over it, checked: shared by the tests of the checks."""

import datetime as dt
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from cardref.checks.rule import Example
from cardref.checks.runner import check
from cardref.checks.sample import SAMPLE, write_sample
from cardref.finding import Finding, Report

Files = Mapping[str, str | bytes | None]
"""Path to what the file holds; None for no file."""

TODAY = dt.date(2026, 11, 25)
CARDS = "lines/lanternfish/cards/pell-orrin.more.yaml"
BACKS = "lines/lanternfish/backs/pell-orrin.more.yaml"
FACES = "lines/lanternfish/faces/pell-orrin.more.yaml"
HEAD = "line: lanternfish\nmaker: pell-orrin\n"


def laid(folder: Path, files: Files) -> Path:
    """The sample in ``folder`` with these files laid over it; None takes a file away."""
    write_sample(folder)
    for path, text in files.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        if text is None:
            target.unlink()
        else:
            target.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return folder


def checked(folder: Path, files: Files, **how: Any) -> Report:
    """A check of the sample with these files laid over it."""
    return check(laid(folder, files), **{"today": TODAY, **how})


def edited(path: str, *changes: tuple[str, str]) -> dict[str, str | bytes | None]:
    """One file of the sample, changed: every old text must be there once."""
    text = SAMPLE[path]
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return {path: text}


def cards(*records: str) -> dict[str, str | bytes | None]:
    """A file with more cards of the home maker; each record is the lines behind its dash."""
    return {CARDS: HEAD + "cards:\n" + "".join(f"  - {record}\n" for record in records)}


def told(report: Report) -> list[str]:
    """Findings as short texts: place, rule and message."""
    return [f"{finding.place} {finding.rule}: {finding.message}" for finding in report.findings]


def one(report: Report, rule: str) -> Finding:
    """The one finding of a rule."""
    (finding,) = [finding for finding in report.findings if finding.rule == rule]
    return finding


def rules_told(report: Report) -> list[str]:
    """The rules that had something to say, in order."""
    return [finding.rule for finding in report.findings]


__all__ = [
    "BACKS",
    "CARDS",
    "FACES",
    "HEAD",
    "SAMPLE",
    "TODAY",
    "Example",
    "Files",
    "cards",
    "checked",
    "edited",
    "laid",
    "one",
    "rules_told",
    "told",
]
