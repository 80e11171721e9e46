"""An answer of vetting as text for a small screen: the verdict first, then why, then what to ask.

>>> from cardref.reference import load
>>> from cardref.vetting.vet import vet
>>> index = load().index
>>> for line in text_of(index, vet(index, fields=[("back", "25B"), ("back-count", 28)]))[:3]:
...     print(line)
contradicted: back with back count cannot be as claimed
wrong
  back with back count: back quay-marl 25B (b-017) pictures 25 figures
"""

from collections.abc import Iterable, Iterator

from cardref.facts.answer import Verdict
from cardref.facts.called import called, listed
from cardref.facts.cautions import HANDLE, NO_PROOF
from cardref.index import Index
from cardref.model.feature import Reliability
from cardref.model.kinds import short_id
from cardref.text import clip, count_of, quoted, uncapitalised, wrapped
from cardref.vetting.asking import Ask
from cardref.vetting.claim import Part
from cardref.vetting.copies import KnownCopy, Says, Sign
from cardref.vetting.fields import title_of
from cardref.vetting.on_card import words_of
from cardref.vetting.result import Vetting
from cardref.vetting.statement import Statement

__all__ = ["sign_lines", "text_of"]

SCREEN = 24
"""Lines that one sees at once."""

_VERDICTS = {Verdict.YES: "agrees", Verdict.NO: "contradicted", Verdict.UNKNOWN: "not settled"}


def text_of(index: Index, vetting: Vetting) -> list[str]:
    """The lines of the answer: a screen of them, shorter where there is much to tell."""
    lines: list[str] = []
    for room in (3, 2, 1):
        lines = _lines(index, vetting, room)
        if len(lines) <= SCREEN:
            break
    return lines


def _lines(index: Index, vetting: Vetting, room: int) -> list[str]:
    """The answer with up to ``room`` things of each sort."""
    lines = [*wrapped(f"{_VERDICTS[vetting.verdict]}: {vetting.because}", "  ")]
    lines += _heard(vetting)
    lines += _items("wrong", [_told(one) for one in vetting.contradicted], max(2, room))
    lines += _against(index, vetting)
    lines += _items("not recorded (that does not say that it cannot be)", _unrecorded(vetting), room)
    lines += _items("unsure", [_told(one) for one in vetting.unknown if _is_telling(one)], min(2, room))
    lines += _found(index, vetting, min(2, room))
    if room > 1:
        lines += _agreed(vetting)
    lines += _asks(vetting.asks, max(2, room))
    lines += _copies(index, vetting)
    lines += wrapped(f"{HANDLE} {NO_PROOF}" if vetting.signs or vetting.copies else NO_PROOF)
    return lines


def _items(title: str, items: list[str], most: int) -> Iterator[str]:
    if not items:
        return
    yield title
    for item in items[:most]:
        yield from wrapped(clip(item, 260), "    ", "  ")
    if len(items) > most:
        yield f"  and {len(items) - most} more: --format json has them all"


def _told(statement: Statement) -> str:
    return f"{statement.title}: {statement.because}"


def _unrecorded(vetting: Vetting) -> list[str]:
    """What is not recorded: of two parts one of which is not recorded by itself, that one only."""
    alone = {one.about[0] for one in vetting.unrecorded if len(one.about) == 1}
    signs = {sign.feature for sign in vetting.speaking_against}  # told by themselves
    return [
        _told(one)
        for one in vetting.unrecorded
        if signs.isdisjoint(one.about) and (len(one.about) == 1 or alone.isdisjoint(one.about))
    ]


def _against(index: Index, vetting: Vetting) -> Iterator[str]:
    """What was seen and speaks for a copy or a repair."""
    known = {sign.feature: sign for sign in vetting.signs}
    lines = []
    for sign in vetting.speaking_against:
        general = known.get(sign.feature, sign)
        usual = " or ".join(map(words_of, general.on_originals[:3])) or "not recorded"
        worth = f" ({general.reliability.value} sign)" if general.reliability is not None else ""
        whose = f"originals of {_maker(index, vetting)}" if vetting.sign_maker else "originals"
        titles = [
            copy.title
            for copy in vetting.copies
            if any(one.feature == sign.feature and one.says is Says.LIKE_COPY for one in copy.signs)
        ]
        like = f"; as on {listed(titles, 2)}" if titles else ""
        lines.append(
            f"{uncapitalised(sign.title)} {words_of(sign.seen)}{worth}: {whose} are known {usual}{like}"
        )
    return _items("speaks for a copy or a repair, and is no proof", lines, 4)


def _is_telling(statement: Statement) -> bool:
    """Whether not knowing is news here, and not only that nobody looked."""
    if "date" in statement.about and "copyright" in statement.because:
        return True
    if len(set(statement.about)) == 1:
        return bool(statement.records) or len(statement.about) == 2 or statement.about == ("sticker",)
    return bool(statement.sightings)


def _heard(vetting: Vetting) -> Iterator[str]:
    claim = vetting.claim
    if not claim.words:
        changed = [change for part in claim.parts for said in part.said for change in said.changes]
        if changed:
            yield from wrapped(f"read with changes: {'; '.join(clip(one, 60) for one in changed[:4])}", "  ")
        return
    said = [f"{clip(str(part), 60)}{_changed(part)}" for part in claim.parts]
    if claim.condition:
        said.append(f"condition {listed(claim.condition, 5)}")
    line = f"read as: {'; '.join(said[:8]) or 'nothing'}"
    if claim.unread:
        line += f"; not read: {listed((clip(one, 30) for one in claim.unread), 4)}"
    if claim.cut:
        line += "; the rest was too long and was not read"
    yield from wrapped(line, "  ")


def _changed(part: Part) -> str:
    """The words of a listing that had to be changed to be read."""
    words = [quoted(said.text, 30) for said in part.said if said.changes]
    return f" (written {listed(words, 2)})" if words else ""


def _found(index: Index, vetting: Vetting, most: int) -> Iterator[str]:
    """The recorded cards that fit, or what is nearest, or what is left open."""
    if 0 < len(vetting.whole) <= 5:
        card = index.cards[vetting.whole[0]]
        lead = "it is" if len(vetting.whole) == 1 else "such as"
        who = listed(map(short_id, dict.fromkeys((*card.sources, *(s.source for s in card.sightings)))), 3)
        by = f" by {who}" if who else ""
        yield from wrapped(f"{lead} {called(index, card.id)}, {card.standing.value}{by}", "  ")
    for near in vetting.nearest[:most]:
        differs = "; ".join(
            f"{field} {clip(one.recorded, 60)}" if one.recorded else f"no {field} recorded"
            for one in near.differences
            for field in (title_of(one.field),)
        )
        more = f" (and {near.others} more)" if near.others else ""
        yield from wrapped(f"nearest: {near.called}{more}, which has {differs}", "  ")
    backs = [index.backs[full] for full in vetting.backs]
    if len(backs) > 1:
        makers = {back.maker for back in backs}
        names = (back.label if len(makers) > 1 else str(back.designation) for back in backs)
        yield from wrapped(f"leaves open: {count_of(len(backs), 'back')}: {listed(names, 10)}", "  ")


def _agreed(vetting: Vetting) -> Iterator[str]:
    pairs = [one.title for one in vetting.agreed if len(one.about) == 2 and one.about[0] != "line"]
    if pairs and not vetting.whole:
        yield from wrapped(f"agreed: {listed(pairs, 4)}", "  ")


def _asks(asks: tuple[Ask, ...], most: int) -> Iterator[str]:
    if asks:
        yield "ask for sharp photos of"
    for at, ask in enumerate(asks[:most], 1):
        looks = "; ".join(
            f"{uncapitalised(look.title)} ({_states(look.states)})"
            if look.states
            else uncapitalised(look.title)
            for look in ask.looks[:2]
        )
        yield from wrapped(f"{at}. {ask.photo}: {looks or ask.why}", "     ", "  ")


def _states(states: tuple[str, ...]) -> str:
    return clip(" or ".join(states[:3]), 48) if len(states) > 1 else f"expected: {clip(states[0], 40)}"


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:].rstrip(".") + "."


# --- copies ----------------------------------------------------------------------------------------------


def _copies(index: Index, vetting: Vetting) -> Iterator[str]:
    for copy in vetting.copies[:2]:
        yield from wrapped(_copy(copy), "  ")
    if len(vetting.copies) > 2:
        yield f"and {count_of(len(vetting.copies) - 2, 'known copy', 'known copies')} more: --signs"
    shown = {sign.feature for copy in vetting.copies[:2] for sign in copy.signs}
    for sign in vetting.signs:
        if sign.says is Says.LIKE_ORIGINALS and sign.feature not in shown:
            yield from wrapped(f"sign: {_sign(sign)}", "  ")
    rest = [sign for sign in vetting.signs if sign.says is Says.NOT_LOOKED]
    if rest:
        strong = [uncapitalised(sign.title) for sign in rest if sign.reliability is Reliability.STRONG]
        names = listed(strong or [uncapitalised(sign.title) for sign in rest], 3)
        yield from wrapped(f"signs for {_maker(index, vetting)}, in full by --signs: {names}", "  ")
    elif not vetting.sign_maker and vetting.claim.parts:
        yield "signs of copies are judged by maker: say maker=..."


def _maker(index: Index, vetting: Vetting) -> str:
    record = index.makers.get(vetting.sign_maker)
    return clip(record.latin or record.name, 40) if record is not None else short_id(vetting.sign_maker)


def _copy(copy: KnownCopy) -> str:
    extent = listed((part.value.replace("-", " ") for part in copy.extent), 4)
    since = f", known {copy.known}" if copy.known else ""
    tells = "; ".join(
        f"{uncapitalised(sign.title)} {' or '.join(map(words_of, sign.on_copies[:2]))}"
        + (f" (seen: {sign.says.value})" if sign.seen else "")
        for sign in copy.signs[:3]
    )
    return f"known copy: {copy.title} ({extent}; {copy.standing.value}{since}): {tells}"


def _sign(sign: Sign) -> str:
    usual = " or ".join(map(words_of, sign.on_originals[:3]))
    worth = f", {sign.reliability.value} sign" if sign.reliability is not None else ""
    return f"{uncapitalised(sign.title)} {words_of(sign.seen)}: {sign.says.value} ({usual}{worth})"


def sign_lines(index: Index, vetting: Vetting) -> Iterable[str]:
    """Every sign and known copy in full: how to look, why, how reliable, and what to take care of."""
    for copy in vetting.copies:
        yield from wrapped(f"{_copy(copy)}. {copy.note}", "  ")
        for sign in copy.signs:
            yield from _sign_in_full(sign)
    if vetting.signs:
        yield f"signs that hold for {_maker(index, vetting)}"
    for sign in vetting.signs:
        yield from _sign_in_full(sign)
    yield from wrapped(" ".join(vetting.cautions))


def _sign_in_full(sign: Sign) -> Iterator[str]:
    worth = f" ({sign.reliability.value} sign)" if sign.reliability is not None else ""
    yield from wrapped(f"{sign.title}{worth}: {sign.where}. {sign.how}", "    ", "  ")
    originals = " or ".join(map(words_of, sign.on_originals)) or "not recorded"
    copies = f"; on this copy: {' or '.join(map(words_of, sign.on_copies))}" if sign.on_copies else ""
    yield from wrapped(f"on originals: {originals}{copies}. {sign.why}", "    ", "    ")
    # The whole of the last caution stands at the end of the answer.
    care = " ".join(map(_sentence, (*sign.cautions[:-1], NO_PROOF.partition(",")[0])))
    yield from wrapped(f"care: {care}", "    ", "    ")
    if sign.seen:
        yield from wrapped(f"seen: {words_of(sign.seen)}, {sign.says.value}", "    ", "    ")
