"""Gaps as plain values for JSON and as rows for CSV, and the JSON Schema of what comes out.

>>> from cardref.gaps.find import gaps
>>> from cardref.reference import load
>>> found = as_json(gaps(load().index, line="night-post"))
>>> found["backs"], len(found["pairs"])
(9, 0)
"""

from collections.abc import Iterator
from typing import Any

from cardref.gaps.find import Gaps, OpenCard, Pair, PairKind, Unknown
from cardref.model.evidence import Standing

__all__ = ["COLUMNS", "as_json", "as_rows", "schema"]

NOT_RECORDED = "not recorded"


def as_json(found: Gaps) -> dict[str, Any]:
    """The gaps as plain values; every id is full."""
    return {
        "backs": found.backs,
        "compared": found.compared,
        "pairs": [_pair(one) for one in found.pairs],
        "unknown": [_unknown(one) for one in found.unknown],
        "cards": [_card(one) for one in found.cards],
    }


def _pair(one: Pair) -> dict[str, Any]:
    return {
        "kind": one.kind.value,
        "one": one.one,
        "other": one.other,
        "by": list(one.by),
        "misread": one.misread,
        "close": list(one.close),
        "unknown": list(one.unknown),
    }


def _unknown(one: Unknown) -> dict[str, Any]:
    return {
        "back": one.back,
        "feature": one.feature,
        "title": one.title,
        "where": one.where,
        "how": one.how,
        "tool": one.tool,
        "effort": one.effort,
        "separates": one.separates,
        "strengthens": one.strengthens,
        "others": one.others,
        "from_backs": list(one.from_backs),
        "also": list(one.also),
    }


def _card(one: OpenCard) -> dict[str, Any]:
    return {
        "figure": one.figure,
        "back": one.back,
        "standing": one.standing.value if one.standing else NOT_RECORDED,
        "cards": list(one.cards),
        "faces": list(one.faces),
    }


COLUMNS = ("gap", "record", "other", "feature", "says", "separates", "strengthens", "where", "how", "tool")
"""The columns of the CSV: one to-do a row, in the order of use."""


def as_rows(found: Gaps) -> Iterator[tuple[str, ...]]:
    """The same as rows: states to record, pairs, cards; ids are full, several are joined by a space."""
    for one in found.unknown:
        others = " ".join(one.from_backs)
        yield (
            "unknown state", one.back, others, one.feature, one.title, f"{one.separates:.2f}",
            f"{one.strengthens:.2f}", one.where, one.how, one.tool,
        )  # fmt: skip
    for pair in found.pairs:
        yield ("pair", pair.one, pair.other, " ".join(pair.by), pair.kind.value, "", "", "", "", "")
    for card in found.cards:
        standing = card.standing.value if card.standing else NOT_RECORDED
        records = " ".join(card.cards or card.faces)
        yield ("card", card.back, card.figure, "", standing, "", "", records, "", "")


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref gaps --format json`` prints."""
    text, count = {"type": "string"}, {"type": "integer", "minimum": 0}
    number = {"type": "number", "minimum": 0}
    texts = {"type": "array", "items": text}
    pair = _object(
        kind={"enum": [kind.value for kind in PairKind]},
        one=text,
        other=text,
        by=texts,
        misread={"type": "number", "minimum": 0, "maximum": 1},
        close=texts,
        unknown=texts,
    )
    unknown = _object(
        **dict.fromkeys(("back", "feature", "title", "where", "how", "tool"), text),
        **dict.fromkeys(("effort", "separates", "strengthens", "others"), number),
        from_backs=texts,
        also=texts,
    )
    standings = [standing.value for standing in Standing if standing not in _SETTLED]
    card = _object(
        figure=text, back=text, standing={"enum": [*standings, NOT_RECORDED]}, cards=texts, faces=texts
    )
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:cardref:schema:1:gaps",
        "title": "cardref gaps --format json",
        **_object(
            format={"const": 1},
            dataset=text,
            version=text,
            fingerprint=text,
            backs=count,
            compared=count,
            pairs={"type": "array", "items": pair},
            unknown={"type": "array", "items": unknown},
            cards={"type": "array", "items": card},
        ),
    }


_SETTLED = (Standing.CONFIRMED, Standing.REFUTED)


def _object(**properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "additionalProperties": False,
        "required": list(properties),
        "properties": properties,
    }
