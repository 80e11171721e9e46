"""A language code that is none."""

from collections.abc import Iterator
from typing import Any

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Mend, Rule
from cardref.facts.territories import language_exists, language_meant
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.text import quoted

__all__ = ["RULE"]


def _tags(record: Any) -> Iterator[tuple[Pointer, str]]:
    for number, tag in enumerate(getattr(record, "languages", ())):
        yield ("languages", number), tag
    for number, name in enumerate(getattr(record, "names", ())):
        yield ("names", number, "language"), name.language
    for tag in getattr(record, "titles", ()):
        yield ("titles", tag), tag
    tag = getattr(record, "language", "")
    if tag:
        yield ("language",), tag


def _check(corpus: Corpus) -> Iterator[Hit]:
    known: dict[str, bool] = {}
    for kind in ("maker", "line", "series", "figure", "sticker", "back", "face"):
        for entry, record in corpus.records(kind, object):
            for pointer, tag in _tags(record):
                if tag not in known:
                    known[tag] = language_exists(tag)
                if known[tag]:
                    continue
                meant = language_meant(tag)
                hint = f": for the language of that country write {meant}" if meant else ""
                yield Hit(
                    entry,
                    f"{corpus.named(entry)}: {quoted(tag)} is no language code (ISO "
                    f"639-1){hint or ': correct it'}",
                    pointer,
                    on_key=pointer[0] == "titles",
                    value=tag,
                    mend=Mend(f"write {meant}", meant) if meant and pointer[0] != "titles" else None,
                )


RULE = Rule(
    id="unknown-language",
    family="cards",
    severity=Severity.ERROR,
    summary="A language code is none of ISO 639-1.",
    rationale=(
        "Codes of countries and languages are easily mixed up: gr is no language, el is Greek. Cards are "
        "searched and told apart by language, so a code that does not exist loses them."
    ),
    check=_check,
    fix="unsafe",
    good=changed("lines/lanternfish/stickers.yaml", "language: de", "language: de-AT"),
    bad=changed(
        "lines/lanternfish/stickers.yaml",
        "language: de",
        "language: dk",
        "lanternfish/sticker/de-strip",
        "language",
    ),
)
