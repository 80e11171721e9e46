"""Gaps as plain values for JSON and as rows for CSV, and the JSON Schema of what comes out.

>>> from cardref.gaps.find import gaps
>>> from cardref.reference import load
>>> found = as_json(gaps(load().index, line="night-post"))
>>> found["backs"], len(found["pairs"])
(9, 0)
"""

from collections.abc import Iterator
from typing import Any

from cardref.gaps.find import SETTLED, Gaps, OpenCard, Pair, PairKind, Unknown
from cardref.model.evidence import Standing
from cardref.schema.pieces import COUNT, SHARE, TEXT, TEXTS, answer_schema, exactly, list_of, one_of

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
    amount = {"type": "number", "minimum": 0}
    pair = exactly(
        kind=one_of(PairKind),
        one=TEXT,
        other=TEXT,
        by=TEXTS,
        misread=SHARE,
        close=TEXTS,
        unknown=TEXTS,
    )
    unknown = exactly(
        **dict.fromkeys(("back", "feature", "title", "where", "how", "tool"), TEXT),
        **dict.fromkeys(("effort", "separates", "strengthens", "others"), amount),
        from_backs=TEXTS,
        also=TEXTS,
    )
    standings = [standing for standing in Standing if standing not in SETTLED]
    card = exactly(
        figure=TEXT, back=TEXT, standing=one_of((*standings, NOT_RECORDED)), cards=TEXTS, faces=TEXTS
    )
    return answer_schema(
        "gaps",
        "cardref gaps --format json",
        backs=COUNT,
        compared=COUNT,
        pairs=list_of(pair),
        unknown=list_of(unknown),
        cards=list_of(card),
    )
