"""``cardref rules [RULE]``: what the checks want, and why."""

import argparse
from collections.abc import Iterable
from typing import Any

from cardref.checks.rule import Example, Rule
from cardref.checks.runner import plan
from cardref.cli.common import add_format, print_json, print_table
from cardref.specimens.rules import RULES as OWN_RULES
from cardref.specimens.rules import FileRule
from cardref.text import clip, count_of, visible, wrapped

SUMMARY = "What the rules want and why it matters; for one rule also a passing and a failing example."
EXAMPLE = "cardref rules count-mismatch"

AnyRule = Rule | FileRule
"""A rule for datasets, or one for files of the user's own."""

_LONGEST = 40
"""No example is shown with more lines."""

_NEEDS = {
    "base": "an earlier version to compare with (--since or --base)",
    "under": "a dataset that this one lies over (--over)",
    "outcome": "what the other rules found",
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("rules", nargs="*", metavar="RULE", help="rules or families; all when none is named")
    add_format(parser, "text", "json")
    parser.add_argument(
        "--plugin",
        metavar="MODULE",
        action="append",
        default=[],
        help="rules of your own; MODULE is imported",
    )


def run(args: argparse.Namespace) -> int:
    """Print the answer."""
    chosen = _chosen(args.rules, args.plugin)
    if args.format == "json":
        print_json([_plain(rule) for rule in chosen])
    elif len(chosen) == 1 and args.rules:
        _explain(chosen[0])
    else:
        _list(chosen)
    return 0


def _chosen(names: list[str], plugins: list[str]) -> tuple[AnyRule, ...]:
    """The rules for datasets and those for files of the user's own, or the ones that are named."""
    own = tuple(rule for rule in OWN_RULES if not names or {rule.id, rule.family} & set(names))
    known = {name for rule in own for name in (rule.id, rule.family)}
    others = [name for name in names if name not in known]
    if names and not others:
        return own
    return (*plan(plugins=plugins, select=others).chosen, *own)


def _list(rules: Iterable[AnyRule]) -> None:
    families: dict[str, list[AnyRule]] = {}
    for rule in rules:
        families.setdefault(rule.family, []).append(rule)
    for family, members in families.items():
        rows = [
            (rule.id, rule.severity.value, rule.fix and f"{rule.fix} fix", rule.summary) for rule in members
        ]
        print_table((family, "", "", ""), rows)
        print()
    number = sum(map(len, families.values()))
    print(f"{count_of(number, 'rule')}; `cardref rules RULE` says why, with examples")


def _explain(rule: AnyRule) -> None:
    print(f"{visible(rule.id)} ({rule.severity.value}, {visible(rule.family)})")
    print(visible(rule.summary))
    print()
    print("\n".join(wrapped(visible(rule.rationale))))
    if rule.needs:
        kinds = [need for need in rule.needs if need not in _NEEDS]
        parts = [_NEEDS[need] for need in rule.needs if need in _NEEDS]
        if kinds:
            parts.append(f"every record of these kinds: {', '.join(kinds)}")
        print(f"needs: {'; '.join(parts)}")
    print(f"fix: {rule.fix or 'none'}")
    for title, example in (("passes", rule.good), ("fails", rule.bad)):
        print()
        print(f"{title}: {visible(example.path)}{_made(example)}")
        lines = example.text.rstrip("\n").split("\n")
        for line in lines[:_LONGEST]:
            print(f"  {_shown(line)}".rstrip())
        if len(lines) > _LONGEST:
            print(f"  ... and {count_of(len(lines) - _LONGEST, 'more line')}")


def _shown(line: str) -> str:
    """A line in which even a space of another kind can be seen: some examples are about nothing else."""
    seen = "".join(sign if sign.isprintable() else f"\\u{ord(sign):04x}" for sign in line)
    return clip(seen, 110)


def _made(example: Example) -> str:
    return {"link": " (a symbolic link)", "pipe": " (a named pipe)", "absent": " (not there)"}.get(
        example.made, ""
    )


def _plain(rule: AnyRule) -> dict[str, Any]:
    return {
        "id": rule.id,
        "family": rule.family,
        "severity": rule.severity.value,
        "summary": rule.summary,
        "rationale": rule.rationale,
        "needs": list(rule.needs),
        "fix": rule.fix or None,
        "passes": _example(rule.good),
        "fails": {**_example(rule.bad), "record": rule.bad.record, "field": rule.bad.field},
    }


def _example(example: Example) -> dict[str, str]:
    return {"path": example.path, "made": example.made, "text": clip(example.text, 4_000)}
