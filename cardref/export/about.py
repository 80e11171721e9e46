"""What every export says of itself: which data it is, which version, under which licence.

>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> about(Index({kind: {} for kind in KINDS}))["notice"]
''
"""

from cardref.index import Index
from cardref.model.dataset import MODEL_VERSION, Dataset

__all__ = ["About", "about", "layers"]

About = dict[str, str | int]


def about(index: Index) -> About:
    """Title, version, licence, fingerprint, model version, a notice where data is invented, a caution.

    Of several layers title and version are the top one's, the fingerprint covers all, and ``licence`` names
    each licence once, as an SPDX expression.
    """
    dataset = index.dataset
    licences = tuple(dict.fromkeys(one.licence for one in index.datasets))
    if len(licences) > 1:
        licences = tuple(f"({one})" if " " in one else one for one in licences)
    return {
        "title": dataset.title if dataset else "",
        "version": dataset.version if dataset else "",
        "licence": " AND ".join(licences),
        "fingerprint": index.fingerprint,
        "model": dataset.model if dataset else MODEL_VERSION,
        "notice": _notice(index.datasets),
        "caution": "Nothing here authenticates a card: have it inspected in hand by experienced people.",
    }


def _notice(datasets: tuple[Dataset, ...]) -> str:
    invented = [one.title for one in datasets if one.invented]
    if not invented:
        return ""
    if len(invented) == len(datasets):
        return "Invented demo data: no such toys exist."
    return f"Invented demo data is among it ({'; '.join(invented)}): no such toys exist."


def layers(index: Index) -> list[tuple[str, str]]:
    """``(id, name of the layer it comes from)`` of every record, by id; [] where there is one layer only."""
    return sorted(index.origin.items()) if index.layers else []
