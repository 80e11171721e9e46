"""A small project of somebody else's: every public name, used with the types that a strict checker sees.

``tests/test_package.py`` checks it with mypy against the installed package, and runs it there.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import assert_type

import cardref


def notation() -> cardref.Designation:
    """Values without a dataset."""
    layout = cardref.CodeLayout(
        [cardref.Segment("figure", 4, meaning="figure"), cardref.Segment("back", 3, before="/")]
    )
    code = cardref.PackageCode.parse("2046/031", layout)
    assert_type(code.segments["figure"], str)
    assert_type(cardref.PackageCode.read("2O46-031", layout).value, cardref.PackageCode | None)
    assert_type(cardref.Date.parse("1982").before(cardref.Date.parse("1983")), bool | None)
    assert_type(cardref.Length.parse("3 mm").within(cardref.Length.parse("2-4 mm")), bool | None)
    assert_type(cardref.Gtin.parse("036000291452").digits, str)
    assert_type([hit.span for hit in cardref.findall("25B back")], list[tuple[int, int]])
    return min(cardref.Designation.parse("25B"), cardref.Designation(25))


def questions(ref: cardref.Reference) -> list[str]:
    """What a loaded dataset answers."""
    back = ref.back("quay-marl 25B")
    assert_type(back.designation, cardref.Designation)
    assert_type(back.features, Mapping[str, tuple[str, ...]])
    assert_type(back.released, cardref.Date | None)
    assert_type([card.back for card in ref.cards_of("lamp diver")], list[str])
    decoding = ref.decode("7K 2046/031")
    assert_type(decoding, cardref.Decoding)
    assert_type(decoding.known.value, str)
    vetting = ref.vet(maker="quay-marl", back="21A")
    assert_type(vetting, cardref.Vetting)
    identification = ref.identify("tidewrack").observe("back-count", 25)
    assert_type(identification, cardref.Identification)
    assert_type(identification.explain(), str)
    return [str(reading.value) for reading in decoding.readings]


def condition(ref: cardref.Reference) -> str:
    """Two reports of one specimen."""
    defect = cardref.Defect(part="bubble", what="dent", size="4 mm")
    before, after = cardref.ConditionReport(seal="holds"), cardref.ConditionReport(defects=(defect,))
    assert_type(cardref.compare_conditions(before, after).worse, bool)
    return str(ref.describe_condition(after))


def checking(folder: Path) -> dict[cardref.Severity, int]:
    """A dataset checked and compared with itself."""
    report = cardref.check(folder)
    assert_type(report, cardref.Report)
    findings: tuple[cardref.Finding, ...] = report.at_least(cardref.Severity.WARNING)
    places: list[cardref.Place] = [finding.place for finding in findings]
    changes = cardref.compare(folder, folder)
    assert_type(changes, cardref.Changes)
    print(len(places), bool(changes))
    return report.counts


def own(path: Path, ref: cardref.Reference) -> list[cardref.Money]:
    """A file of one's own, checked and read; what was paid."""
    assert_type(cardref.check_own([path], ref), cardref.Report)
    mine = cardref.read_collection([path], ref)
    assert_type(mine, cardref.Collection)
    return [held.record.price for held in mine.specimens if held.record.price is not None]


def mistakes(ref: cardref.Reference) -> list[cardref.CardrefError]:
    """Each error, by what brings it about."""
    caught: list[cardref.CardrefError] = []
    try:
        cardref.Designation.parse("25 B")
    except cardref.NotationError as error:
        assert_type(error.span, tuple[int, int])
        caught.append(error)
    try:
        ref.back("quay-marl 25")
    except cardref.AmbiguousRecord as error:
        assert_type(error.matches, tuple[str, ...])
        caught.append(error)
    try:
        ref.maker("quay-mral")
    except cardref.UnknownRecord as error:
        assert_type(error.suggestions, tuple[str, ...])
        caught.append(error)
    try:
        cardref.load("nowhere")
    except cardref.DatasetError as error:
        assert_type(error.findings, tuple[cardref.Finding, ...])
        caught.append(error)
    try:
        ref.vet(colour_of_the_sea="green")
    except cardref.UsageError as error:
        caught.append(error)
    return caught


if __name__ == "__main__":
    demo = cardref.load()
    print(notation(), *questions(demo), len(condition(demo)) > 0)
    print(*(type(error).__name__ for error in mistakes(demo)))
