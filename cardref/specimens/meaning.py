"""What a user's record refers to, as the reference knows it today.

A full id is looked up; a retired one leads to what took its place; a name or a designation is taken where
only one record answers to it. What is said of a card, a back, a face and a figure is put together.

>>> from cardref.reference import load
>>> index = load().index
>>> found = meaning(index, "card", "tidewrack/quay-marl/c-0201")
>>> found.how.value, found.ids
('retired', ('tidewrack/quay-marl/c-0200', 'tidewrack/quay-marl/c-0202'))
>>> meaning(index, "back", "quay-marl 25B").ids
('tidewrack/quay-marl/b-017',)
>>> placed(index, Specimen(id="1", card="tidewrack/quay-marl/c-0001")).figure
'tidewrack/figure/lamp-diver'
"""

import enum
from collections.abc import Iterable, Iterator, Mapping
from typing import Final, TypeAlias

from attrs import frozen

from cardref.facts.called import called
from cardref.facts.cards import cards_with
from cardref.index import Index
from cardref.model.specimen import Sale, Specimen, Want

__all__ = ["RECORDS", "How", "Meaning", "Pair", "Placed", "clashes", "meaning", "place", "placed"]


RECORDS: Final = ("card", "back", "face", "figure", "maker")
"""The fields of a user's record that refer to what is recorded, the most telling first."""

Pair: TypeAlias = tuple[str, str]
"""A figure and a back, full ids; "" for what is not known."""


class How(enum.StrEnum):
    """How a reference was understood."""

    ID = "id"
    RETIRED = "retired"
    NAME = "name"
    WRONG_KIND = "wrong kind"
    UNKNOWN = "unknown"


@frozen
class Meaning:
    """What a text refers to.

    Attributes:
        ids: full ids of what it is today: one, several, or none.
        how: by its id, by an id that is retired, or by a name; or why there is none.
        retired: the full id that is retired, "" where none is meant.
    """

    ids: tuple[str, ...]
    how: How
    retired: str = ""


def meaning(index: Index, kind: str, text: str) -> Meaning:
    """What ``text`` in a field for a record of ``kind`` refers to. A maker's short name is its id as well."""
    table = index.tables[kind]
    if text in table:
        return Meaning((text,), How.ID)
    if kind == "maker" and f"maker/{text}" in table:
        return Meaning((f"maker/{text}",), How.ID)
    if text in index:
        return Meaning((), How.WRONG_KIND)
    retired = (text,) if text in index.retired else index.retired_named(text)
    if len(retired) == 1:
        return Meaning(
            tuple(one for one in index.current(retired[0]) if one in table), How.RETIRED, retired[0]
        )
    found = index.find(text, (kind,))
    return Meaning(found, How.NAME if found else How.UNKNOWN)


@frozen
class Placed:
    """What a specimen, a want or a sale is about. Full ids; "" for what is not known.

    Attributes:
        cards: the recorded cards that it can be: one where it is known which, none where nothing fits.
        figure, back, maker, line, series: as far as known. ``maker`` is the back's, or the face's where the
            back is not known; ``series`` the back's.
        named: the card was named, and not only worked out from the rest.
    """

    cards: tuple[str, ...] = ()
    figure: str = ""
    back: str = ""
    maker: str = ""
    line: str = ""
    series: str = ""
    named: bool = False

    @property
    def card(self) -> str:
        """The card where there is only one that it can be."""
        return self.cards[0] if len(self.cards) == 1 else ""

    @property
    def pair(self) -> Pair:
        """Figure and back; either may be ""."""
        return self.figure, self.back


def placed(index: Index, record: Specimen | Want | Sale) -> Placed:
    """What a user's record is about."""
    return place(
        index,
        card=record.card,
        figure=record.figure,
        back=record.back,
        face=getattr(record, "face", ""),
        maker=getattr(record, "maker", ""),
    )


def place(
    index: Index, *, card: str = "", figure: str = "", back: str = "", face: str = "", maker: str = ""
) -> Placed:
    """What these references, as somebody wrote them, are about together."""
    cards = _meant(index, "card", card)
    figure = _one(_meant(index, "figure", figure))
    back = _one(_meant(index, "back", back))
    face = _one(_meant(index, "face", face))
    maker = _one(_meant(index, "maker", maker))
    named = bool(cards)
    if cards:
        known = [index.cards[one] for one in cards]
        back = _one(one.back for one in known) or back
        face = _one(one.face for one in known) or face
        figure = _one(index.faces[one.face].figure for one in known if one.face in index.faces) or figure
    elif face and face in index.faces:
        figure = index.faces[face].figure
    if not cards and back and (face or figure):
        cards = tuple(one.id for one in cards_with(index, figure, back) if face in ("", one.face))
    kept = back or face or (cards[0] if cards else "")
    if kept:
        maker = f"maker/{kept.split('/')[1]}"
    return Placed(
        cards=cards,
        figure=figure,
        back=back,
        maker=maker,
        line=(kept or figure).partition("/")[0],
        series=index.backs[back].series if back in index.backs else "",
        named=named,
    )


def clashes(index: Index, said: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    """What of the references in ``said``, by field, does not go together: the field, and why, a sentence.

    A card says its figure, back, front and maker; a front its figure; a back its maker.
    """
    known: dict[str, tuple[set[str], str]] = {}
    cards = _meant(index, "card", said.get("card", ""))
    face = index.faces.get(_one(_meant(index, "face", said.get("face", ""))))
    back = _one(_meant(index, "back", said.get("back", "")))
    if back:
        known["maker"] = {f"maker/{back.split('/')[1]}"}, back
    if face is not None:
        known["figure"] = {face.figure}, face.id
    if cards:
        records = [index.cards[card] for card in cards]
        faces = [index.faces[card.face] for card in records if card.face in index.faces]
        known["figure"] = {one.figure for one in faces}, cards[0]
        known["back"] = {card.back for card in records}, cards[0]
        known["face"] = {card.face for card in records}, cards[0]
        known["maker"] = {f"maker/{card.maker}" for card in records}, cards[0]
    for field, (right, because) in known.items():
        given = _meant(index, field, said.get(field, ""))
        if given and right.isdisjoint(given):
            mine, other = called(index, given[0]), called(index, because)
            yield field, f"it says {mine}, but {other} is another: one of the two is a slip"


def _meant(index: Index, kind: str, text: str) -> tuple[str, ...]:
    if not text:
        return ()
    found = meaning(index, kind, text)
    # A name that several answer to says nothing; of an id that became several each may be meant.
    return found.ids if found.how is not How.NAME or len(found.ids) == 1 else ()


def _one(ids: Iterable[str]) -> str:
    """The one id that all agree on, or ""."""
    found = set(ids)
    return found.pop() if len(found) == 1 else ""
