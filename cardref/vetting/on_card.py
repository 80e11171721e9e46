"""What is recorded of a card, by the fields of a claim, in words.

>>> from cardref.reference import load
>>> list(values_on(load().index, "back", "tidewrack/quay-marl/c-0213"))
['quay-marl 25B']
"""

from collections.abc import Iterator

from cardref.facts.bounds import released
from cardref.facts.called import figure_name, maker_name
from cardref.facts.features import as_length
from cardref.index import Index
from cardref.model.card import Card
from cardref.text import clip
from cardref.vetting.fields import FIELDS

__all__ = ["states_on", "values_on", "words_of"]


def states_on(index: Index, card: Card) -> dict[str, tuple[str, ...]]:
    """Slug -> the states recorded of a feature for a card: its own, else its front's, else its back's."""
    return {**index.backs[card.back].features, **index.faces[card.face].features, **card.features}


def values_on(index: Index, field: str, card: str) -> Iterator[str]:
    """What a recorded card (full id) has in a field, in words; nothing where that is not recorded."""
    record = index.cards[card]
    face, back = index.faces[record.face], index.backs[record.back]
    if field == "code":
        yield from face.printed_codes or (("none printed",) if face.codes == "none" else ())
    elif field == "back":
        yield back.label
    elif field == "back-count":
        yield str(back.count)
    elif field == "figure":
        yield figure_name(index, face.figure)
    elif field in ("series", "back-series"):
        series = index.series.get(face.series if field == "series" else back.series)
        yield from (clip(series.title, 60),) if series is not None else ()
    elif field == "origin":
        yield from (mark.country for mark in record.origin)
    elif field in ("number", "barcode", "name"):
        yield from (clip(text, 60) for text in (getattr(face, field),) if text)
    elif field == "language":
        yield from dict.fromkeys((*face.languages, *back.languages))
    elif field == "date":
        when = released(index, card)
        ends = tuple(str(limit.day) if limit is not None else "?" for limit in (when.earliest, when.latest))
        yield from (f"{ends[0]} to {ends[1]}",) if ends != ("?", "?") else ()
    elif field == "maker":
        yield maker_name(index, f"maker/{face.maker}")
    elif field not in FIELDS:
        yield from (words_of(state) for state in states_on(index, record).get(field, ()))


def words_of(state: str) -> str:
    """A state in a sentence."""
    return clip(state if as_length(state) else state.replace("-", " "), 40)
