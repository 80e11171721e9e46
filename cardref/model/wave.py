"""A wave: how a maker's range grew. Kept in ``lines/<line>/line.yaml``."""

from attrs import frozen

from cardref.model.evidence import Supported
from cardref.model.fields import about, own_first, refers, written
from cardref.notation.edtf import Date

__all__ = ["Wave"]


@frozen(kw_only=True, field_transformer=own_first)
class Wave(Supported):
    """The figures that one maker adds to its shops together.

    >>> Wave(id="tidewrack/wave/qm-1", maker="maker/quay-marl", series="tidewrack/series/tidewrack").debuts
    ()
    """

    id: str = written("slug", "Short name.")
    maker: str = refers("maker", "Whose wave it is.")
    series: str = refers("series", "The series it belongs to.")
    date: Date | None = about("When it reached the shops, EDTF.", None)
    debuts: tuple[str, ...] = refers("figure", "Figures that this maker sells from now on.", ())
    returns: tuple[str, ...] = refers("figure", "Figures that this maker sells again after a pause.", ())
    drops: tuple[str, ...] = refers("figure", "Figures that this maker stops selling.", ())
    starts_over: bool = about("True when the range starts anew here, as with a reissue.", default=False)
