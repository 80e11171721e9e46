"""A file that the dataset cannot do without is not there."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.rule import Also, Example, Hit, Rule
from cardref.finding import Severity
from cardref.location import Place
from cardref.storage.layout import spec_of
from cardref.storage.loader import LoadedFile
from cardref.text import count_of

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    files = corpus.loaded.files
    told: set[str] = set()
    if "dataset.yaml" not in files and corpus.under is None:
        hint = "write its id, title, version, licence and model, or name the folder that has it"
        yield _missing("dataset.yaml", f"dataset.yaml is missing: {hint}")
    if corpus.under is None:
        for line in sorted({file.line for file in files.values() if file.line}):
            path = f"lines/{line}/line.yaml"
            if path not in files:
                told.add(path)
                yield _missing(path, f"{path} is missing: write the line's title, series and waves there")
    for path, references in corpus.lost_files.items():
        if path in told:
            continue
        first = references[0]
        message = (
            f"{path} is missing, but {count_of(len(references), 'reference')} lead there, the first from "
            f"{corpus.named(first.entry)}: put the file back, or correct what refers to it"
        )
        yield _missing(path, message, Also(first.entry, "refers to it", first.pointer))


def _missing(path: str, message: str, *also: Also) -> Hit:
    return Hit(LoadedFile(path, spec_of(path)), message, place=Place(path), also=also)


RULE = Rule(
    id="missing-file",
    family="reading",
    severity=Severity.ERROR,
    summary="A file that the dataset cannot do without is not there.",
    rationale=(
        "A lost file takes all its records along. It is told once here, and not again by everything that "
        "refers to one of them."
    ),
    check=_check,
    good=Example("glossary.yaml", "", made="absent"),
    bad=Example("dataset.yaml", "", made="absent"),
)
