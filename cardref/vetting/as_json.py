"""An answer of vetting as plain values for JSON, and the JSON Schema of what comes out.

>>> from cardref.reference import load
>>> as_json(load().vet(back="25B", back_count=28))["verdict"]
'no'
"""

from typing import Any

from cardref.facts.answer import Verdict
from cardref.model.evidence import Standing
from cardref.model.feature import Reliability
from cardref.model.reproduction import Extent
from cardref.vetting.asking import Ask, Look
from cardref.vetting.claim import Claim, Part
from cardref.vetting.copies import KnownCopy, Says, Sign
from cardref.vetting.result import Nearest, Vetting
from cardref.vetting.statement import Statement, Status

__all__ = ["as_json", "schema"]

_MOST = 200
"""So many ids of cards and backs are listed; how many there are is told beside them."""


def as_json(vetting: Vetting) -> dict[str, Any]:
    """The answer as plain values; every id is full."""
    return {
        "claim": _claim(vetting.claim),
        "verdict": vetting.verdict.value,
        "because": vetting.because,
        "statements": [_statement(one) for one in vetting.statements],
        "whole": list(vetting.whole[:_MOST]),
        "open": {"cards": len(vetting.open), "first": list(vetting.open[:_MOST])},
        "backs": {"backs": len(vetting.backs), "first": list(vetting.backs[:_MOST])},
        "nearest": [_nearest(one) for one in vetting.nearest],
        "asks": [_ask(one) for one in vetting.asks],
        "copies": [_copy(one) for one in vetting.copies],
        "signs": [_sign(one) for one in vetting.signs],
        "sign_maker": vetting.sign_maker,
        "cautions": list(vetting.cautions),
    }


def _claim(claim: Claim) -> dict[str, Any]:
    return {
        "words": claim.words[:10_000],
        "parts": [_part(part) for part in claim.parts],
        "condition": list(claim.condition),
        "unread": list(claim.unread),
        "cut": claim.cut,
    }


def _part(part: Part) -> dict[str, Any]:
    return {
        "field": part.field,
        "clash": part.clash,
        "said": [
            {
                "text": said.text,
                "value": said.value,
                "records": list(said.ids[:_MOST]),
                "problem": said.problem,
                "changes": list(said.changes),
                "span": None if said.span is None else list(said.span),
            }
            for said in part.said
        ],
    }


def _statement(one: Statement) -> dict[str, Any]:
    return {
        "about": list(one.about),
        "status": one.status.value,
        "because": one.because,
        "records": list(one.records),
        "sources": list(one.sources),
        "sightings": one.sightings,
    }


def _nearest(one: Nearest) -> dict[str, Any]:
    return {
        "card": one.card,
        "differences": [
            {"field": d.field, "claimed": d.claimed, "recorded": d.recorded} for d in one.differences
        ],
        "seen": one.seen,
        "others": one.others,
    }


def _ask(ask: Ask) -> dict[str, Any]:
    return {
        "photo": ask.photo,
        "looks": [_look(look) for look in ask.looks],
        "settles": round(ask.settles, 4),
        "why": ask.why,
        "cautions": list(ask.cautions),
    }


def _look(look: Look) -> dict[str, Any]:
    return {
        "field": look.field,
        "title": look.title,
        "where": look.where,
        "how": look.how,
        "states": list(look.states),
        "bits": round(look.bits, 4),
        "effort": look.effort,
    }


def _copy(copy: KnownCopy) -> dict[str, Any]:
    return {
        "record": copy.id,
        "title": copy.title,
        "extent": [part.value for part in copy.extent],
        "copies": list(copy.copies),
        "known": copy.known,
        "standing": copy.standing.value,
        "note": copy.note,
        "sources": list(copy.sources),
        "signs": [_sign(sign) for sign in copy.signs],
        "cautions": list(copy.cautions),
    }


def _sign(sign: Sign) -> dict[str, Any]:
    return {
        "feature": sign.feature,
        "title": sign.title,
        "where": sign.where,
        "how": sign.how,
        "photo": sign.photo,
        "why": sign.why,
        "reliability": sign.reliability.value if sign.reliability is not None else None,
        "on_originals": list(sign.on_originals),
        "on_copies": list(sign.on_copies),
        "seen": sign.seen,
        "says": sign.says.value,
        "cautions": list(sign.cautions),
        "sources": list(sign.sources),
    }


def _object(**properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }


def _many(items: dict[str, Any], least: int = 0) -> dict[str, Any]:
    return {"type": "array", "items": items, **({"minItems": least} if least else {})}


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref vet --format json`` prints."""
    text, number, flag = {"type": "string"}, {"type": "integer", "minimum": 0}, {"type": "boolean"}
    share = {"type": "number", "minimum": 0, "maximum": 1}
    amount = {"type": "number", "minimum": 0}
    texts = _many(text)
    # At least one caution goes with everything said about genuineness.
    cautions = _many(text, 1)
    span = {"anyOf": [{"type": "null"}, {"type": "array", "items": number, "minItems": 2, "maxItems": 2}]}
    said = _object(text=text, value=text, records=texts, problem=text, changes=texts, span=span)
    claim = _object(
        words=text,
        parts=_many(_object(field=text, clash=flag, said=_many(said, 1))),
        condition=texts,
        unread=texts,
        cut=flag,
    )
    statement = _object(
        about={"type": "array", "items": text, "minItems": 1, "maxItems": 2},
        status={"enum": [status.value for status in Status]},
        because=text,
        records=texts,
        sources=texts,
        sightings=number,
    )
    nearest = _object(
        card=text,
        differences=_many(_object(field=text, claimed=text, recorded=text)),
        seen=number,
        others=number,
    )
    look = _object(field=text, title=text, where=text, how=text, states=texts, bits=amount, effort=amount)
    ask = _object(photo=text, looks=_many(look), settles=share, why=text, cautions=texts)
    sign = _object(
        feature=text,
        title=text,
        where=text,
        how=text,
        photo=text,
        why=text,
        reliability={"enum": [*(worth.value for worth in Reliability), None]},
        on_originals=texts,
        on_copies=texts,
        seen=text,
        says={"enum": [says.value for says in Says]},
        cautions=cautions,
        sources=texts,
    )
    copy = _object(
        record=text,
        title=text,
        extent=_many({"enum": [extent.value for extent in Extent]}, 1),
        copies=texts,
        known=text,
        standing={"enum": [standing.value for standing in Standing]},
        note=text,
        sources=texts,
        signs=_many(sign),
        cautions=cautions,
    )
    vetting = _object(
        claim=claim,
        verdict={"enum": [verdict.value for verdict in Verdict]},
        because=text,
        statements=_many(statement),
        whole=texts,
        open=_object(cards=number, first=texts),
        backs=_object(backs=number, first=texts),
        nearest=_many(nearest),
        asks=_many(ask),
        copies=_many(copy),
        signs=_many(sign),
        sign_maker=text,
        cautions=cautions,
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:cardref:schema:1:vetting",
        "title": "cardref vet --format json",
        **_object(format={"const": 1}, dataset=text, version=text, fingerprint=text, vetting=vetting),
    }
