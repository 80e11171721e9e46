"""An identification as plain values for JSON, and the JSON Schema of what comes out.

>>> from cardref.reference import load
>>> as_json(load().identify("night-post"))["verdict"]
'open'
"""

from typing import Any

from cardref.facts.answer import Answer, Verdict
from cardref.facts.cautions import NO_PROOF
from cardref.identification.answer import Candidate, Ending
from cardref.identification.copies import CopyBeside, CopySign
from cardref.identification.identify import Identification
from cardref.identification.sights import CardLook
from cardref.identification.told import CAUTION
from cardref.model.feature import FeatureKind

__all__ = ["as_json", "schema"]

MOST_LOOKS = 10


def as_json(ident: Identification, most: int = 20) -> dict[str, Any]:
    """The identification as plain values; every id is full, shares are probabilities.

    Args:
        ident: the identification.
        most: how many candidates are listed; how many remain is told beside them.
    """
    end = ident.conclusion
    return {
        "line": ident.line,
        "by": ident.by.value,
        "inferred": ident.inferred,
        "threshold": ident.threshold,
        "verdict": end.ending.value,
        "says": ident.told_verdict(),
        "looks": [
            {
                "name": entry.name,
                "typed": entry.typed,
                "read": {name: str(ident.readings[name]) for name in entry.values if name in ident.readings},
                "notes": list(entry.notes),
            }
            for entry in ident.entries.values()
        ],
        "contradictions": [{"feature": one, "with": list(above)} for one, above in ident.contradictions],
        "remaining": end.count,
        "candidates": [_candidate(ident, one) for one in ident.candidates[:most]],
        "printings": [
            {"id": one.id, "label": one.label, "share": one.posterior} for one in ident.printings[:most]
        ],
        "alike": [{"one": p.one, "other": p.other, "tried": list(p.tried)} for p in end.pairs],
        "unrecorded": ident.session.unrecorded,
        "next": [_look(look) for look in ident.next_features[:MOST_LOOKS]],
        "card": None if ident.recorded is None else _answer(ident.recorded),
        "copies": [_copy(one) for one in ident.copies],
        "signs": [_sign(one) for one in ident.signs],
        "cautions": [CAUTION, NO_PROOF] if ident.copies or ident.signs else [CAUTION],
    }


def _candidate(ident: Identification, one: Candidate) -> dict[str, Any]:
    fits: list[dict[str, Any]] = []
    for fit in one.fits:
        trace = ident.trace(one, fit.feature)
        fits.append(
            {
                "feature": fit.feature,
                "seen": fit.seen,
                "recorded": fit.recorded,
                "agrees": fit.agrees,
                "by": list(fit.by),
                "records": list(trace.records),
                "sources": list(trace.sources),
            }
        )
    return {
        "id": one.id,
        "label": one.title,
        "back": ident.cards.backs[one.id],
        "share": one.posterior,
        "fits": fits,
    }


def _look(look: CardLook) -> dict[str, Any]:
    return {
        "feature": look.feature,
        "title": look.title,
        "bits": look.bits,
        "effort": look.effort,
        "kind": look.kind,
        "where": look.where,
        "how": look.how,
        "tool": look.tool,
        "states": [{"state": state, "label": label} for state, label in look.states.items()],
        "cautions": list(look.cautions),
    }


def _answer(answer: Answer) -> dict[str, Any]:
    return {
        "verdict": answer.verdict.value,
        "because": answer.because,
        "records": list(answer.records),
        "sources": list(answer.sources),
        "sightings": answer.sightings,
    }


def _copy(one: CopyBeside) -> dict[str, Any]:
    return {
        "id": one.id,
        "title": one.title,
        "extent": list(one.extent),
        "of": one.of,
        "bits": one.bits,
        "signs": [_sign(sign) for sign in one.signs],
        "note": one.note,
        "sources": list(one.sources),
    }


def _sign(sign: CopySign) -> dict[str, Any]:
    return {
        "feature": sign.feature,
        "title": sign.title,
        "where": sign.where,
        "how": sign.how,
        "tool": sign.tool,
        "cautions": list(sign.cautions),
        "on_originals": list(sign.on_originals),
        "on_copy": list(sign.on_copy),
        "why": sign.why,
        "reliability": sign.reliability,
        "seen": sign.seen,
        "agrees": sign.agrees,
        "bits": sign.bits,
    }


def _object(**properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }


def _many(items: dict[str, Any]) -> dict[str, Any]:
    return {"type": "array", "items": items}


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref identify --format json`` prints."""
    text, count, number = {"type": "string"}, {"type": "integer", "minimum": 0}, {"type": "number"}
    share = {"type": "number", "minimum": 0, "maximum": 1}
    maybe = {"type": ["boolean", "null"]}
    texts = _many(text)
    answer = _object(
        verdict={"enum": [one.value for one in Verdict]},
        because=text,
        records=texts,
        sources=texts,
        sightings=count,
    )
    sign = _object(
        **dict.fromkeys(("feature", "title", "where", "how", "tool"), text),
        **dict.fromkeys(("cautions", "on_originals", "on_copy"), texts),
        **dict.fromkeys(("why", "reliability", "seen"), text),
        agrees=maybe,
        bits=number,
    )
    fit = _object(
        feature=text, seen=text, recorded=text, agrees=maybe, by=texts, records=texts, sources=texts
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:cardref:schema:1:identification",
        "title": "cardref identify --format json",
        **_object(
            format={"const": 1},
            dataset=text,
            version=text,
            fingerprint=text,
            line=text,
            by={"enum": ["back", "card"]},
            inferred=text,
            threshold=share,
            verdict={"enum": [ending.value for ending in Ending]},
            says=texts,
            looks=_many(
                _object(
                    name=text,
                    typed=text,
                    read={"type": "object", "additionalProperties": text},
                    notes=texts,
                )
            ),
            contradictions=_many(_object(feature=text, **{"with": texts})),
            remaining=count,
            candidates=_many(_object(id=text, label=text, back=text, share=share, fits=_many(fit))),
            printings=_many(_object(id=text, label=text, share=share)),
            alike=_many(_object(one=text, other=text, tried=texts)),
            unrecorded=share,
            next=_many(
                _object(
                    feature=text,
                    title=text,
                    bits=number,
                    effort=number,
                    kind={"enum": [kind.value for kind in FeatureKind]},
                    where=text,
                    how=text,
                    tool=text,
                    states=_many(_object(state=text, label=text)),
                    cautions=texts,
                )
            ),
            card={"anyOf": [{"type": "null"}, answer]},
            copies=_many(
                _object(
                    id=text,
                    title=text,
                    extent=texts,
                    of=text,
                    bits=number,
                    signs=_many(sign),
                    note=text,
                    sources=texts,
                )
            ),
            signs=_many(sign),
            cautions=texts,
        ),
    }
