"""An identification as plain values for JSON, and the JSON Schema of what comes out.

>>> from cardref.reference import load
>>> as_json(load().identify("night-post"))["verdict"]
'open'
"""

from typing import Any

from cardref.facts import answer_as_json
from cardref.facts.cautions import NO_PROOF
from cardref.identification.answer import Candidate, Ending
from cardref.identification.copies import CopyBeside, CopySign
from cardref.identification.identify import Identification
from cardref.identification.sights import CardLook
from cardref.identification.told import CAUTION
from cardref.model.feature import FeatureKind
from cardref.schema.pieces import COUNT, SHARE, TEXT, TEXTS, answer_schema, exactly, list_of, one_of, or_null

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
        "card": None if ident.recorded is None else answer_as_json.as_json(ident.recorded),
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


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref identify --format json`` prints."""
    number = {"type": "number"}
    maybe = {"type": ["boolean", "null"]}
    sign = exactly(
        **dict.fromkeys(("feature", "title", "where", "how", "tool"), TEXT),
        **dict.fromkeys(("cautions", "on_originals", "on_copy"), TEXTS),
        **dict.fromkeys(("why", "reliability", "seen"), TEXT),
        agrees=maybe,
        bits=number,
    )
    fit = exactly(
        feature=TEXT, seen=TEXT, recorded=TEXT, agrees=maybe, by=TEXTS, records=TEXTS, sources=TEXTS
    )
    return answer_schema(
        "identification",
        "cardref identify --format json",
        line=TEXT,
        by=one_of(("back", "card")),
        inferred=TEXT,
        threshold=SHARE,
        verdict=one_of(Ending),
        says=TEXTS,
        looks=list_of(
            exactly(
                name=TEXT,
                typed=TEXT,
                read={"type": "object", "additionalProperties": TEXT},
                notes=TEXTS,
            )
        ),
        contradictions=list_of(exactly(feature=TEXT, **{"with": TEXTS})),
        remaining=COUNT,
        candidates=list_of(exactly(id=TEXT, label=TEXT, back=TEXT, share=SHARE, fits=list_of(fit))),
        printings=list_of(exactly(id=TEXT, label=TEXT, share=SHARE)),
        alike=list_of(exactly(one=TEXT, other=TEXT, tried=TEXTS)),
        unrecorded=SHARE,
        next=list_of(
            exactly(
                feature=TEXT,
                title=TEXT,
                bits=number,
                effort=number,
                kind=one_of(FeatureKind),
                where=TEXT,
                how=TEXT,
                tool=TEXT,
                states=list_of(exactly(state=TEXT, label=TEXT)),
                cautions=TEXTS,
            )
        ),
        card=or_null(answer_as_json.schema()),
        copies=list_of(
            exactly(
                id=TEXT,
                title=TEXT,
                extent=TEXTS,
                of=TEXT,
                bits=number,
                signs=list_of(sign),
                note=TEXT,
                sources=TEXTS,
            )
        ),
        signs=list_of(sign),
        cautions=TEXTS,
    )
