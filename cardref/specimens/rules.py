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


def _table(text: str, *, record: str = "", field: str = "") -> Example:
    return Example("mine.csv", text, record, field)


def _yaml(text: str, *, record: str = "", field: str = "") -> Example:
    return Example("mine.yaml", text, record, field)


_CARD = "tidewrack/quay-marl/c-0001"
_FIGURE = "tidewrack/figure/lamp-diver"
_BACK = "tidewrack/quay-marl/b-017"

RULES: Final = (
    FileRule(
        id="csv-syntax",
        severity=Severity.ERROR,
        summary="A row of a table is no CSV.",
        rationale="A quote that is opened and not closed swallows the rows below it, in every program.",
        good=_table(f'id,card,note\n1,{_CARD},"the ""good"" one"\n'),
        bad=_table(f'id,card,note\n1,{_CARD},"the "good" one"\n2,{_CARD},\n'),
    ),
    FileRule(
        id="row-length",
        severity=Severity.ERROR,
        summary="A row has more cells than there are columns.",
        rationale="A comma inside a text has cut it in two: what stands behind it is under the wrong header.",
        good=_table(f'id,card,note\n1,{_CARD},"small, dusty"\n'),
        bad=_table(f"id,card,note\n1,{_CARD},small, dusty\n"),
    ),
    FileRule(
        id="unknown-column",
        severity=Severity.ERROR,
        summary="A column has a header that is not known.",
        rationale="What stands under it is not read. Mostly it is a slip of typing.",
        good=_table(f"id,card,seller\n1,{_CARD},a fair\n"),
        bad=_table(f"id,card,selller\n1,{_CARD},a fair\n", field=""),
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
        good=_table(f"id,card\n1,{_CARD}\n"),
        bad=_table(f"card,note\n{_CARD},dusty\n"),
    ),
    FileRule(
        id="repeated-column",
        severity=Severity.ERROR,
        summary="Two columns have one header.",
        rationale="Only one of them can be read, and nobody can tell which was meant.",
        good=_table(f"id,card,note\n1,{_CARD},dusty\n"),
        bad=_table(f"id,card,note,notes\n1,{_CARD},dusty,clean\n"),
    ),
    FileRule(
        id="formula-cell",
        severity=Severity.WARNING,
        summary="A cell would be run as a formula by a spreadsheet program.",
        rationale=(
            "Whoever sent the table may have put it there, and a formula can send what stands beside it "
            "elsewhere. Here it is text and harmless; with an apostrophe in front it is so everywhere."
        ),
        good=_table(f"id,card,note\n1,{_CARD},'=1+1\n"),
        bad=_table(f"id,card,note\n1,{_CARD},=1+1\n", record="1", field="note"),
        fix="safe",
    ),
    FileRule(
        id="decimal-comma",
        severity=Severity.ERROR,
        summary="An amount is written with a comma.",
        rationale="1,234 is a little more than one to some readers, and more than a thousand to others.",
        good=_table(f"id,card,price\n1,{_CARD},12.50 EUR\n"),
        bad=_table(f'id,card,price\n1,{_CARD},"12,50 EUR"\n', record="1", field="price"),
        fix="safe",
    ),
    FileRule(
        id="unknown-currency",
        severity=Severity.ERROR,
        summary="A price has no currency of ISO 4217.",
        rationale="A sign such as $ stands for several currencies. Sums are kept by currency, never mixed.",
        good=_table(f"id,card,price,currency\n1,{_CARD},12.50,EUR\n"),
        bad=_table(f"id,card,price,currency\n1,{_CARD},12.50,EURO\n", record="1", field="price"),
        fix="unsafe",
    ),
    FileRule(
        id="ambiguous-date",
        severity=Severity.ERROR,
        summary="A date can be read in two ways.",
        rationale="3/4/24 is in March to some and in April to others. Year first has one reading only.",
        good=_table(f"id,card,date\n1,{_CARD},2024-04-03\n"),
        bad=_table(f"id,card,date\n1,{_CARD},3/4/24\n", record="1", field="date"),
    ),
    FileRule(
        id="nothing-named",
        severity=Severity.WARNING,
        summary="A record says neither card, nor back, face or figure.",
        rationale="It can be counted for nothing, and nobody can tell later what it was.",
        good=_yaml(f"specimens:\n  - id: s-1\n    figure: {_FIGURE}\n"),
        bad=_yaml("specimens:\n  - id: s-1\n    note: the dusty one\n", record="s-1"),
    ),
    FileRule(
        id="name-for-id",
        severity=Severity.WARNING,
        summary="A name or a designation stands where an id is safer.",
        rationale=(
            "References letter anew when a printing is found: what is 25B today may be 25C tomorrow. An id "
            "stays with its record for ever."
        ),
        good=_yaml(f'specimens:\n  - id: s-1\n    back: {_BACK}\n    designation: "25B"\n'),
        bad=_yaml("specimens:\n  - id: s-1\n    back: quay-marl 25B\n", record="s-1", field="back"),
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
        good=_yaml(f'specimens:\n  - id: s-1\n    back: {_BACK}\n    designation: "25B"\n'),
        bad=_yaml(
            f'specimens:\n  - id: s-1\n    back: {_BACK}\n    designation: "25A"\n',
            record="s-1",
            field="designation",
        ),
        fix="unsafe",
    ),
    FileRule(
        id="parts-disagree",
        severity=Severity.WARNING,
        summary="What is said of a specimen does not go together.",
        rationale="One of the two is a slip: the wrong row was copied, or the wrong card named.",
        good=_yaml(f"specimens:\n  - id: s-1\n    card: {_CARD}\n    figure: {_FIGURE}\n"),
        bad=_yaml(
            f"specimens:\n  - id: s-1\n    card: {_CARD}\n    figure: tidewrack/figure/fog-piper\n",
            record="s-1",
            field="figure",
        ),
    ),
    FileRule(
        id="figure-not-on-back",
        severity=Severity.WARNING,
        summary="By all that is recorded, the figure does not stand on that back.",
        rationale=(
            "Mostly the back or the figure was mistaken. If both are right, the dataset lacks something: "
            "`cardref own propose` tells it."
        ),
        good=_yaml(f"specimens:\n  - id: s-1\n    figure: {_FIGURE}\n    back: {_BACK}\n"),
        bad=_yaml(
            "specimens:\n  - id: s-1\n    figure: tidewrack/figure/salt-blower\n"
            "    back: tidewrack/quay-marl/b-001\n",
            record="s-1",
            field="back",
        ),
    ),
    FileRule(
        id="reading-differs",
        severity=Severity.WARNING,
        summary="What was seen is recorded otherwise of that card, back or face.",
        rationale=(
            "It is another printing than was said, or the look or the record went wrong. That is worth "
            "knowing before money changes hands. A note only where the card was identified by such looks."
        ),
        good=_yaml(f"specimens:\n  - id: s-1\n    back: {_BACK}\n    readings: {{gulls: 3}}\n"),
        bad=_yaml(
            f"specimens:\n  - id: s-1\n    back: {_BACK}\n    readings: {{gulls: 5}}\n",
            record="s-1",
            field="readings.gulls",
        ),
    ),
    FileRule(
        id="code-differs",
        severity=Severity.NOTE,
        summary="The package code is another than those recorded for that front.",
        rationale="It is another front, or a code that the dataset lacks, or a sign was misread.",
        good=_yaml("specimens:\n  - id: s-1\n    card: tidewrack/quay-marl/c-0184\n    code: 7K 2057/014\n"),
        bad=_yaml(
            "specimens:\n  - id: s-1\n    card: tidewrack/quay-marl/c-0184\n    code: 7K 2057/015\n",
            record="s-1",
            field="code",
        ),
    ),
)
"""In the order in which ``cardref rules`` lists them."""
