"""cardref: which printing of a vintage carded toy is this, and does what is printed on it agree?

Nothing is read and hardly anything imported until a name is used.

>>> import cardref
>>> str(cardref.Designation.parse("25B"))
'25B'

These names are public, with what their docstrings tell of them; everything else may change without notice.

- A dataset, and the questions to it: ``load`` gives a ``Reference``, whose methods ask; ``check`` and
  ``compare`` take directories.
- What is answered: ``Decoding``, ``Identification``, ``Vetting``; ``Report`` with its ``Finding``,
  ``Severity`` and ``Place``; ``Changes``.
- Notation, text to frozen value and back, no dataset needed: ``Designation``; ``PackageCode``, laid out by a
  ``CodeLayout`` of one ``Segment`` after the other; ``Date``, ``Length``, ``Gtin``; ``findall`` for running
  text.
- Condition: ``ConditionReport``, ``Defect``, ``compare_conditions``.
- Files of one's own: ``check_own`` gives a ``Report``, ``read_collection`` a ``Collection`` of specimens,
  wants and sales; their prices are ``Money``.
- Errors: ``CardrefError`` at the root of ``NotationError``, ``DatasetError``, ``UnknownRecord``,
  ``AmbiguousRecord`` and ``UsageError``.
"""

TYPE_CHECKING = False  # what typing.TYPE_CHECKING is, without the cost of importing typing

__version__ = "0.1.0"

# Public name -> the module that has it.
_HOMES = {
    "Designation": "notation.designation",
    "PackageCode": "notation.code",
    "CodeLayout": "notation.layout",
    "Segment": "notation.layout",
    "Date": "notation.edtf",
    "Length": "notation.length",
    "Gtin": "notation.gtin",
    "findall": "notation.running",
    "CardrefError": "errors",
    "NotationError": "errors",
    "DatasetError": "errors",
    "UnknownRecord": "errors",
    "AmbiguousRecord": "errors",
    "UsageError": "errors",
    "Finding": "finding",
    "Report": "finding",
    "Severity": "finding",
    "Place": "location",
    "compare": "comparison.compare",
    "Changes": "facts.changes",
    "Decoding": "decoding.result",
    "Reference": "reference",
    "load": "reference",
    "check": "checks.runner",
    "Identification": "identification.identify",
    "Vetting": "vetting.result",
    "ConditionReport": "model.condition",
    "Defect": "model.condition",
    "compare_conditions": "facts.condition",
    "check_own": "specimens.checking",
    "read_collection": "specimens.collection",
    "Collection": "specimens.collection",
    "Money": "notation.money",
}

if TYPE_CHECKING:
    from cardref.checks.runner import check as check
    from cardref.comparison.compare import compare as compare
    from cardref.decoding.result import Decoding as Decoding
    from cardref.errors import AmbiguousRecord as AmbiguousRecord
    from cardref.errors import CardrefError as CardrefError
    from cardref.errors import DatasetError as DatasetError
    from cardref.errors import NotationError as NotationError
    from cardref.errors import UnknownRecord as UnknownRecord
    from cardref.errors import UsageError as UsageError
    from cardref.facts.changes import Changes as Changes
    from cardref.facts.condition import compare_conditions as compare_conditions
    from cardref.finding import Finding as Finding
    from cardref.finding import Report as Report
    from cardref.finding import Severity as Severity
    from cardref.identification.identify import Identification as Identification
    from cardref.location import Place as Place
    from cardref.model.condition import ConditionReport as ConditionReport
    from cardref.model.condition import Defect as Defect
    from cardref.notation.code import PackageCode as PackageCode
    from cardref.notation.designation import Designation as Designation
    from cardref.notation.edtf import Date as Date
    from cardref.notation.gtin import Gtin as Gtin
    from cardref.notation.layout import CodeLayout as CodeLayout
    from cardref.notation.layout import Segment as Segment
    from cardref.notation.length import Length as Length
    from cardref.notation.money import Money as Money
    from cardref.notation.running import findall as findall
    from cardref.reference import Reference as Reference
    from cardref.reference import load as load
    from cardref.specimens.checking import check_own as check_own
    from cardref.specimens.collection import Collection as Collection
    from cardref.specimens.collection import read_collection as read_collection
    from cardref.vetting.result import Vetting as Vetting
else:

    def __getattr__(name: str) -> object:
        if name not in _HOMES:
            raise AttributeError(f"module 'cardref' has no attribute {name!r}")
        from importlib import import_module  # noqa: PLC0415 - only when a name is first used

        value = getattr(import_module(f"cardref.{_HOMES[name]}"), name)
        globals()[name] = value
        return value


def __dir__() -> list[str]:
    return sorted([*_HOMES, "__version__"])


__all__ = [*_HOMES, "__version__"]  # noqa: PLE0604 - the names are strings, kept in one table
