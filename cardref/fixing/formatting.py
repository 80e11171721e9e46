r"""Files into the canonical layout (:mod:`cardref.storage.canonical`).

>>> import tempfile, pathlib
>>> folder = pathlib.Path(tempfile.mkdtemp())
>>> _ = (folder / "sources.yaml").write_text("sources:\n- kind: catalogue\n  id: spring   # the first\n")
>>> done = formatted(folder, ["sources.yaml"])
>>> print(done.changes[0].after.decode(), end="")
sources:
  - id: spring  # the first
    kind: catalogue
"""

from collections.abc import Iterable
from pathlib import Path

from attrs import frozen

from cardref.errors import DatasetError
from cardref.finding import Finding, Severity
from cardref.location import Place
from cardref.storage.atomic import Change, read_bytes
from cardref.storage.canonical import canonical
from cardref.storage.loader import load_description, refuse_newer
from cardref.storage.shape import shape_at
from cardref.storage.yamltext import decode, read_text

__all__ = ["Formatting", "formatted", "shape_at"]


@frozen
class Formatting:
    """What the canonical layout would change.

    Attributes:
        changes: the files that would be another text.
        kept: how many files are in the canonical layout already.
        left: why a file is left alone: it cannot be read, or not be laid out without a loss.
    """

    changes: tuple[Change, ...]
    kept: int
    left: tuple[Finding, ...]


def formatted(root: Path, paths: Iterable[str]) -> Formatting:
    """Lay out the files at ``paths`` (relative to ``root``, with ``/``). Nothing is written.

    Errors: DatasetError where a file cannot be opened, and where ``root`` holds a dataset in a newer version
    of the model: its layout may be another one.
    """
    refuse_newer(load_description(root), str(root))
    changes: list[Change] = []
    left: list[Finding] = []
    kept = 0
    for path in paths:
        data = read_bytes(root, path)
        if data is None:
            raise DatasetError(f"{path} is gone")
        text, faults = decode(data)
        faults = faults or read_text(text).faults
        if faults:
            fault = faults[0]
            place = Place(path, fault.line, fault.column, fault.line, fault.end_column)
            left.append(Finding(rule=fault.rule, severity=Severity.ERROR, message=fault.message, place=place))
            continue
        try:
            made = canonical(text, shape_at(path)).encode()
        except DatasetError as error:
            left.append(
                Finding(rule="layout", severity=Severity.ERROR, message=str(error), place=Place(path))
            )
            continue
        if made == data:
            kept += 1
        else:
            changes.append(Change(path, data, made))
    return Formatting(tuple(changes), kept, tuple(left))
