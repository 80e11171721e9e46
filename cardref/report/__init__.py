"""A report on its way out: as text for people, and as JSON, SARIF and CI annotations for machines.

Every format is made from the one :class:`~cardref.finding.Report`, as an iterator of pieces of text, so that
fifty thousand findings need no more memory than one. Text from data goes through
:func:`cardref.text.visible` first, in all of them. A baseline (:mod:`cardref.report.baseline`) accepts the
findings that were there before.

>>> from cardref.finding import Finding, Report, Severity
>>> from cardref.location import Place
>>> finding = Finding(rule="count-mismatch", severity=Severity.ERROR, place=Place("backs.yaml", 12, 5),
...                   message="quay-marl 25B pictures 24 figures, its count says 25; correct one of them")
>>> report = Report(dataset="demo", findings=(finding,), files=1, records=9, rules=1)
>>> print("".join(render_text(report)), end="")
backs.yaml
  12:5 error quay-marl 25B pictures 24 figures, its count says 25; correct one of them [count-mismatch]
<BLANKLINE>
1 error in 1 of 1 file (9 records, 1 rule)
"""

from cardref.report.as_annotations import render_annotations
from cardref.report.as_json import render_json
from cardref.report.as_sarif import RuleData, render_sarif
from cardref.report.as_text import render_text
from cardref.report.baseline import apply_baseline, read_baseline, render_baseline

__all__ = [
    "RuleData",
    "apply_baseline",
    "read_baseline",
    "render_annotations",
    "render_baseline",
    "render_json",
    "render_sarif",
    "render_text",
]
