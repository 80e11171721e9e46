"""What every export says of itself: which data it is, which version, under which licence.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> about(Index({kind: {} for kind in KINDS}))["notice"]
''
"""

from cardref.index import Index
from cardref.model.dataset import MODEL_VERSION

__all__ = ["about"]


def about(index: Index) -> dict[str, str | int]:
    """Title, version, licence, fingerprint, model version, and a notice where the data is invented."""
    dataset = index.dataset
    return {
        "title": dataset.title if dataset else "",
        "version": dataset.version if dataset else "",
        "licence": dataset.licence if dataset else "",
        "fingerprint": index.fingerprint,
        "model": dataset.model if dataset else MODEL_VERSION,
        "notice": "Invented demo data: no such toys exist." if dataset and dataset.invented else "",
    }
