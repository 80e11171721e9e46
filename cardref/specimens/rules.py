"""What a user's own file is checked for, beside what the rules of reading and shape say of any file.

Each rule has an example that passes and one that fails; a test runs both, beside the bundled reference.

>>> sorted(rule.id for rule in RULES)[:3]
['ambiguous-date', 'code-differs', 'csv-syntax']
"""

from typing import Final

from attrs import frozen

from cardref.checks.rule import Example
from cardref.finding import Severity

__all__ = ["RULES", "FileRule"]


@frozen(kw_only=True)
class FileRule:
    """One rule for users' files; read by ``cardref rules``, by SARIF and by the tests.

    Attributes:
        id: kebab-case noun phrase for what is wrong.
        severity: error, warning or note.
        summary: one sentence.
        rationale: why it matters, in a collector's words.
        good, bad: a file that passes and one that does not.
        fix: "safe", "unsafe" or "" for what its fixes are.
        family, needs: as rules for a dataset have them.
    """

    id: str
    severity: Severity
    summary: str
    rationale: str
    good: Example
    bad: Example
    fix: str = ""
    family: str = "own"
    needs: tuple[str, ...] = ()


_CARD = "tidewrack/quay-marl/c-0001"
_FIGURE = "tidewrack/figure/lamp-diver"
_BACK = "tidewrack/quay-marl/b-017"


def _row(columns: str, cells: str, *, told: str | None = None) -> Example:
    """A table with one specimen; ``told`` is the field in which it is at fault."""
    text = f"id,card,{columns}\n1,{_CARD},{cells}\n"
    return Example("mine.csv", text, "" if told is None else "1", told or "")


def _specimen(*said: str, told: str | None = None) -> Example:
    """A YAML file with one specimen of which this is said; ``told`` is the field in which it is at fault."""
    text = "\n    ".join(("specimens:\n  - id: s-1", *said)) + "\n"
    return Example("mine.yaml", text, "" if told is None else "s-1", told or "")


RULES: Final = (
    FileRule(
        id="csv-syntax",
        severity=Severity.ERROR,
        summary="A row of a table is no CSV.",
        rationale="A quote that is opened and not closed swallows the rows below it, in every program.",
        good=_row("note", '"the ""good"" one"'),
        bad=_row("note", f'"the "good" one"\n2,{_CARD},'),
    ),
    FileRule(
        id="row-length",
        severity=Severity.ERROR,
        summary="A row has more cells than there are columns.",
        rationale="A comma inside a text has cut it in two: what stands behind it is under the wrong header.",
        good=_row("note", '"small, dusty"'),
        bad=_row("note", "small, dusty"),
    ),
    FileRule(
        id="unknown-column",
        severity=Severity.ERROR,
        summary="A column has a header that is not known.",
        rationale="What stands under it is not read. Mostly it is a slip of typing.",
        good=_row("seller", "a fair"),
        bad=_row("selller", "a fair"),
        fix="unsafe",
    ),
    FileRule(
        id="missing-column",
        severity=Severity.ERROR,
        summary="A table has no column for ids.",
        rationale=(
            "Rows move when a table is sorted. Only a name of its own lets a specimen be spoken of: in a "
            "trade, in a finding, in what is told to the dataset."
        ),
        good=Example("mine.csv", f"id,card\n1,{_CARD}\n"),
        bad=Example("mine.csv", f"card,note\n{_CARD},dusty\n"),
    ),
    FileRule(
        id="repeated-column",
        severity=Severity.ERROR,
        summary="Two columns have one header.",
        rationale="Only one of them can be read, and nobody can tell which was meant.",
        good=_row("note", "dusty"),
        bad=_row("note,notes", "dusty,clean"),
    ),
    FileRule(
        id="formula-cell",
        severity=Severity.WARNING,
        summary="A cell would be run as a formula by a spreadsheet program.",
        rationale=(
            "Whoever sent the table may have put it there, and a formula can send what stands beside it "
            "elsewhere. Here it is text and harmless; with an apostrophe in front it is so everywhere."
        ),
        good=_row("note", "'=1+1"),
        bad=_row("note", "=1+1", told="note"),
        fix="safe",
    ),
    FileRule(
        id="decimal-comma",
        severity=Severity.ERROR,
        summary="An amount is written with a comma.",
        rationale="1,234 is a little more than one to some readers, and more than a thousand to others.",
        good=_row("price", "12.50 EUR"),
        bad=_row("price", '"12,50 EUR"', told="price"),
        fix="safe",
    ),
    FileRule(
        id="unknown-currency",
        severity=Severity.ERROR,
        summary="A price has no currency of ISO 4217.",
        rationale="A sign such as $ stands for several currencies. Sums are kept by currency, never mixed.",
        good=_row("price,currency", "12.50,EUR"),
        bad=_row("price,currency", "12.50,EURO", told="price"),
        fix="unsafe",
    ),
    FileRule(
        id="ambiguous-date",
        severity=Severity.ERROR,
        summary="A date can be read in two ways.",
        rationale="3/4/24 is in March to some and in April to others. Year first has one reading only.",
        good=_row("date", "2024-04-03"),
        bad=_row("date", "3/4/24", told="date"),
    ),
    FileRule(
        id="nothing-named",
        severity=Severity.WARNING,
        summary="A record says neither card, nor back, face or figure.",
        rationale="It can be counted for nothing, and nobody can tell later what it was.",
        good=_specimen(f"figure: {_FIGURE}"),
        bad=_specimen("note: the dusty one", told=""),
    ),
    FileRule(
        id="name-for-id",
        severity=Severity.WARNING,
        summary="A name or a designation stands where an id is safer.",
        rationale=(
            "References letter anew when a printing is found: what is 25B today may be 25C tomorrow. An id "
            "stays with its record for ever."
        ),
        good=_specimen(f"back: {_BACK}", 'designation: "25B"'),
        bad=_specimen("back: quay-marl 25B", told="back"),
        fix="safe",
    ),
    FileRule(
        id="relettered-back",
        severity=Severity.WARNING,
        summary="A back has another letter today than when it was written down.",
        rationale=(
            "A printing was found, and the letters moved. The id still means the same printing; look once "
            "whether it is the one that you have."
        ),
        good=_specimen(f"back: {_BACK}", 'designation: "25B"'),
        bad=_specimen(f"back: {_BACK}", 'designation: "25A"', told="designation"),
        fix="unsafe",
    ),
    FileRule(
        id="parts-disagree",
        severity=Severity.WARNING,
        summary="What is said of a specimen does not go together.",
        rationale="One of the two is a slip: the wrong row was copied, or the wrong card named.",
        good=_specimen(f"card: {_CARD}", f"figure: {_FIGURE}"),
        bad=_specimen(f"card: {_CARD}", "figure: tidewrack/figure/fog-piper", told="figure"),
    ),
    FileRule(
        id="figure-not-on-back",
        severity=Severity.WARNING,
        summary="By all that is recorded, the figure does not stand on that back.",
        rationale=(
            "Mostly the back or the figure was mistaken. If both are right, the dataset lacks something: "
            "`cardref own propose` tells it."
        ),
        good=_specimen(f"figure: {_FIGURE}", f"back: {_BACK}"),
        bad=_specimen("figure: tidewrack/figure/salt-blower", "back: tidewrack/quay-marl/b-001", told="back"),
    ),
    FileRule(
        id="reading-differs",
        severity=Severity.WARNING,
        summary="What was seen is recorded otherwise of that card, back or face.",
        rationale=(
            "It is another printing than was said, or the look or the record went wrong. That is worth "
            "knowing before money changes hands. A note only where the card was identified by such looks."
        ),
        good=_specimen(f"back: {_BACK}", "readings: {gulls: 3}"),
        bad=_specimen(f"back: {_BACK}", "readings: {gulls: 5}", told="readings.gulls"),
    ),
    FileRule(
        id="code-differs",
        severity=Severity.NOTE,
        summary="The package code is another than those recorded for that front.",
        rationale="It is another front, or a code that the dataset lacks, or a sign was misread.",
        good=_specimen("card: tidewrack/quay-marl/c-0184", "code: 7K 2057/014"),
        bad=_specimen("card: tidewrack/quay-marl/c-0184", "code: 7K 2057/015", told="code"),
    ),
)
"""In the order in which ``cardref rules`` lists them."""
