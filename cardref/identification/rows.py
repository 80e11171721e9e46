"""What is recorded of backs, faces and cards, as cells of a table, each with the records that say so.

A row is put together from *parts*, one for each record behind it. A card has three: its back, its face and
what is recorded of the whole. A back has its own, and whatever its recorded cards *allow*: which figure, code
or sticker can be found on a card with this back. That it is not recorded does not mean that it cannot be, so
of these nothing is a trait of the back.

>>> from cardref.reference import load
>>> index = load().index
>>> part = Rows(index, "tidewrack").of_back("tidewrack/quay-marl/b-017")
>>> part["back-count"], part["rope-length"]
(25, '3.5-4.5 mm')
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from cardref.facts.cards import uses_generic_backs
from cardref.facts.codes import CodeRead, books_of, codes_read, expected_segments
from cardref.facts.features import features_of_line, state_fault, states_of
from cardref.facts.pictures import pictures_of
from cardref.facts.timing import debut_waves
from cardref.identification.reading import DOES_NOT_APPLY
from cardref.identification.sights import SEGMENT, name_of
from cardref.index import Index
from cardref.lazy import cached_property
from cardref.model.card import Card, Made
from cardref.model.evidence import Standing
from cardref.model.face import NO_CODE
from cardref.model.kinds import short_id
from cardref.model.maker import Role

__all__ = ["NO_SEGMENT", "NO_STICKER", "Part", "Rows"]

Part = Mapping[str, Any]
"""What one record says, by the name of what there is to look at."""

NO_SEGMENT = "no-such-segment"
"""What is read of a code's segment where the code is whole and has none of that name."""

NO_STICKER = "none"

STAYED = 4
"""So many stickers are still there for one that has come off since. Assumed; common practice, no source."""


class Rows:
    """The parts of one line's backs and cards.

    Args:
        index: the records.
        line: short id of the line.
    """

    def __init__(self, index: Index, line: str) -> None:
        self.index = index
        self.line = line
        self.catalogue = features_of_line(index, line)

    # --- who is a candidate

    def backs(self) -> list[str]:
        """Full ids of the backs that exist or may exist."""
        return [
            full
            for full, back in self.index.backs.items()
            if full.startswith(f"{self.line}/") and back.standing is not Standing.REFUTED
        ]

    def cards(self) -> list[str]:
        """Full ids of the cards that exist or may exist; not of those that were announced and never made."""
        return [
            full
            for full, card in self.index.cards.items()
            if full.startswith(f"{self.line}/") and self._is_there(card)
        ]

    def _is_there(self, card: Card) -> bool:
        return (
            card.standing is not Standing.REFUTED
            and card.made is not Made.ANNOUNCED
            and card.back in self.index.backs
            and card.face in self.index.faces
        )

    # --- parts

    def parts_of_card(self, full: str) -> dict[str, Part]:
        """Record -> what it says of a card, the reverse first."""
        card = self.index.cards[full]
        return {
            card.back: self.of_back(card.back),
            card.face: self.of_face(card.face),
            full: self.of_card(full),
        }

    def of_back(self, full: str) -> Part:
        """What a back's own record says."""
        back = self.index.backs[full]
        part: dict[str, Any] = {"maker": (back.maker,), "series-back": short_id(back.series)}
        part["back-count"] = back.count
        if back.claimed is not None:
            part["claimed-total"] = {"same": back.count, "none": DOES_NOT_APPLY}.get(
                str(back.claimed), back.claimed
            )
        if back.languages:
            part["languages"] = _languages(back.languages)
        seen = pictures_of(self.index).get(full)
        if seen is not None:
            part["silhouettes"] = len(seen.silhouettes)
            part["pictured-twice"] = bool(seen.slips)
            shown = set(seen.figures)
            part.update((f"pictures-{short_id(figure)}", figure in shown) for figure in self.varying)
        part.update(self._states(full, back.maker))
        return part

    def of_face(self, full: str) -> Part:
        """What a face's record says."""
        face = self.index.faces[full]
        part: dict[str, Any] = {"maker": (face.maker,), "series-front": short_id(face.series)}
        part["figure"] = (short_id(face.figure),)
        if face.languages:
            part["languages-front"] = _languages(face.languages)
        if face.codes == NO_CODE or self._is_uncoded(face.maker):
            part["code-printed"] = False
        elif face.printed_codes:
            part["code-printed"] = True
            part.update(self._codes.get(full, {}))
        part.update(self._states(full, face.maker))
        return part

    def of_card(self, full: str) -> Part:
        """What a card's own record says."""
        card = self.index.cards[full]
        makers = (card.maker, *(short_id(maker) for role, maker in card.roles.items() if role in _NAMED))
        part: dict[str, Any] = {"maker": makers}
        stickers = tuple(map(short_id, card.stickers))
        # A sticker may have come off, so a card without one may be the one that had it.
        part["sticker"] = (*STAYED * stickers, NO_STICKER)
        for mark in card.origin:
            name = f"origin-{mark.where.value}"
            part[name] = (*part.get(name, ()), mark.country.lower())
        part.update(self._states(full, card.maker))
        return part

    def allowed_by(self, full: str) -> dict[str, Part]:
        """Record -> what can be found on a card with this back: by each card on it, by what it pictures."""
        found: dict[str, Part] = {}
        figures = self.figures_on(full)
        if figures is not None:
            of_back: dict[str, Any] = {"figure": tuple(map(short_id, figures))}
            of_back.update(self._codes_of(full, figures))
            found[full] = of_back
        for card in self.index.cards_by_back.get(full, ()):
            record = self.index.cards[card]
            if self._is_there(record):
                face = self.of_face(record.face)
                own = self.of_card(card)
                both = {**face, **own, "maker": own["maker"]}
                found[card] = both
        return found

    def figures_on(self, full: str) -> tuple[str, ...] | None:
        """Full ids of the figures that can be on a card with this back; None where that is not known."""
        seen = pictures_of(self.index).get(full)
        if seen is None:
            return None
        recorded = (self.index.cards[card] for card in self.index.cards_by_back.get(full, ()))
        figures = [*seen.figures, *(self.index.faces[c.face].figure for c in recorded if self._is_there(c))]
        if uses_generic_backs(self.index, full):
            sold = self._sold.get(full.split("/")[1])
            if not sold:
                return None
            figures += sold
        return tuple(dict.fromkeys(figures))

    def _codes_of(self, full: str, figures: Iterable[str]) -> Iterator[tuple[str, tuple[str, ...]]]:
        """The segments that tell the figures, by the schemes in which the maker of a back writes codes."""
        back = self.index.backs[full]
        found: dict[str, list[str]] = {}
        for book in books_of(self.index, self.line, f"maker/{back.maker}"):
            for segment in book.scheme.segments:
                if segment.meaning == "figure" and segment.table:
                    texts = found.setdefault(SEGMENT + segment.name, [])
                    for figure in figures:
                        texts += expected_segments(self.index, book.scheme.id, figure)
        for name, texts in found.items():
            if texts:
                yield name, tuple(dict.fromkeys(texts))

    def _states(self, full: str, maker: str) -> Iterator[tuple[str, str | tuple[str, ...]]]:
        """States of the catalogue's features; what cannot be, as the checker tells, is passed over."""
        record = self.index.get(full)
        if not getattr(record, "features", None):
            return  # most cards have none of their own
        for slug, states in states_of(self.index, full).items():
            feature = self.catalogue.get(slug)
            if feature is None or (feature.makers and f"maker/{maker}" not in feature.makers):
                continue
            possible = tuple(state for state in states if self._can_be(slug, state))
            if possible:
                # One state is told as itself: a table takes it apart quicker.
                yield name_of(slug), possible if len(possible) > 1 else possible[0]

    def _can_be(self, slug: str, state: str) -> bool:
        known = self._checked.get((slug, state))
        if known is None:
            known = self._checked[slug, state] = not state_fault(self.catalogue[slug], state)
        return known

    @cached_property
    def _checked(self) -> dict[tuple[str, str], bool]:
        return {}

    def _is_uncoded(self, maker: str) -> bool:
        record = self.index.lines.get(self.line)
        return record is not None and f"maker/{maker}" in record.uncoded

    # --- worked out once for the line

    @cached_property
    def varying(self) -> tuple[str, ...]:
        """The figures that some back pictures and another with the same maker and count does not."""
        found: dict[str, None] = {}
        pictures = pictures_of(self.index)
        for (line, _, _), ids in self.index.backs_by_group.items():
            if line != self.line or len(ids) < 2:
                continue
            lists = [frozenset(seen.figures) for full in ids if (seen := pictures.get(full)) is not None]
            if lists:
                uneven = frozenset.union(*lists) - frozenset.intersection(*lists)
                found.update(dict.fromkeys(sorted(uneven)))
        return tuple(found)

    @cached_property
    def _sold(self) -> Mapping[str, list[str]]:
        """Maker, short -> full ids of the figures of this line that it brought out."""
        found: dict[str, list[str]] = {}
        for maker, figure in debut_waves(self.index):
            if figure.startswith(f"{self.line}/"):
                found.setdefault(short_id(maker), []).append(figure)
        return found

    @cached_property
    def reads(self) -> Mapping[str, tuple[CodeRead, ...]]:
        """Face -> its codes that a scheme of its maker reads whole."""
        found: dict[str, list[CodeRead]] = {}
        for read in codes_read(self.index):
            if read.code is not None and not read.code.partial and read.face.startswith(f"{self.line}/"):
                found.setdefault(read.face, []).append(read)
        return {face: tuple(reads) for face, reads in found.items()}

    @cached_property
    def meanings(self) -> Mapping[tuple[str, str], str]:
        """``(name of a segment's sight, its text)`` -> what it stands for, by the tables of the schemes."""
        found: dict[tuple[str, str], dict[str, None]] = {}
        for reads in self.reads.values():
            for read in reads:
                assert read.book is not None  # noqa: S101 - said for the type checker: it read the code
                assert read.code is not None  # noqa: S101 - the same
                for meaning in read.book.meanings(read.code):
                    if meaning.senses:
                        key = SEGMENT + meaning.segment, meaning.text
                        found.setdefault(key, {})[meaning.label] = None
        return {key: " or ".join(labels) for key, labels in found.items()}

    @cached_property
    def origin_texts(self) -> Mapping[tuple[str, str], str]:
        """``(name of an origin's sight, country)`` -> what is commonly printed there."""
        found: dict[tuple[str, str], Counter[str]] = {}
        for full, card in self.index.cards.items():
            if full.startswith(f"{self.line}/"):
                for mark in card.origin:
                    if mark.text:
                        key = f"origin-{mark.where.value}", mark.country.lower()
                        found.setdefault(key, Counter())[mark.text] += 1
        return {key: texts.most_common(1)[0][0] for key, texts in found.items()}

    @cached_property
    def segments(self) -> tuple[str, ...]:
        """The names of all segments that codes of this line have; check digits are not counted."""
        return tuple(
            dict.fromkeys(
                segment.name
                for full, scheme in self.index.schemes.items()
                if full.startswith(f"{self.line}/")
                for segment in scheme.segments
                if segment.meaning != "check"
            )
        )

    @cached_property
    def _codes(self) -> Mapping[str, Part]:
        """Face -> the segments of its codes."""
        found: dict[str, Part] = {}
        for face, reads in self.reads.items():
            part: dict[str, tuple[str, ...]] = {}
            for read in reads:
                assert read.book is not None  # noqa: S101 - said for the type checker: it read the code
                assert read.code is not None  # noqa: S101 - the same
                layout = short_id(read.book.scheme.id)
                part["code-layout"] = tuple(dict.fromkeys((*part.get("code-layout", ()), layout)))
                for name in self.segments:
                    text = read.code.segments.get(name, NO_SEGMENT)
                    key = SEGMENT + name
                    part[key] = tuple(dict.fromkeys((*part.get(key, ()), text)))
            found[face] = part
        return found


_NAMED = frozenset({Role.LICENSEE, Role.SELLER})
"""Whose names stand on a card beside the maker's."""


def _languages(tags: Iterable[str]) -> str:
    return "+".join(sorted(dict.fromkeys(tags)))
