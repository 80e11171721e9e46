"""A dataset as a whole: what it is called, which version it is, under which licence it is given."""

from collections.abc import Mapping

from attrs import frozen

from cardref.model.fields import EMPTY_MAP, about, written
from cardref.severity import Severity

__all__ = ["MODEL_VERSION", "OLDEST_MODEL", "Dataset"]

MODEL_VERSION = 1
"""The version of the model that this library writes. It reads this one and older ones."""
OLDEST_MODEL = 0
"""The oldest that it reads: 0 is what was written before the first published model, and is read like 1. What
of it is not in 1 any more is found key by key.
"""


@frozen(kw_only=True)
class Dataset:
    """The top of a dataset. Kept in ``dataset.yaml``.

    >>> Dataset(id="demo", title="Demo", version="2026.11", licence="CC0-1.0", model=1).model
    1
    """

    id: str = written("slug", "A short name for the dataset.")
    title: str = about("What it is, in a sentence.")
    version: str = written("calver", "Calendar version: YYYY.MM or YYYY.MM.N.")
    licence: str = about("Licence of the data, as an SPDX identifier.")
    model: int = about("Version of the model it is written in.", minimum=OLDEST_MODEL)
    invented: bool = about("True when everything in it is invented for demonstration.", default=False)
    severities: Mapping[str, Severity] = about("Severities of rules that differ from their own.", EMPTY_MAP)
    note: str = about("What else is worth telling.", "")
