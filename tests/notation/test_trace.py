"""What a lenient reader hands back: a value or a problem, and every change."""

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.errors import NotationError
from cardref.notation.code import CodeLayout, PackageCode, Segment
from cardref.notation.designation import Designation
from cardref.notation.gtin import Gtin
from cardref.notation.trace import Change, Traced, account

LAYOUT = CodeLayout([Segment("figure", 4), Segment("back", 3, before="/")])


@pytest.mark.parametrize(
    "seen",
    [
        Designation.read("25-b back"),
        Designation.read("25 backs and more"),
        PackageCode.read("2O46-031", LAYOUT),
        PackageCode.read("2046", LAYOUT),
        Gtin.read("036000 291452"),
        Gtin.read("036000291453"),
    ],
    ids=lambda seen: seen.text,
)
def test_every_reader_s_outcome_is_a_value(seen: Traced[object]) -> None:
    """The outcome of each lenient reader is frozen, hashable, picklable and equal to its twin."""
    for protocol in range(pickle.HIGHEST_PROTOCOL + 1):
        twin = pickle.loads(pickle.dumps(seen, protocol))  # noqa: S301 - our own bytes
        assert twin == seen
        assert hash(twin) == hash(seen)
    assert seen != Traced("something else", None, (), NotationError("", (0, 0), "anything"))
    with pytest.raises(AttributeError):
        seen.value = None
    assert seen.well_formed == (seen.problem is None)


def test_a_change_reads_as_a_sentence() -> None:
    """A change says what was done and at which column; why is told apart."""
    change = Change("O read as 0", 3, "a digit stands here")
    assert str(change) == "O read as 0 at column 3"
    assert change == pickle.loads(pickle.dumps(change))  # noqa: S301 - our own bytes
    assert change != Change("O read as 0", 4, "a digit stands here")


@given(st.lists(st.tuples(st.characters(), st.sampled_from(["", "0", "same"])), max_size=8))
def test_all_that_is_not_as_given_is_accounted_for(signs: list[tuple[str, str]]) -> None:
    """Signs that were kept make no change; each that was changed or left out lies in exactly one."""
    text = "".join(sign for sign, _ in signs)
    reads = [(sign if read == "same" else read, "why") for sign, read in signs]
    changes = account(text, reads)
    columns = [change.column for change in changes]
    assert columns == sorted(set(columns))
    kept = [at for at, (sign, _) in enumerate(reads, 1) if sign == text[at - 1]]
    assert not set(columns) & set(kept)
    changed = [at for at, (sign, _) in enumerate(reads, 1) if sign and sign != text[at - 1]]
    first_left_out = [
        at for at, (sign, _) in enumerate(reads, 1) if not sign and (at == 1 or reads[at - 2][0])
    ]
    assert columns == sorted(changed + first_left_out)


def test_what_is_left_out_is_safe_to_print() -> None:
    """Control signs in a text come out of a change as visible escapes."""
    (change,) = account("\x1b[2J", [("", "no sign of a code")] * 4)
    assert change.what == r"'\x1b[2J' left out"
