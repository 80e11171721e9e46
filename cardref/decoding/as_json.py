"""A decoding as plain values for JSON, and the JSON Schema of what comes out.

>>> from cardref.reference import load
>>> as_json(load().decode("25B"))["readings"][0]["kind"]
'designation'
"""

from typing import Any

from cardref.decoding.result import Decoding, Reading
from cardref.facts.answer import Answer

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
        "known": _answer(reading.known),
        "checks": [_answer(check) for check in reading.checks],
    }


def _answer(answer: Answer) -> dict[str, Any]:
    return {
        "verdict": answer.verdict.value,
        "because": answer.because,
        "records": list(answer.records),
        "sources": list(answer.sources),
        "sightings": answer.sightings,
    }


def _object(**properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref decode --format json`` prints."""
    text, number = {"type": "string"}, {"type": "integer", "minimum": 0}
    texts = {"type": "array", "items": text}
    verdict = {"enum": ["yes", "no", "unknown"]}
    answer = _object(verdict=verdict, because=text, records=texts, sources=texts, sightings=number)
    reading = _object(
        kind={"enum": ["package code", "designation", "barcode"]},
        value=text,
        changes={"type": "array", "items": _object(what=text, column=number, why=text)},
        scheme=text,
        makers=texts,
        segments={"type": "array", "items": _object(name=text, text=text, meaning=text, label=text)},
        possible=number,
        existing=number,
        figures=texts,
        backs=texts,
        faces=texts,
        cards=texts,
        known=answer,
        checks={"type": "array", "items": answer},
    )
    decoding = _object(
        text=text,
        well_formed={"type": "boolean"},
        known=verdict,
        consistent=verdict,
        readings={"type": "array", "items": reading},
        suggestions=texts,
        problem=text,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:cardref:schema:1:decoding",
        "title": "cardref decode --format json",
        **_object(
            format={"const": 1},
            dataset=text,
            version=text,
            fingerprint=text,
            decodings={"type": "array", "items": decoding},
        ),
    }
