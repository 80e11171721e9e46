"""A figure: the toy, whatever it is called where."""

from attrs import frozen

from cardref.model.fields import about, refers, written

__all__ = ["Figure", "Name"]


@frozen(kw_only=True)
class Name:
    """What a figure is called in one language, perhaps only in one series or by one maker."""

    text: str = about("The name in its own script.")
    language: str = written("language", "BCP 47 tag.")
    latin: str = about("The name in Latin letters, where its own script is another.", "")
    series: str = refers("series", "The series that uses it; every one when absent.", "")
    maker: str = refers("maker", "The maker who uses it; everybody when absent.", "")

    @property
    def forms(self) -> tuple[str, ...]:
        """Every way in which it is written: in its own script, and in Latin letters."""
        return (self.text, self.latin) if self.latin else (self.text,)


@frozen(kw_only=True)
class Figure:
    """A figure. Kept in ``lines/<line>/figures.yaml``.

    >>> Figure(id="tidewrack/figure/lamp-diver", names=(Name(text="Lamp Diver", language="en"),)).name
    'Lamp Diver'
    """

    id: str = written("slug", "Short name.")
    names: tuple[Name, ...] = about("Its names, the usual one first.", minimum=1)
    same_name: tuple[str, ...] = refers("figure", "Other figures that bear the same name on purpose.", ())
    accessories: tuple[str, ...] = about("What comes with it.", ())
    sources: tuple[str, ...] = refers("source", "Where this comes from.", ())
    note: str = about("What else is worth telling.", "")

    @property
    def name(self) -> str:
        """Its usual name, in Latin letters."""
        return self.names[0].latin or self.names[0].text

    @property
    def forms(self) -> tuple[str, ...]:
        """Every way in which any of its names is written."""
        return tuple(form for name in self.names for form in name.forms)
