"""Every record that says how well it is supported."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.model.card import Card
from cardref.model.evidence import Supported
from cardref.model.kinds import KINDS
from cardref.storage.loader import Entry

__all__ = ["KINDS_SUPPORTED", "named_sources", "supported"]

KINDS_SUPPORTED: tuple[str, ...] = tuple(
    name for name, kind in KINDS.items() if issubclass(kind.record, Supported)
)


def supported(corpus: Corpus) -> Iterator[tuple[Entry, Supported]]:
    """All such records, kind by kind."""
    for kind in KINDS_SUPPORTED:
        yield from corpus.records(kind, Supported)


def named_sources(record: Supported) -> tuple[str, ...]:
    """The sources a record stands on, those of its sightings included, each once."""
    seen = [sighting.source for sighting in record.sightings] if isinstance(record, Card) else []
    return tuple(dict.fromkeys((*record.sources, *seen)))
