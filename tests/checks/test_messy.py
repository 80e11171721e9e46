"""What is odd but true is no error and no warning, once it is recorded as what it is.

The dataset in ``messy`` has each of these facts of the trade (common practice, no source), one comment each.
"""

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from cardref.checks.runner import check
from cardref.facts.pictures import pictured
from cardref.finding import Report, Severity
from cardref.index import Index, from_loaded
from cardref.model.back import Relation
from cardref.model.maker import BackPolicy
from cardref.storage.loader import load_tree
from tests.checks.laid import TODAY, told

MESSY = Path(__file__).parent / "messy"


@cache
def index() -> Index:
    """The records of the messy dataset."""
    return from_loaded(load_tree(MESSY))


@cache
def report() -> Report:
    """What a check says of it, nothing left out."""
    return check(MESSY, today=TODAY)


def _slip() -> bool:
    seen = pictured(index().backs, index().backs["driftmark/tollan/b-004"])
    return bool(seen and seen.slips and len(seen.figures) < seen.shown)


def _on_generic_back() -> bool:
    card = index().cards["driftmark/ostwerk/c-004"]
    seen = pictured(index().backs, index().backs[card.back])
    generic = index().makers["maker/ostwerk"].backs is BackPolicy.GENERIC
    return bool(generic and seen and index().faces[card.face].figure not in seen.figures)


def _on_silhouette() -> bool:
    card = index().cards["driftmark/tollan/c-005"]
    seen = pictured(index().backs, index().backs[card.back])
    return bool(seen and index().faces[card.face].figure in seen.silhouettes)


def _number_twice() -> bool:
    faces = [face for face in index().faces.values() if face.maker == "tollan" and face.number == "702"]
    return len({face.figure for face in faces}) == 2


def _letters() -> bool:
    letters = {b.designation.letter for b in index().backs.values() if b.maker == "tollan" and b.count == 3}
    return letters == {"A", "C"} and index().backs["driftmark/tollan/b-002"].after == "driftmark/tollan/b-001"


def _broader() -> bool:
    named = [
        c.designation for b in index().backs.values() for c in b.concordance if c.relation is Relation.BROADER
    ]
    return len(named) == 2 and len(set(named)) == 1


def _older_code() -> bool:
    card = index().cards["driftmark/tollan/c-004"]
    code = index().faces[card.face].printed_codes[0]
    return code.endswith("/03") and index().backs[card.back].count == 5


def _count_in_two_series() -> bool:
    tollan = [
        back for back in index().backs.values() if back.maker == "tollan" and str(back.designation) == "3A"
    ]
    return len({back.series for back in tollan}) == 2


def _pooled() -> bool:
    card = index().cards["driftmark/pool/c-002"]
    return bool(card.stickers) and "maker/kramer-fils" in card.roles.values()


ODDITIES: dict[str, Callable[[], bool]] = {
    "a misprint that pictures a figure twice": _slip,
    "a blank back": lambda: any(back.count == 0 for back in index().backs.values()),
    "a generic back under figures it does not show": _on_generic_back,
    "a figure sold on a back where it is still a silhouette": _on_silhouette,
    "a product number used twice": _number_twice,
    "letters with gaps, and out of printing order": _letters,
    "another reference's 3-C that is our 3A and 3C together": _broader,
    "a code that names an older back": _older_code,
    "one count in two series": _count_in_two_series,
    "a pooled card with another seller's sticker": _pooled,
    "a maker whose country no longer exists": lambda: index().makers["maker/ostwerk"].country == "DDDE",
    "a claimed total that differs from what is pictured": lambda: any(
        b.claimed == 6 for b in index().backs.values()
    ),
}


@pytest.mark.parametrize("name", ODDITIES)
def test_the_oddity_is_in_the_dataset(name: str) -> None:
    """Each case is there, so that a rule which is too strict about it would be seen."""
    assert ODDITIES[name]()


def test_nothing_odd_but_true_is_an_error_or_a_warning() -> None:
    """Every rule ran, and what it had to say are notes."""
    assert [line for f, line in zip(report().findings, told(report()), strict=True) if f.severity.rank] == []
    assert report().skipped == ()
    assert report().waived == ()


def test_notes_are_about_the_oddities_and_nothing_else() -> None:
    """A note on anything else would be a rule that cries wolf."""
    assert {finding.rule for finding in report().findings} <= {
        "after-letter",
        "bare-count",
        "code-elsewhere",
        "letter-gap",
        "shared-number",
    }
    assert report().counts[Severity.NOTE] == len(report().findings)
