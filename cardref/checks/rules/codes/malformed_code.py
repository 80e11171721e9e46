"""A package code that no scheme of its maker can have printed."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Mend, Rule
from cardref.errors import NotationError
from cardref.facts.called import called, listed
from cardref.facts.codebook import CodeBook, codebooks
from cardref.facts.codes import books_of, codes_read, layout_fault, layout_sample
from cardref.finding import Severity
from cardref.index import Index
from cardref.model.face import Face
from cardref.text import quoted

__all__ = ["RULE", "misprinted"]


def misprinted(error: NotationError | None) -> bool:
    """Whether the only fault of a code is its check digit, which is a rule of its own."""
    return error is not None and error.problem.startswith("the check digit")


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for read in codes_read(index):
        entry = corpus.by_id.get(read.face)
        if read.book is not None or entry is None:
            continue
        face = index.faces[read.face]
        line, maker, _ = face.id.split("/")
        books = books_of(index, line, f"maker/{maker}", face.series)
        if not books and not books_of(index, line, f"maker/{maker}"):
            continue  # no scheme at all is another matter
        if any(misprinted(layout_fault(book, read.text)) for book in books):
            continue
        near = books[0] if books else None
        yield Hit(
            entry,
            f"{called(index, face.id)} carries {quoted(read.text)}, {_why(index, face, read.text, books)}: "
            "read the code again as it is printed",
            ("codes", read.at),
            value=read.text,
            also=side(corpus, near.scheme.id, f"writes {layout_sample(near)}", "segments") if near else (),
            mend=_mend(books, read.text),
        )


def _why(index: Index, face: Face, text: str, books: tuple[CodeBook, ...]) -> str:
    other = next((book for book in codebooks(index).values() if book.printed(text) is not None), None)
    if other is not None:
        whose = f"which is written as {called(index, other.scheme.id)}"
        makers = listed(called(index, maker) for maker in other.scheme.makers)
        if f"maker/{face.maker}" in other.scheme.makers:
            return f"{whose}, and that does not hold for {called(index, face.series)}"
        return f"{whose} of {makers}"
    if not books:
        return f"but no scheme of its maker holds for {called(index, face.series)}"
    shapes = listed(quoted(layout_sample(book)) for book in books)
    error = layout_fault(books[0], text)
    told = (
        f", and {error.expected} is missing at column {error.span[0] + 1}"
        if error and len(books) == 1
        else ""
    )
    return f"but codes of its maker look like {shapes}{told}"


def _mend(books: tuple[CodeBook, ...], text: str) -> Mend | None:
    """The code that was meant, where kind reading by the one scheme finds it."""
    error = layout_fault(books[0], text) if len(books) == 1 else None
    if error is None or len(error.suggestions) != 1:
        return None
    meant = error.suggestions[0]
    return Mend(f"write {meant}", '"' + meant + '"')


RULE = Rule(
    id="malformed-code",
    family="codes",
    severity=Severity.ERROR,
    summary="A package code is written as no scheme of its maker has it.",
    rationale=(
        "The code is what people type when they ask what they have. One with a sign too many or too few "
        "finds nothing, and a card that carries the true code looks wrong."
    ),
    check=_check,
    needs=("scheme",),
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", "L-014/06", '"L-0?4/06"'),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        "L-014/06",
        "L-0146/06",
        "lanternfish/pell-orrin/f-005",
        "codes",
    ),
)
