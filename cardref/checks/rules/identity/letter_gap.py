"""The letters of backs with one count have a gap."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import one_back
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import listed
from cardref.facts.counting import counts
from cardref.finding import Severity
from cardref.model.back import Back
from cardref.storage.loader import Entry

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    groups: dict[tuple[str, str, int], dict[int, Entry]] = {}
    said = counts(corpus.index)
    for entry, back in corpus.records("back", Back):
        if not back.designation.bare:
            # Where the count in the designation is wrong, that is told, and the letter belongs to the other.
            count = back.count if said[back.id].odd == "designation" else back.designation.count
            group = groups.setdefault((entry.file.line, back.maker, count), {})
            group.setdefault(_number(back.designation.letter), entry)
    for (_, maker, count), known in groups.items():
        # Letters of one count may run on through two series, so they are looked at together.
        absent = [number for number in range(1, max(known)) if number not in known]
        if absent:
            after = known[min(number for number in known if number > absent[0])]
            verb, them = ("is", "it") if len(absent) == 1 else ("are", "them")
            letters = listed(f"{count}{_letter(number)}" for number in absent)
            yield Hit(
                after,
                f"{corpus.named(after)} is recorded, and {letters} of {maker} {verb} not: "
                f"record what is known of {them}",
                ("designation",),
                value=letters,
            )


def _number(letter: str) -> int:
    number = 0
    for sign in letter:
        number = number * 26 + ord(sign) - 64
    return number


def _letter(number: int) -> str:
    letters = ""
    while number:
        number, rest = divmod(number - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


RULE = Rule(
    id="letter-gap",
    family="identity",
    severity=Severity.NOTE,
    summary="The letters of backs with one count have a gap.",
    rationale=(
        "A reference that knows A and C knows that there is a B, or once thought so. A gap is no "
        "mistake, but somebody will ask."
    ),
    check=_check,
    needs=("back",),
    good=one_back("6B"),
    bad=one_back("6D", field="designation"),
)
