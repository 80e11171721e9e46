"""A package code whose check digit does not fit."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.checks.rules.codes.malformed_code import misprinted
from cardref.facts.called import called, listed
from cardref.facts.codes import books_of, codes_read, layout_fault
from cardref.finding import Severity
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for read in codes_read(index):
        entry = corpus.by_id.get(read.face)
        if read.book is not None or entry is None:
            continue
        line, maker, _ = read.face.split("/")
        for book in books_of(index, line, f"maker/{maker}", index.faces[read.face].series):
            error = layout_fault(book, read.text)
            if error is not None and misprinted(error):
                meant = f" (perhaps {listed(map(quoted, error.suggestions), 3)})" if error.suggestions else ""
                yield Hit(
                    entry,
                    f"{called(index, read.face)} carries {quoted(read.text)}, whose check digit does not "
                    f"fit: expected is {error.expected}; read the code again{meant}",
                    ("codes", read.at),
                    value=read.text,
                    also=side(corpus, book.scheme.id, f"checks by {book.scheme.check}", "check"),
                )
                break


RULE = Rule(
    id="check-digit",
    family="codes",
    severity=Severity.ERROR,
    summary="A package code's check digit does not fit its other digits.",
    rationale=(
        "The maker printed a check digit so that a misread code shows. One that does not fit was read or "
        "typed wrongly; as it stands it can be on no card, unless the printer slipped."
    ),
    check=_check,
    needs=("scheme",),
    good=changed("lines/lanternfish/faces/morvane.yaml", "2041-2", '"2041-?"'),
    bad=changed(
        "lines/lanternfish/faces/morvane.yaml", "2041-2", "2041-3", "lanternfish/morvane/f-001", "codes"
    ),
)
