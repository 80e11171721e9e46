"""A company that made or sold the carded toy."""

import enum

from attrs import frozen

from cardref.model.fields import about, written
from cardref.notation.edtf import Date
from cardref.notation.folding import fold

__all__ = ["BackPolicy", "Maker", "Role"]


class BackPolicy(enum.StrEnum):
    """What a maker's backs picture: its *own* range, or one *generic* back under many figures."""

    OWN = "own"
    GENERIC = "generic"


class Role(enum.StrEnum):
    """What a company did for a card."""

    PRINTER = "printer"
    LICENSEE = "licensee"
    SELLER = "seller"


@frozen(kw_only=True)
class Maker:
    """A maker. Kept in ``makers.yaml``.

    >>> Maker(id="maker/quay-marl", name="Quay & Marl Playworks", country="IE").backs.value
    'own'
    """

    id: str = written("slug", "Short name, used in ids and file names.")
    name: str = about("Name in its own script, as printed.")
    latin: str = about("Name in Latin letters, where its own script is another.", "")
    country: str = written(
        "country", "Where it was: ISO 3166-1 alpha-2, or ISO 3166-3 alpha-4 if withdrawn.", ""
    )
    languages: tuple[str, ...] = written("language", "Languages of its cards, BCP 47.", ())
    active: Date | None = about("When it made or sold carded toys, EDTF.", None)
    roles: tuple[Role, ...] = about("What it usually did for a card.", ())
    backs: BackPolicy = about("Whether its backs picture its own range or are generic.", BackPolicy.OWN)
    sources: tuple[str, ...] = about("Where this comes from.", (), refers=("source",))
    note: str = about("What else is worth telling.", "")

    @property
    def short(self) -> str:
        """The part of its name that its id repeats, as people say it; else the words of the id.

        >>> Maker(id="maker/quay-marl", name="Quay & Marl Playworks").short
        'Quay & Marl'
        """
        wanted = self.id.rpartition("/")[2].split("-")
        said = (self.latin or self.name).split()
        for size in range(1, len(said) + 1):
            if [fold(word) for word in said[:size] if word.isalnum()][-len(wanted) :] == wanted:
                return " ".join(said[:size])
        return " ".join(wanted)

    @property
    def forms(self) -> tuple[str, ...]:
        """Every way in which it is called: its name in its own script and in Latin letters, and short."""
        return (self.name, self.latin, self.short) if self.latin else (self.name, self.short)
