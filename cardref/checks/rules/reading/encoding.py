"""A file is not UTF-8."""

from cardref.checks.rule import Example, Rule
from cardref.checks.rules.reading._faults import faults
from cardref.finding import Severity

__all__ = ["RULE"]

RULE = Rule(
    id="encoding",
    family="reading",
    severity=Severity.ERROR,
    summary="A file is not UTF-8.",
    rationale=(
        "Names in Greek, Hindi or Korean survive only in one encoding. In another one they turn into "
        "signs that nobody can search for."
    ),
    check=faults("encoding"),
    good=Example("glossary.yaml", "terms:\n  - {id: back, word: récif, what: A word with an accent}\n"),
    bad=Example("glossary.yaml", "terms:\n  - {id: back, word: r\udce9cif, what: A word with an accent}\n"),
)
