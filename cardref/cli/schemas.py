"""Every JSON Schema that is published: of the files that people write, and of the answers that verbs print.

``python -m cardref.cli.schemas DIR`` writes them all; ``cardref export schemas DIR`` does the same where none
of them is there yet. Those of this version stand in ``schemas/``, and a test keeps the two equal.

>>> sorted(published())[:3]
['backs.schema.json', 'baseline.schema.json', 'cards.schema.json']
"""

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, Final

from cardref.comparison import telling as comparison
from cardref.decoding import as_json as decoding
from cardref.gaps import as_json as gaps
from cardref.identification import as_json as identification
from cardref.report import shapes as report
from cardref.schema.generate import OWN, document_schema
from cardref.schema.pieces import rendered
from cardref.specimens import matching, one_card, proposing
from cardref.specimens import telling as holdings
from cardref.storage.layout import DOCUMENTS
from cardref.vetting import as_json as vetting

__all__ = ["published"]

_ANSWERS: Final[Mapping[str, Callable[[], dict[str, Any]]]] = {
    "baseline": report.baseline_schema,
    "comparison": comparison.schema,
    "decoding": decoding.schema,
    "gaps": gaps.schema,
    "identification": identification.schema,
    "own-card": one_card.schema,
    "own-match": matching.schema,
    "own-propose": proposing.schema,
    "own-report": holdings.schema,
    "report": report.report_schema,
    "vetting": vetting.schema,
}


def published() -> dict[str, str]:
    """File name -> text of every schema."""
    schemas = {name: document_schema(name) for name in (*DOCUMENTS, OWN)}
    schemas |= {name: made() for name, made in _ANSWERS.items()}
    return {f"{name}.schema.json": rendered(schema) for name, schema in schemas.items()}


if __name__ == "__main__":
    folder = Path(sys.argv[1] if len(sys.argv) > 1 else "schemas")
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in published().items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")
