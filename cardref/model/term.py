"""A word of the trade, for beginners."""

from attrs import frozen

from cardref.model.fields import about, written

__all__ = ["Term"]


@frozen(kw_only=True)
class Term:
    """A word of the trade. Kept in ``glossary.yaml``.

    >>> Term(id="term/back", word="back", what="the printed reverse").word
    'back'
    """

    id: str = written("slug", "Short name.")
    word: str = about("The word as people say it.")
    also: tuple[str, ...] = about("Other ways to say it.", ())
    what: str = about("What it is.")
    where: str = about("Where to look.", "")
    why: str = about("Why it matters.", "")
    see: tuple[str, ...] = about("Other words worth reading.", (), refers=("term",))

    @property
    def forms(self) -> tuple[str, ...]:
        """Every way to say it."""
        return self.word, *self.also
