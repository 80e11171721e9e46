"""A barcode whose digits cannot be one."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.errors import NotationError
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.face import Face
from cardref.notation.gtin import Gtin
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, face in corpus.records("face", Face):
        if not face.barcode or Gtin.is_valid(face.barcode):
            continue
        try:
            Gtin.parse(face.barcode)
        except NotationError as error:
            problem = f"{error.problem}, and " if error.problem else ""
            yield Hit(
                entry,
                f"{called(corpus.index, face.id)} has the barcode {quoted(face.barcode)}, which no scanner "
                f"reads: {problem}expected is {error.expected}; read the digits again",
                ("barcode",),
                value=face.barcode,
            )


RULE = Rule(
    id="barcode",
    family="codes",
    severity=Severity.ERROR,
    summary="A barcode's digits cannot be one.",
    rationale=(
        "The last digit of a barcode checks the others (GS1 General Specifications). One that does not fit "
        "was mistyped, and finds no card."
    ),
    check=_check,
    good=changed("lines/lanternfish/faces/pell-orrin.yaml", 'number: "4031"', 'barcode: "40170725"'),
    bad=changed(
        "lines/lanternfish/faces/pell-orrin.yaml",
        'number: "4031"',
        'barcode: "40170726"',
        "lanternfish/pell-orrin/f-008",
        "barcode",
    ),
)
