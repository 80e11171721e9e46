"""Which file holds what: kind <-> path, the one table.

>>> spec = spec_of("lines/tidewrack/backs/quay-marl.yaml")
>>> spec.lists, spec.line, spec.maker
(('backs',), 'tidewrack', 'quay-marl')
>>> path_for("figure", line="tidewrack")
'lines/tidewrack/figures.yaml'
"""

from attrs import frozen

from cardref.model.forms import is_slug
from cardref.model.kinds import KINDS

__all__ = ["AT_ROOT", "DOCUMENTS", "UNFINISHED", "FileSpec", "path_for", "spec_of"]

UNFINISHED = ".cardref-unfinished"
"""The file that stands at the top of a dataset while a change of several of its files is not finished."""


@frozen
class FileSpec:
    """What one file holds.

    Attributes:
        document: name of the document type, which is the name of its JSON Schema.
        lists: keys at its top that hold lists of records; the key is the kind's plural.
        top: the kind of record that the top itself is, or "".
        line, maker: whom its path belongs to, short names, or "".
    """

    document: str
    lists: tuple[str, ...]
    top: str = ""
    line: str = ""
    maker: str = ""

    @property
    def header(self) -> tuple[str, ...]:
        """The keys that repeat, inside the file, whom it belongs to."""
        if self.top:
            return ()
        return ("line", "maker") if self.maker else ("line",) if self.line else ()


# document: (path pattern, keys of record lists, kind of the top itself)
DOCUMENTS: dict[str, tuple[str, tuple[str, ...], str]] = {
    "dataset": ("dataset.yaml", (), "dataset"),
    "makers": ("makers.yaml", ("makers",), ""),
    "sources": ("sources.yaml", ("sources",), ""),
    "features": ("features.yaml", ("features",), ""),
    "glossary": ("glossary.yaml", ("terms",), ""),
    "retired": ("retired.yaml", ("retired",), ""),
    "waivers": ("waivers.yaml", ("waivers",), ""),
    "line": ("lines/{line}/line.yaml", ("series", "waves", "schemes"), "line"),
    "line-features": ("lines/{line}/features.yaml", ("features",), ""),
    "figures": ("lines/{line}/figures.yaml", ("figures",), ""),
    "stickers": ("lines/{line}/stickers.yaml", ("stickers",), ""),
    "reproductions": ("lines/{line}/reproductions.yaml", ("reproductions",), ""),
    "backs": ("lines/{line}/backs/{maker}.yaml", ("backs",), ""),
    "faces": ("lines/{line}/faces/{maker}.yaml", ("faces",), ""),
    "cards": ("lines/{line}/cards/{maker}.yaml", ("cards",), ""),
}
AT_ROOT = {
    pattern: (name, lists, top) for name, (pattern, lists, top) in DOCUMENTS.items() if "{" not in pattern
}
"""What each file at the top of a dataset holds, by its name."""

_IN_LINE = {
    pattern.removeprefix("lines/{line}/"): (name, lists, top)
    for name, (pattern, lists, top) in DOCUMENTS.items()
    if pattern.startswith("lines/{line}/")
}


def spec_of(path: str) -> FileSpec | None:
    """What the file at ``path`` (relative, with ``/``) holds; None where the layout has no such file.

    A maker's file may be kept in parts: ``cards/quay-marl.saltglass.yaml`` beside ``cards/quay-marl.yaml``.
    """
    if path in AT_ROOT:
        return FileSpec(*AT_ROOT[path])
    parts = path.split("/")
    if len(parts) < 3 or parts[0] != "lines" or not is_slug(parts[1]):
        return None
    rest = "/".join(parts[2:])
    if rest in _IN_LINE:
        return FileSpec(*_IN_LINE[rest], line=parts[1])
    if len(parts) != 4 or not parts[3].endswith(".yaml"):
        return None
    maker, _, part = parts[3].removesuffix(".yaml").partition(".")
    found = _IN_LINE.get(f"{parts[2]}/{{maker}}.yaml")
    if found is None or not is_slug(maker) or (part and not is_slug(part)):
        return None
    return FileSpec(*found, line=parts[1], maker=maker)


def path_for(kind: str, line: str = "", maker: str = "") -> str:
    """Where a new record of ``kind`` (a kind's name) belongs."""
    plural = KINDS[kind].plural
    for pattern, lists, top in DOCUMENTS.values():
        if (plural in lists or top == kind) and ("{line}" in pattern) == bool(line):
            return pattern.format(line=line, maker=maker)
    raise ValueError(f"a record of kind {kind} is kept {'outside' if line else 'inside'} a line")
