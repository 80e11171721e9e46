"""An answer with its grounds as plain values for JSON, and the JSON Schema of them.

>>> as_json(Answer.unknown("no front carries this code"))["verdict"]
'unknown'
>>> schema()["required"]
['verdict', 'because', 'records', 'sources', 'sightings']
"""

from typing import Any

from cardref.facts.answer import Answer, Verdict
from cardref.schema.pieces import COUNT, TEXT, TEXTS, exactly, one_of

__all__ = ["as_json", "schema"]


def as_json(answer: Answer) -> dict[str, Any]:
    """The answer as plain values; every id is full."""
    return {
        "verdict": answer.verdict.value,
        "because": answer.because,
        "records": list(answer.records),
        "sources": list(answer.sources),
        "sightings": answer.sightings,
    }


def schema() -> dict[str, Any]:
    """JSON Schema (draft 2020-12) of :func:`as_json`."""
    verdict = one_of(Verdict)
    return exactly(verdict=verdict, because=TEXT, records=TEXTS, sources=TEXTS, sightings=COUNT)
