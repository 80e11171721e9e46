"""The public reference: a loaded, immutable dataset that answers questions.

>>> ref = load()
>>> ref.back("quay-marl 25B").count
25
>>> [figure.name for figure in ref.find("lamp diver")]
['Lamp Diver']
"""

import os
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

from cardref.errors import DatasetError
from cardref.index import Index, from_compiled, from_loaded
from cardref.model.kinds import KINDS, Record
from cardref.storage.bundle import home
from cardref.text import count_of, quoted

if TYPE_CHECKING:
    from cardref.decoding.result import Decoding
    from cardref.identification.identify import Identification
    from cardref.model.back import Back
    from cardref.model.card import Card
    from cardref.model.condition import ConditionReport
    from cardref.model.dataset import Dataset
    from cardref.model.face import Face
    from cardref.model.feature import Feature
    from cardref.model.figure import Figure
    from cardref.model.line import Line
    from cardref.model.maker import Maker
    from cardref.model.reproduction import Reproduction
    from cardref.model.scheme import Scheme
    from cardref.model.series import Series
    from cardref.model.source import Source
    from cardref.model.sticker import Sticker
    from cardref.model.term import Term
    from cardref.model.wave import Wave
    from cardref.notation.names import Hit
    from cardref.vetting.condition import Description
    from cardref.vetting.result import Vetting

__all__ = ["Reference", "load"]


class Reference:
    """A dataset, ready to be asked. Immutable, safe to share between threads, picklable.

    Mappings go from full id to frozen record, in the order of the dataset; ``backs`` in semantic order (line,
    maker, designation). The look-ups (:meth:`back`, :meth:`figure` ...) take an id, a short id, a name, or
    for a back ``maker designation``; they give one record, or raise :class:`~cardref.UnknownRecord` with the
    nearest names, or :class:`~cardref.AmbiguousRecord` with all matches.
    """

    __slots__ = ("_index", "_name")
    _index: Index
    _name: str

    def __init__(self, index: Index, name: str) -> None:
        object.__setattr__(self, "_index", index)
        object.__setattr__(self, "_name", name)

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError("a Reference cannot be changed: load another")

    def __reduce__(self) -> tuple[Any, ...]:
        return type(self), (self._index, self._name)

    def __repr__(self) -> str:
        return f"<Reference {self._name} {self.version}>"

    # --- the dataset --------------------------------------------------------------------------------

    @property
    def name(self) -> str:
        """What was loaded: a path, or ``bundled``."""
        return self._name

    @property
    def dataset(self) -> "Dataset | None":
        """What the dataset says of itself."""
        return self._index.dataset

    @property
    def version(self) -> str:
        """The dataset's version, or "" where it has none."""
        return self.dataset.version if self.dataset else ""

    @property
    def fingerprint(self) -> str:
        """16 hex digits for everything that the records say, whatever their files and layout."""
        return self._index.fingerprint

    @property
    def index(self) -> Index:
        """The index underneath, for those who write rules and tools of their own."""
        return self._index

    # --- records ------------------------------------------------------------------------------------

    @property
    def lines(self) -> "Mapping[str, Line]":
        """Lines by id."""
        return self._index.lines

    @property
    def series(self) -> "Mapping[str, Series]":
        """Series by full id."""
        return self._index.series

    @property
    def waves(self) -> "Mapping[str, Wave]":
        """Waves by full id."""
        return self._index.waves

    @property
    def schemes(self) -> "Mapping[str, Scheme]":
        """Code schemes by full id."""
        return self._index.schemes

    @property
    def figures(self) -> "Mapping[str, Figure]":
        """Figures by full id."""
        return self._index.figures

    @property
    def makers(self) -> "Mapping[str, Maker]":
        """Makers by full id."""
        return self._index.makers

    @property
    def backs(self) -> "Mapping[str, Back]":
        """Backs by full id: line by line, maker by maker, by designation."""
        return self._index.backs

    @property
    def faces(self) -> "Mapping[str, Face]":
        """Faces by full id."""
        return self._index.faces

    @property
    def cards(self) -> "Mapping[str, Card]":
        """Cards by full id."""
        return self._index.cards

    @property
    def stickers(self) -> "Mapping[str, Sticker]":
        """Stickers by full id."""
        return self._index.stickers

    @property
    def features(self) -> "Mapping[str, Feature]":
        """Features by full id, general ones and lines' own."""
        return self._index.features

    @property
    def sources(self) -> "Mapping[str, Source]":
        """Sources by full id."""
        return self._index.sources

    @property
    def reproductions(self) -> "Mapping[str, Reproduction]":
        """Known copies by full id."""
        return self._index.reproductions

    @property
    def terms(self) -> "Mapping[str, Term]":
        """Words of the trade by full id."""
        return self._index.terms

    # --- look-ups -----------------------------------------------------------------------------------

    def find(self, text: str, kind: str = "") -> tuple[Record, ...]:
        """Every record that ``text`` may mean, of ``kind`` where that is given; () where there is none.

        ``text`` is an id (full, short or retired), ``maker designation``, or a name in any language; a bare
        count means all its letters.
        """
        ids = self._index.find(text, (kind,) if kind else ())
        return tuple(record for full in ids if (record := self._index.get(full)) is not None)

    def kind_of(self, full: str) -> str:
        """The kind of the record with this full id, or ""."""
        return self._index.kind(full)

    def layer_of(self, full: str) -> str:
        """The name of the dataset that a record (or a retired id) comes from: of several layers, the one that
        won; "" where there is no such id.
        """
        known = full in self._index or full in self._index.retired
        return self._index.origin.get(full, self._name) if known else ""

    @property
    def layers(self) -> tuple[str, ...]:
        """The names of the datasets that lie over each other, the one that wins first; one without layers."""
        return self._index.layers or (self._name,)

    def line(self, text: str) -> "Line":
        """The line that ``text`` means."""
        return cast("Line", self._index.one(text, "line"))

    def maker(self, text: str) -> "Maker":
        """The maker that ``text`` means."""
        return cast("Maker", self._index.one(text, "maker"))

    def figure(self, text: str) -> "Figure":
        """The figure that ``text`` means."""
        return cast("Figure", self._index.one(text, "figure"))

    def back(self, text: str) -> "Back":
        """The back that ``text`` means: an id, or ``quay-marl 25B``."""
        return cast("Back", self._index.one(text, "back"))

    def face(self, text: str) -> "Face":
        """The face that ``text`` means."""
        return cast("Face", self._index.one(text, "face"))

    def card(self, text: str) -> "Card":
        """The card that ``text`` means."""
        return cast("Card", self._index.one(text, "card"))

    def source(self, text: str) -> "Source":
        """The source that ``text`` means."""
        return cast("Source", self._index.one(text, "source"))

    def feature(self, text: str) -> "Feature":
        """The feature that ``text`` means."""
        return cast("Feature", self._index.one(text, "feature"))

    def term(self, text: str) -> "Term":
        """The word of the trade that ``text`` means."""
        return cast("Term", self._index.one(text, "term"))

    def cards_of(self, figure: str) -> "tuple[Card, ...]":
        """The cards of a figure (an id or a name), in the order of its faces."""
        return self._index.cards_of(self.figure(figure).id)

    # --- questions ----------------------------------------------------------------------------------

    def decode(self, text: str) -> "Decoding":
        """What a package code, designation or barcode typed off a card means. Never raises on text.

        Errors: TypeError where ``text`` is no string.
        """
        from cardref.decoding.decode import decode  # noqa: PLC0415 - a look-up needs no decoder

        return decode(self._index, text)

    def read(self, text: str) -> "tuple[Hit, ...]":
        """What running text, such as a listing's title, says: designations, codes, names, words of condition.

        Each hit has its kind, value, span (characters from 0) and the changes needed to read it.

        Errors: TypeError where ``text`` is no string.
        """
        from cardref.decoding.listing import read  # noqa: PLC0415 - the names' index is large

        return read(self._index, text)

    def identify(
        self, line: str = "", by: str = "back", *, threshold: float = 0.95, **known: object
    ) -> "Identification":
        """Which printing it is, from what can be seen, in any order, misreads allowed for.

        Args:
            line: id or title of the line; where it is left out, the one line that what is known fits.
            by: ``back``: the candidates are printed reverses; ``card``: recorded pairings of front and back.
            threshold: how probable the first candidate must be to call it identified.
            known: what was seen so far, such as ``maker="quay-marl"`` or ``back_count=25``; more with
                :meth:`~cardref.Identification.observe`.

        Nothing in the answer authenticates a card.

        Errors: UsageError for a feature or state that does not exist, with what was probably meant, and where
        no line is named and several fit; UnknownRecord for a line.
        """
        from cardref.identification.identify import identify  # noqa: PLC0415 - a look-up needs no engine

        return identify(self._index, line, by, known, threshold=threshold)

    def vet(self, words: str = "", /, **fields: object) -> "Vetting":
        """Whether a claimed card agrees with itself and with what is recorded, and what to ask for.

        Args:
            words: a listing's words, read like :meth:`read`.
            fields: what is claimed, such as ``back="21A"`` or ``surface_sheen="glossy"``; a list for several
                values. What is given here goes before what the words say.

        Nothing in the answer authenticates a card.

        Errors: UsageError for an unknown field, a value that its field cannot have, or nothing claimed.
        """
        from cardref.vetting.vet import vet  # noqa: PLC0415 - a look-up needs no vetting

        return vet(self._index, words, fields.items())

    def describe_condition(self, report: "ConditionReport", maker: str = "") -> "Description":
        """A condition report as an honest description: what hurts, what is merely age, what to ask.

        Args:
            report: the report.
            maker: whose card it is, by id or name: the colour of a bubble is judged by maker.

        Errors: UsageError for a state that a part does not have; UnknownRecord for a maker.
        """
        from cardref.vetting.condition import describe  # noqa: PLC0415 - the same

        return describe(report, self._index, self.maker(maker).id if maker else "")


def load(
    path: str | os.PathLike[str] | None = None, *, over: "Reference | str | os.PathLike[str] | None" = None
) -> Reference:
    """Load a dataset: the bundled demo reference, or the directory ``path``.

    Args:
        path: a directory that holds ``dataset.yaml``; None for the bundled reference.
        over: a reference (or its directory) to lay this one over: records here win over those with the same
            id there, and :meth:`Reference.layer_of` tells which won.

    Errors: DatasetError, with findings, where a file cannot be read, a record does not fit the model, or the
    dataset is written in a newer model version.
    """
    reference = _bundled() if path is None else _from_directory(Path(path))
    if over is None:
        return reference
    base = over if isinstance(over, Reference) else load(over)
    return Reference(reference.index.over(base.index, reference.name, base.name), reference.name)


def _bundled() -> Reference:
    place = home()
    if place.compiled:
        return Reference(from_compiled(place.dataset), "bundled")
    return Reference(_from_directory(place.dataset).index, "bundled")


def _from_directory(path: Path) -> Reference:
    from cardref.storage.loader import (  # noqa: PLC0415 - the bundled reference needs no YAML
        load_tree,
        refuse_newer,
    )

    loaded = load_tree(path)
    refuse_newer(loaded, str(path))
    if "dataset.yaml" not in loaded.files:
        raise DatasetError(
            f"{quoted(str(path))} holds no dataset.yaml: name a dataset's directory, or start one with "
            "`cardref init`"
        )
    if any(f.faults or f.misshapen for f in loaded.files.values()) or any(
        entry.record is None for kind in KINDS for entry in loaded.entries[kind]
    ):
        from cardref.checks.runner import check  # noqa: PLC0415 - only a faulty dataset needs the checker
        from cardref.finding import Severity  # noqa: PLC0415 - the same

        report = check(path, select=("reading", "shape"))
        errors = report.at_least(Severity.ERROR)
        if errors:
            raise DatasetError(
                f"{quoted(str(path))} cannot be used: {count_of(len(errors), 'error')}, the first at "
                f"{errors[0].place}: {errors[0].message}; run `cardref check` for all",
                errors,
            )
    return Reference(from_loaded(loaded), str(path))
