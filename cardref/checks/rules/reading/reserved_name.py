"""A line or maker is named as Windows names a device, so that its files cannot lie on that system."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.finding import Severity

__all__ = ["RESERVED", "RULE"]

RESERVED = frozenset(
    ["con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))]
)
"""Names of devices, in any case and with anything behind a dot (Microsoft, "Naming Files, Paths, and
Namespaces"; from memory).
"""


def _check(corpus: Corpus) -> Iterator[Hit]:
    for kind in ("line", "maker"):
        for entry in corpus.entries(kind):
            name = entry.id.rpartition("/")[2]
            if name in RESERVED:
                message = (
                    f"{corpus.named(entry)} has the id {name}, which Windows keeps for a device: no file or "
                    "folder can be named so there. Give it another id with `cardref retire --rename-to`"
                )
                yield Hit(entry, message, ("id",), value=name)


RULE = Rule(
    id="reserved-name",
    family="reading",
    severity=Severity.WARNING,
    summary="A line or maker is named as Windows names a device.",
    rationale=(
        "Ids of lines and makers are names of folders and files. With such a name the dataset cannot be "
        "copied to a machine with Windows, and whoever works on one cannot contribute."
    ),
    check=_check,
    good=changed("makers.yaml", "makers:\n", "makers:\n  - {id: conn, name: Conn Seals, roles: [seller]}\n"),
    bad=changed(
        "makers.yaml",
        "makers:\n",
        "makers:\n  - {id: con, name: Conn Seals, roles: [seller]}\n",
        "maker/con",
        "id",
    ),
)
