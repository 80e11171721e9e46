"""Data made to do something: every free text of the sample dataset is one of these attacks, with a number.

A text is free where the shape of its record allows any words there. What refers to something, is a date, a
code or a word of a list stays, so that the dataset can be loaded and every export is made of it.
"""

from itertools import count
from typing import Any

from cardref.checks.sample import SAMPLE
from cardref.model.kinds import BY_PLURAL
from cardref.schema.explain import problems
from cardref.storage.canonical import flow_text
from cardref.storage.layout import spec_of
from cardref.storage.references import links
from cardref.storage.yamltext import read_text

__all__ = ["ATTACKS", "poisoned"]

ATTACKS = [
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-1+1|x",
    "@SUM(1)",
    '=HYPERLINK("http://example.invalid/?"&A1,"x")',
    "\uff1d1+1",
    "a\n=1+1",
    'a","=1+1',
    "a;=1+1",
    "::error file=x,line=1::pwned",
    " ::add-mask::a",
    "a\n::stop-commands::x",
    "##[error]pwned",
    "##vso[task.setvariable variable=PATH]x",
    "##teamcity[buildStatus text='x']",
    "a%0A::error::pwned",
    "{0} [x](javascript:alert(1)) ![x](http://example.invalid/p.png)",
    "<script>alert(1)</script>",
    "\"><img src=x onerror=alert(1)>'",
    "</text></svg><script>x</script> &amp; ]]> <!-- <?xml?>",
    "| a | b | `c` **d** # e",
    "@everyone #1 !1 www.example.invalid http://example.invalid/",
    "</details>\n\n# heading\n- [ ] x",
    "'; DROP TABLE back; --",
    '"; ATTACH DATABASE \'/tmp/x\' AS x; --',
    "x' OR '1'='1",
    "../../../../etc/passwd",
    "/etc/passwd",
    "C:\\x\\..\\..\\y",
    "a\u202eb\u2066c",
    "a\u200b\u2060b",
    "a\U000e0041b",
    "\u0130\u0131\ufb01",
    "%s %n {} {0.__class__} ${HOME} `id` $(id)",
    "__proto__",
    "a\\nb\\u0000c",
    "- a: b\n- c: d",
    "&a *a !!python/object/apply:os.system [x]",
    "--help",
    "\N{MEDIUM SHADE}" * 300,
]  # fmt: skip


def _leaves(value: Any, way: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, dict):
        return [found for key, item in value.items() for found in _leaves(item, (*way, key))]
    if isinstance(value, list):
        return [found for number, item in enumerate(value) for found in _leaves(item, (*way, number))]
    return [way] if isinstance(value, str) else []


def _put(value: Any, way: tuple[Any, ...], text: str) -> str:
    for step in way[:-1]:
        value = value[step]
    was: str = value[way[-1]]
    value[way[-1]] = text
    return was


def poisoned(shift: int = 0, *, wild: bool = False) -> tuple[dict[str, str], list[str]]:
    """Files of the dataset by path, and every text that was put in; ``shift`` deals the attacks otherwise.

    ``wild``: what refers to something is an attack as well, so that nothing fits and everything is told.
    """
    number = count(shift)
    files: dict[str, str] = {}
    texts: list[str] = []
    for path, said in SAMPLE.items():
        value = read_text(said).value
        spec = spec_of(path)
        if spec is None:
            raise ValueError(path)
        owners = [
            (BY_PLURAL[plural].name, record) for plural in spec.lists for record in value.get(plural, ())
        ]
        if spec.top == "dataset":
            owners.append((spec.top, value))
        for kind, record in owners:
            for way in _leaves(record):
                at = next(number)
                text = f"{ATTACKS[at % len(ATTACKS)]} {at}"
                was = _put(record, way, text)
                if problems(kind, record) or not (wild or _free(kind, way)):
                    _put(record, way, was)
                else:
                    texts.append(text)
        files[path] = _yaml(value)
    return files, texts


def _free(kind: str, way: tuple[Any, ...]) -> bool:
    """Whether nothing refers by this text, and nothing is referred to by it."""
    path = tuple("*" if isinstance(step, int) else step for step in way)
    return way[0] not in _NAMED and not any(path[: len(link.path)] == link.path for link in links(kind))


_NAMED = frozenset({"id", "version", "word", "features", "states", "tells", "segments", "licence"})


def _yaml(value: Any) -> str:
    """Every entry of the top on one line in brackets, so that no layout depends on the texts."""
    return "".join(f"{key}: {flow_text(item)}\n" for key, item in value.items())
