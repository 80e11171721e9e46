"""A decoding as plain values for JSON, and the JSON Schema of what comes out.

>>> from cardref.reference import load
>>> as_json(load().decode("25B"))["readings"][0]["kind"]
'designation'
"""

from typing import Any

from cardref.decoding.result import Decoding, Reading
from cardref.facts import answer_as_json
from cardref.facts.answer import Verdict
from cardref.schema.pieces import COUNT, FLAG, TEXT, TEXTS, answer_schema, exactly, list_of, one_of

__all__ = ["as_json", "schema"]


def as_json(decoding: Decoding) -> dict[str, Any]:
    """The decoding as plain values; every id is full."""
    return {
        "text": decoding.text,
        "well_formed": decoding.well_formed,
        "known": decoding.known.value,
        "consistent": decoding.consistent.value,
        "readings": [_reading(reading) for reading in decoding.readings],
        "suggestions": list(decoding.suggestions),
        "problem": decoding.problem,
    }


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "kind": reading.kind,
        "value": reading.value,
        "changes": [{"what": c.what, "column": c.column, "why": c.why} for c in reading.changes],
        "scheme": reading.scheme,
        "makers": list(reading.makers),
        "segments": [
            {"name": m.segment, "text": m.text, "meaning": m.meaning, "label": m.label}
            for m in reading.segments
        ],
        "possible": reading.possible,
        "existing": reading.existing,
        "figures": list(reading.figures),
        "backs": list(reading.backs),
        "faces": list(reading.faces),
        "cards": list(reading.cards),
        "known": answer_as_json.as_json(reading.known),
        "checks": [answer_as_json.as_json(check) for check in reading.checks],
    }


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref decode --format json`` prints."""
    verdict = one_of(Verdict)
    answer = answer_as_json.schema()
    reading = exactly(
        kind=one_of(("package code", "designation", "barcode")),
        value=TEXT,
        changes=list_of(exactly(what=TEXT, column=COUNT, why=TEXT)),
        scheme=TEXT,
        makers=TEXTS,
        segments=list_of(exactly(name=TEXT, text=TEXT, meaning=TEXT, label=TEXT)),
        possible=COUNT,
        existing=COUNT,
        figures=TEXTS,
        backs=TEXTS,
        faces=TEXTS,
        cards=TEXTS,
        known=answer,
        checks=list_of(answer),
    )
    decoding = exactly(
        text=TEXT,
        well_formed=FLAG,
        known=verdict,
        consistent=verdict,
        readings=list_of(reading),
        suggestions=TEXTS,
        problem=TEXT,
    )
    return answer_schema("decoding", "cardref decode --format json", decodings=list_of(decoding))
