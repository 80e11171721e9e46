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
>>> from cardref.report import render_text
>>> print("".join(render_text(report)), end="")
backs.yaml
  12:5 error quay-marl 25B pictures 24 figures, its count says 25; correct one of them [count-mismatch]
<BLANKLINE>
1 error in 1 of 1 file (9 records, 1 rule)
"""

from typing import TYPE_CHECKING, Any

# Each format on demand: a check that only prints text need not wait for the others.
_HOMES = {
    "RuleData": "as_sarif",
    "apply_baseline": "baseline",
    "read_baseline": "baseline",
    "render_annotations": "as_annotations",
    "render_baseline": "baseline",
    "render_json": "as_json",
    "render_sarif": "as_sarif",
    "render_text": "as_text",
}

if TYPE_CHECKING:
    from cardref.report.as_annotations import render_annotations as render_annotations
    from cardref.report.as_json import render_json as render_json
    from cardref.report.as_sarif import RuleData as RuleData
    from cardref.report.as_sarif import render_sarif as render_sarif
    from cardref.report.as_text import render_text as render_text
    from cardref.report.baseline import apply_baseline as apply_baseline
    from cardref.report.baseline import read_baseline as read_baseline
    from cardref.report.baseline import render_baseline as render_baseline
else:

    def __getattr__(name: str) -> Any:
        if name not in _HOMES:
            raise AttributeError(f"module 'cardref.report' has no attribute {name!r}")
        from importlib import import_module  # noqa: PLC0415 - only when a name is first used

        value = getattr(import_module(f"cardref.report.{_HOMES[name]}"), name)
        globals()[name] = value
        return value


__all__ = [*_HOMES]  # noqa: PLE0604 - the names are strings, kept in one table
