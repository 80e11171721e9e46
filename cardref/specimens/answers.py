"""From an answer of ``identify`` or ``vet``, as JSON, to what a specimen's record would say.

What was identified is taken; what stayed open is left out, and told as open. What a listing claims stays a
claim. Anything else in the answer is passed over.

>>> from cardref.reference import load
>>> vetted = {"vetting": {"claim": {"words": "25B!", "parts": [{"field": "back", "said": [
...     {"value": "25B", "records": ["tidewrack/quay-marl/b-017"]}]}]}}}
>>> heard = from_answer(load().index, vetted)
>>> heard.raw["back"], heard.raw["basis"], heard.raw["status"]
('tidewrack/quay-marl/b-017', 'claimed', 'offered')
"""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from attrs import field, frozen

from cardref.errors import UsageError
from cardref.facts.features import features_of_line, state_fault
from cardref.index import Index
from cardref.model.feature import NOT_APPLICABLE
from cardref.specimens.meaning import RECORDS
from cardref.text import clip

__all__ = ["Heard", "from_answer"]

_BLANK: Final = frozenset({"?", "could not see", "not-seen", "could-not-see", "unknown", ""})
_DOES_NOT_APPLY: Final = {"-": NOT_APPLICABLE, "does not apply": NOT_APPLICABLE}


@frozen
class Heard:
    """What an answer says of a specimen.

    Attributes:
        raw: plain values of a record, without an id.
        left: what was not taken over, each with the reason; sentences.
    """

    raw: dict[str, Any] = field(factory=dict)
    left: tuple[str, ...] = ()


def from_answer(index: Index, answer: Any) -> Heard:
    """What the JSON of ``cardref identify`` or ``cardref vet`` says of a specimen.

    Errors: UsageError where it is neither.
    """
    if isinstance(answer, dict) and isinstance(answer.get("looks"), list) and "candidates" in answer:
        return _identified(index, answer)
    claim = answer.get("vetting", {}) if isinstance(answer, dict) else {}
    claim = claim.get("claim") if isinstance(claim, dict) else None
    if isinstance(claim, dict) and isinstance(claim.get("parts"), list):
        return _vetted(index, claim, answer["vetting"].get("whole"))
    raise UsageError(
        "this is no answer of identify or vet: give what `cardref identify ... --format json` prints"
    )


# --- identify --------------------------------------------------------------------------------------------


def _identified(index: Index, answer: Mapping[str, Any]) -> Heard:
    raw: dict[str, Any] = {"basis": "identified"}
    left: list[str] = []
    seen: dict[str, str] = {}
    for look in answer["looks"]:
        if isinstance(look, dict) and isinstance(look.get("name"), str):
            typed, read = look.get("typed"), look.get("read")
            # A state that was typed by another name is read as what it is.
            said = read.get(look["name"], typed) if isinstance(read, dict) else typed
            seen[look["name"]] = str(said if isinstance(said, str) else typed)
    first = next((one for one in _list(answer.get("candidates")) if isinstance(one, dict)), {})
    if answer.get("verdict") == "identified" and isinstance(first.get("id"), str):
        kind = index.kind(first["id"])
        if kind in ("card", "back"):
            raw[kind] = first["id"]
    else:
        raw["basis"] = "claimed"
        says = [clip(str(one), 200) for one in _list(answer.get("says"))[:1]]
        left.append(f"it was not identified, so the back stays open: {' '.join(says)}")
    line = answer.get("line")
    _looks(index, line if isinstance(line, str) else "", seen, raw, left)
    return Heard(raw, tuple(left))


def _looks(index: Index, line: str, seen: Mapping[str, str], raw: dict[str, Any], left: list[str]) -> None:
    features = features_of_line(index, line)
    readings: dict[str, Any] = {}
    for name, said in seen.items():
        if said.strip().lower() in _BLANK:
            continue
        feature = features.get(name)
        if feature is not None:
            words = said.replace(" or ", "|").split("|")
            states = [_DOES_NOT_APPLY.get(word.strip(), word.strip()) for word in words]
            fault = next((fault for state in states if (fault := state_fault(feature, state))), "")
            if fault:
                left.append(f"{clip(name, 60)}={clip(said, 60)}: {fault}")
            else:
                readings[name] = states[0] if len(states) == 1 else states
        elif name in ("figure", "maker") and name not in raw:
            full = f"{line}/figure/{said}" if name == "figure" else f"maker/{said}"
            _record(index, name, (full, said), raw)
        elif name == "code" and said not in ("none", "not printed"):
            raw["code"] = said
    if readings:
        raw["readings"] = readings


# --- vet -------------------------------------------------------------------------------------------------


def _vetted(index: Index, claim: Mapping[str, Any], whole: Any) -> Heard:
    raw: dict[str, Any] = {"status": "offered", "basis": "claimed"}
    left: list[str] = []
    said: dict[str, list[Mapping[str, Any]]] = {}
    for part in claim["parts"]:
        if isinstance(part, dict) and isinstance(part.get("field"), str):
            said[part["field"]] = [one for one in _list(part.get("said")) if isinstance(one, dict)]
    for kind in RECORDS:
        ids = [str(one) for values in said.get(kind, ()) for one in _list(values.get("records"))]
        _record(index, kind, ids, raw)
        if ids and kind not in raw:
            left.append(f"{kind} may be {len(ids)} records: name the one with --{kind}")
    cards = [one for one in _list(whole) if isinstance(one, str)]
    if len(cards) == 1 and "card" not in raw:
        _record(index, "card", cards, raw)
    for values in said.get("code", ())[:1]:
        raw["code"] = str(values.get("value", ""))
    of = next((raw[kind] for kind in ("card", "back", "face", "figure") if kind in raw), "")
    readings = {
        name: "|".join(str(one.get("value", "")) for one in values)
        for name, values in said.items()
        if name not in (*RECORDS, "code", "line")
    }
    features = features_of_line(index, of.partition("/")[0])
    _looks(index, of.partition("/")[0], {k: v for k, v in readings.items() if k in features}, raw, left)
    words, condition = str(claim.get("words") or ""), list(map(str, _list(claim.get("condition"))))
    note = f"Listed as: {words}. " if words else ""
    note += f"The seller's words: {', '.join(condition)}." if condition else ""
    if note:
        raw["note"] = clip(note.strip(), 500)
    return Heard(raw, tuple(left))


def _record(index: Index, kind: str, ids: Iterable[str], raw: dict[str, Any]) -> None:
    """The one record of ``kind`` that is meant, where there is one."""
    known = {full for full in ids if full in index.tables[kind]}
    if len(known) == 1:
        raw[kind] = known.pop()


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def designation_of(index: Index, raw: Mapping[str, Any]) -> str:
    """What the back of a record is called today, "" where that is not known."""
    card = index.cards.get(str(raw.get("card", "")))
    back = index.backs.get(card.back if card is not None else str(raw.get("back", "")))
    return str(back.designation) if back is not None else ""
