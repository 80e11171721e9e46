"""A condition report: what state a specimen is in, part by part, in plain words.

There is no score and no scale in it. A part has states, from worst to best where an order exists; two states
of one rank are different, and neither is better. What hurts and what is merely age is common practice, no
source. The colour of a bubble is the one thing judged by maker: its states are those of the feature that the
dataset marks with ``condition: bubble-colour``.

>>> report = ConditionReport(bubble="dented", seal="holds", price_sticker="sits", defects=(
...     Defect(part="bubble", what="dent", where="lower left", size="4 mm"),))
>>> PARTS["bubble"].states[report.bubble].says
'pressed in at one place or more'
>>> PARTS["price-sticker"].states["sits"].effect.value, PARTS["price-sticker"].states["torn"].effect.value
('age', 'hurts')
"""

import enum
from collections.abc import Mapping
from typing import Any

from attrs import frozen

from cardref.frozen import FrozenMap
from cardref.model.fields import about, written
from cardref.notation.edtf import Date

__all__ = ["NOT_SEEN", "PARTS", "ConditionReport", "Defect", "Effect", "Part", "PartState"]

NOT_SEEN = "not-seen"
"""The state of a part that could not be seen, on a photograph say. An absent state: nobody looked."""


class Effect(enum.StrEnum):
    """What a state does to a specimen in the eyes of most who collect (common practice, no source)."""

    HURTS = "hurts"
    AGE = "age"
    NONE = "none"


@frozen
class PartState:
    """One state of a part.

    Attributes:
        word: how a report writes it.
        says: what it means, as words that complete "the part is" or "the part:".
        effect: whether it hurts, is merely age, or neither.
        rank: from 0, the worst; of two equal ranks neither is better. None: it stands in no order.
    """

    word: str
    says: str
    effect: Effect
    rank: int | None


@frozen
class Part:
    """A part of a specimen that a report speaks of.

    Attributes:
        name: how a defect names it; the report's field has ``_`` for ``-``.
        title: what to call it in a sentence.
        states: by word, worst first; empty where the dataset has the states (the bubble's colour).
    """

    name: str
    title: str
    states: Mapping[str, PartState]

    @property
    def field(self) -> str:
        """The name of the report's field."""
        return self.name.replace("-", "_")


_MARKS = {"hurts": Effect.HURTS, "age": Effect.AGE, "none": Effect.NONE}

# name: title, then the states, worst first: `rank effect word: what it says`; rank `-` stands in no order.
# Common practice, no source.
_TABLE = """
bubble: bubble
  0 hurts missing: gone
  1 hurts crushed: pressed flat or out of shape
  1 hurts cracked: cracked or split
  2 hurts dented: pressed in at one place or more
  3 age scuffed: scratched on the surface, not dented
  4 none whole: whole, not dented, cracked or scratched
seal: seal of the bubble
  0 hurts open: open, so that the figure can be taken out
  0 hurts resealed: closed again with glue or tape
  1 hurts lifting: lifting at one place or more, and still closed
  2 none holds: holding all round
board: board (flatness)
  0 hurts folded: folded, so that the board is broken
  1 hurts warped: in waves, as from damp
  2 age bowed: bowed evenly
  3 none flat: flat
veins: veins and creases
  0 hurts creased: creases that break the printed surface
  1 hurts many: many fine ones, seen at once
  2 age few: a few fine ones, seen when the card is tilted
  3 none unveined: none seen when the card is tilted
edges: edges and corners
  0 hurts torn: torn, or layers coming apart
  1 hurts blunted: corners bent or blunted
  2 age soft: slightly soft
  3 none sharp: sharp
  - hurts trimmed: cut smaller than they were
litho: litho (picture on the front)
  0 hurts torn: torn, or paper pulled off
  1 hurts stained: stained
  1 hurts faded: faded
  1 hurts written-on: written on
  2 age rubbed: slightly rubbed
  3 none clean: clean, colours fresh
hang-tab: hang tab
  0 hurts missing: torn off or cut off
  1 hurts torn: torn
  2 age punched: punched
  3 none unpunched: unpunched
  - hurts mended: mended or filled
proof-of-purchase: proof of purchase
  0 hurts cut-out: cut out
  1 hurts damaged: there, but cut into, torn or written on
  2 none whole: whole
  - hurts let-in: cut out and let in again
  - none not-printed: not printed on this card
stickers: stickers
  0 hurts removed: removed, with a trace left
  1 hurts torn: torn
  2 age lifting: lifting
  3 none sit: sitting firmly
  - none none-there: none there, which does not prove that there never was one
price-sticker: price sticker
  0 hurts torn: torn, with remains left
  1 hurts residue: gone, with glue or a mark left
  2 age sits: sitting whole
  2 none no-trace: none, and no trace of one
accessory: accessory
  0 hurts missing: missing
  1 hurts broken: broken
  2 age out-of-place: there, out of its place
  3 none in-place: there, in its place
  - hurts replaced: a replacement
  - none none-belongs: none belongs to it
extras: extras in the bubble
  0 hurts missing: missing
  1 hurts damaged: damaged
  2 none there: there
  - hurts replaced: a replacement
  - none none-belong: none belong to it
figure-position: figure's position
  0 hurts missing: gone
  1 age fallen: fallen out of its place
  2 age turned: turned or shifted
  3 none in-place: in its place
"""


def _read(table: str) -> dict[str, Part]:
    parts: dict[str, Part] = {}
    titles: dict[str, str] = {}
    states: dict[str, dict[str, PartState]] = {}
    name = ""
    for row in table.strip().splitlines():
        head, _, text = row.partition(": ")
        if not row.startswith(" "):
            name = head
            titles[name], states[name] = text, {}
            continue
        rank, effect, word = head.split()
        states[name][word] = PartState(word, text, _MARKS[effect], None if rank == "-" else int(rank))
    unseen = PartState(NOT_SEEN, "not seen", Effect.NONE, None)
    for name, title in titles.items():
        parts[name] = Part(name, title, FrozenMap({**states[name], NOT_SEEN: unseen}))
        if name == "bubble":  # its colour is told beside it
            parts["bubble-colour"] = Part("bubble-colour", "colour of the bubble", FrozenMap())
    return parts


PARTS: Mapping[str, Part] = FrozenMap(_read(_TABLE))
"""The parts in the order in which a report tells them."""


def _part(name: str, text: str) -> Any:
    return about(text, "", choices=tuple(PARTS[name].states))


@frozen(kw_only=True)
class Defect:
    """One thing that is wrong, with its place and size.

    >>> Defect(part="edges", what="tear", where="right edge, half way up", size="3 mm").size
    '3 mm'
    """

    part: str = about("The part that has it.", choices=tuple(PARTS))
    what: str = about("What it is, in plain words: dent, tear, stain ...")
    where: str = about("Where on the part.", "")
    size: str = written("length", "How large, at its longest.", "")
    note: str = about("What else is worth telling.", "")


@frozen(kw_only=True)
class ConditionReport:
    """What state a specimen is in, part by part. An absent part: nobody looked.

    >>> ConditionReport(bubble="whole").seal
    ''
    """

    date: Date | None = about("When it was looked at, EDTF.", None)
    by: str = about("Who looked, and how: in hand, or on photographs.", "")
    bubble: str = _part("bubble", "Whether the clear shell is whole.")
    bubble_colour: str = about(
        "The bubble's colour: a state of the feature with `condition: bubble-colour`, or `not-seen`.", ""
    )
    seal: str = _part("seal", "How the bubble holds to the board.")
    board: str = _part("board", "How flat the board lies.")
    veins: str = _part("veins", "Fine creases in the board.")
    edges: str = _part("edges", "Edges and corners of the board.")
    litho: str = _part("litho", "The printed picture on the front.")
    hang_tab: str = _part("hang-tab", "The tab with the hole for the shop's peg.")
    proof_of_purchase: str = _part("proof-of-purchase", "The token to cut out.")
    stickers: str = _part("stickers", "Offers and other stickers that belong to the card.")
    price_sticker: str = _part("price-sticker", "A shop's price sticker, or what is left of it.")
    accessory: str = _part("accessory", "What comes with the figure.")
    extras: str = _part("extras", "What else lies in the bubble.")
    figure_position: str = _part("figure-position", "Where the figure is in the bubble.")
    defects: tuple[Defect, ...] = about("What is wrong, one by one.", ())
    note: str = about("What else is worth telling.", "")

    def state(self, part: str) -> str:
        """The state of the part called ``part``, "" where nobody looked."""
        found: str = getattr(self, PARTS[part].field)
        return found
