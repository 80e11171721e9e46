"""Short ways to write the examples of rules: a few records laid beside the sample dataset.

>>> print(backs("- id: b-009").text)
line: lanternfish
maker: pell-orrin
backs:
  - id: b-009
<BLANKLINE>
"""

from textwrap import dedent, indent

from cardref.checks.rule import Example
from cardref.checks.sample import SAMPLE

__all__ = [
    "BACK",
    "CARD",
    "FACE",
    "backs",
    "cards",
    "changed",
    "faces",
    "general",
    "of_line",
    "one_back",
    "one_card",
    "small_line",
]

BACK = "lanternfish/pell-orrin/b-009"
FACE = "lanternfish/pell-orrin/f-019"
CARD = "lanternfish/pell-orrin/c-019"
"""The records that examples add."""


def _part(plural: str, records: str, record: str, field: str, maker: str) -> Example:
    body = indent(dedent(records).strip("\n"), "  ")
    return Example(
        f"lines/lanternfish/{plural}/{maker}.more.yaml",
        f"line: lanternfish\nmaker: {maker}\n{plural}:\n{body}\n",
        record,
        field,
    )


def backs(records: str, record: str = "", field: str = "", maker: str = "pell-orrin") -> Example:
    """More backs for a maker of the sample."""
    return _part("backs", records, record, field, maker)


def faces(records: str, record: str = "", field: str = "", maker: str = "pell-orrin") -> Example:
    """More faces."""
    return _part("faces", records, record, field, maker)


def cards(records: str, record: str = "", field: str = "", maker: str = "pell-orrin") -> Example:
    """More cards."""
    return _part("cards", records, record, field, maker)


def one_back(designation: str, more: str = "", field: str = "") -> Example:
    """One more back of six figures, :data:`BACK`, printed after the one that the sample has of them."""
    record = dedent(f"""
        - id: b-009
          designation: {designation}
          series: lanternfish
          wave: po-2
          count: 6
          pictures: {{based_on: b-003}}
          languages: [en]
          released: 1982-06
          after: b-003
          features: {{maker-line: one-line, waves-drawn: 6}}
          sources: [binder]
    """)
    return backs(_with(record, more), BACK if field else "", field)


def one_card(more: str, field: str = "") -> Example:
    """One more card, :data:`CARD`, of a front and a back that the sample has."""
    return cards(_with("- id: c-019\n  face: f-004\n  back: b-001", more), CARD if field else "", field)


def _with(record: str, more: str) -> str:
    """A record of a list with more fields behind those it has."""
    return record.strip("\n") + "\n" + indent(dedent(more).strip("\n"), "  ")


def small_line(records: str, record: str = "", field: str = "") -> Example:
    """A second line of the sample, *Spindle*, with these series, waves and schemes."""
    head = "id: spindle\ntitle: Spindle\nhome: pell-orrin\nmakers: [pell-orrin]\nsources: [binder]\n"
    return Example("lines/spindle/line.yaml", head + dedent(records).strip("\n") + "\n", record, field)


def general(path: str, records: str, record: str = "", field: str = "") -> Example:
    """A file of the sample with more records at its end."""
    body = indent(dedent(records).strip("\n"), "  ")
    return Example(path, f"{SAMPLE[path]}{body}\n", record, field)


def of_line(name: str, records: str, record: str = "", field: str = "") -> Example:
    """A file of the sample's line, such as ``figures``, with more records at its end."""
    return general(f"lines/lanternfish/{name}.yaml", records, record, field)


def changed(path: str, old: str, new: str, record: str = "", field: str = "") -> Example:
    """A file of the sample with one piece of its text changed."""
    if SAMPLE[path].count(old) != 1:
        raise ValueError(f"{old!r} must stand once in {path}")
    return Example(path, SAMPLE[path].replace(old, new), record, field)
