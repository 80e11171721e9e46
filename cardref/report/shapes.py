"""JSON Schemas (draft 2020-12) of the files that this folder makes: the report and the baseline.

They name every key, and let others be, so that a reader written today goes on working when a key is added.

>>> report_schema()["required"][:3], baseline_schema()["required"]
(['format', 'dataset', 'version'], ['format', 'accepted'])
"""

from typing import Any

from cardref.finding import Severity
from cardref.report import as_json, baseline
from cardref.schema.pieces import TEXT, at_least, described, head, list_of

__all__ = ["baseline_schema", "report_schema"]


def report_schema() -> dict[str, Any]:
    """What ``cardref check --format json`` prints."""
    place = {
        "path": _text("Relative to the dataset, with /."),
        "line": _number(1, "From 1. A finding about a file as a whole is told at 1:1."),
        "column": _number(1, "From 1, in characters."),
    }
    finding = {
        "rule": _text("The id of the rule, as cardref rules lists it."),
        "severity": {
            "enum": [severity.value for severity in reversed(Severity)],
            "description": "error: cannot be true or cannot be read. warning: very likely a slip. "
            "note: incomplete, or could be better.",
        },
        "message": _text("Which record, what is, what was expected, what to do."),
        **place,
        "end_line": _number(1, "The line of the first character no longer meant."),
        "end_column": _number(1, "Its column; equal to the start where only a point is known."),
        "record": _text("The full id of the record, or empty."),
        "field": _text("The key inside the record, dotted, or empty."),
        "related": _list(
            at_least({**place, "message": _text("What stands there.")}), "Other places that belong to it."
        ),
        "fix": {
            "description": "What would mend it, where that is known.",
            "anyOf": [
                {"type": "null"},
                at_least(
                    {
                        "safe": {
                            "type": "boolean",
                            "description": "Whether it cannot change what the record says.",
                        },
                        "message": _text("What the fix does."),
                    }
                ),
            ],
        },
        "fingerprint": {
            "type": "string",
            "pattern": "^[0-9a-f]{16}$",
            "description": "The finding's identity: it stays the same when lines move.",
        },
    }
    return {
        **head("report", "What a check found", as_json.FORMAT),
        "description": "In every text, controls and format signs of the data stand as visible escapes.",
        **at_least(
            {
                "format": {"const": as_json.FORMAT, "description": "The version of this shape."},
                "dataset": _text("What was checked, as it was given."),
                "version": _text("The dataset's version; empty where it could not be read."),
                "checked": at_least(
                    {
                        "files": _number(0, "Files read."),
                        "records": _number(0, "Records seen."),
                        "rules": _number(0, "Rules run. With no file or no rule, nothing was checked."),
                    }
                ),
                "findings": _list(at_least(finding), "All of them, in the order of files and lines."),
                "waived": _list(
                    at_least({**finding, "reason": _text("Why it is accepted.")}),
                    "Findings that a waiver or a baseline accepts.",
                ),
                "skipped": _list(
                    at_least(
                        {
                            "rule": _text("The id of the rule."),
                            "reason": _text("Why, and what it says nothing about."),
                        }
                    ),
                    "Rules that could not be run, or not over everything.",
                ),
                "stale": _list(_accepted(), "What the baseline accepts and nothing matches any more."),
                "summary": at_least(
                    {
                        "error": _number(0, "Errors among the findings."),
                        "warning": _number(0, "Warnings."),
                        "note": _number(0, "Notes."),
                        "waived": _number(0, "Waived findings; they are in none of the other numbers."),
                    }
                ),
            }
        ),
    }


def baseline_schema() -> dict[str, Any]:
    """What ``cardref check --write-baseline`` writes and ``--baseline`` reads."""
    return {
        **head("baseline", "Findings that are accepted because they were there before", baseline.FORMAT),
        **at_least(
            {
                "format": {"const": baseline.FORMAT, "description": "The version of this shape."},
                "accepted": _list(
                    _accepted() | {"additionalProperties": False}, "In order of rule, record and field."
                ),
            }
        ),
    }


def _accepted() -> dict[str, Any]:
    return at_least(
        {
            "rule": _text("The id of the rule."),
            "record": _text("The full id of the record, else the path of the file."),
            "field": _text("The key inside the record, or empty."),
            "fingerprint": _text("The identity of the findings; it alone decides what matches."),
            "count": _number(1, "How many of them."),
        }
    )


def _list(items: dict[str, Any], description: str) -> dict[str, Any]:
    return described(list_of(items), description)


def _text(description: str) -> dict[str, Any]:
    return described(TEXT, description)


def _number(least: int, description: str) -> dict[str, Any]:
    return described({"type": "integer", "minimum": least}, description)
