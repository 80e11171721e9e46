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
from cardref.schema.pieces import (
    COUNT,
    FLAG,
    SHARE,
    TEXT,
    TEXTS,
    answer_schema,
    exactly,
    list_of,
    one_of,
    or_null,
)
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
        "altered": list(claim.altered),
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


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref vet --format json`` prints."""
    amount = {"type": "number", "minimum": 0}
    # At least one caution goes with everything said about genuineness.
    cautions = list_of(TEXT, 1)
    span = or_null({**list_of(COUNT, 2), "maxItems": 2})
    said = exactly(text=TEXT, value=TEXT, records=TEXTS, problem=TEXT, changes=TEXTS, span=span)
    claim = exactly(
        words=TEXT,
        parts=list_of(exactly(field=TEXT, clash=FLAG, said=list_of(said, 1))),
        condition=TEXTS,
        altered=TEXTS,
        unread=TEXTS,
        cut=FLAG,
    )
    statement = exactly(
        about={**list_of(TEXT, 1), "maxItems": 2},
        status=one_of(Status),
        because=TEXT,
        records=TEXTS,
        sources=TEXTS,
        sightings=COUNT,
    )
    nearest = exactly(
        card=TEXT,
        differences=list_of(exactly(field=TEXT, claimed=TEXT, recorded=TEXT)),
        seen=COUNT,
        others=COUNT,
    )
    look = exactly(field=TEXT, title=TEXT, where=TEXT, how=TEXT, states=TEXTS, bits=amount, effort=amount)
    ask = exactly(photo=TEXT, looks=list_of(look), settles=SHARE, why=TEXT, cautions=TEXTS)
    sign = exactly(
        feature=TEXT,
        title=TEXT,
        where=TEXT,
        how=TEXT,
        photo=TEXT,
        why=TEXT,
        reliability=one_of((*Reliability, None)),
        on_originals=TEXTS,
        on_copies=TEXTS,
        seen=TEXT,
        says=one_of(Says),
        cautions=cautions,
        sources=TEXTS,
    )
    copy = exactly(
        record=TEXT,
        title=TEXT,
        extent=list_of(one_of(Extent), 1),
        copies=TEXTS,
        known=TEXT,
        standing=one_of(Standing),
        note=TEXT,
        sources=TEXTS,
        signs=list_of(sign),
        cautions=cautions,
    )
    vetting = exactly(
        claim=claim,
        verdict=one_of(Verdict),
        because=TEXT,
        statements=list_of(statement),
        whole=TEXTS,
        open=exactly(cards=COUNT, first=TEXTS),
        backs=exactly(backs=COUNT, first=TEXTS),
        nearest=list_of(nearest),
        asks=list_of(ask),
        copies=list_of(copy),
        signs=list_of(sign),
        sign_maker=TEXT,
        cautions=cautions,
    )
    return answer_schema("vetting", "cardref vet --format json", vetting=vetting)
