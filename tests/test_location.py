"""Places: how they are written, ordered and spanned."""

import pytest

from cardref.location import Place


def test_places_stand_in_the_order_of_files_and_lines() -> None:
    """By path, then by line, then by column; a file as a whole before what stands in it."""
    places = [Place("b", 1, 1), Place("a", 10, 3), Place("a", 10, 1), Place("a", 2, 9), Place("a")]
    assert sorted(places) == places[::-1]


@pytest.mark.parametrize(
    ("place", "written", "span"),
    [
        (Place("a"), "a", (1, 1, 1, 1)),
        (Place("a", 12, 5, 12, 7), "a:12:5", (12, 5, 12, 7)),
        (Place("a", 12), "a:12:0", (12, 1, 12, 1)),
        (Place("a", 12, 5), "a:12:5", (12, 5, 12, 5)),
        (Place("a", 12, 5, 12, 3), "a:12:5", (12, 5, 12, 5)),
        (Place("a", 12, 5, 13), "a:12:5", (12, 5, 13, 1)),
        (Place("a", 12, 5, 13, 0), "a:12:5", (12, 5, 13, 1)),
    ],
)
def test_a_span_never_ends_before_it_starts(
    place: Place, written: str, span: tuple[int, int, int, int]
) -> None:
    """Lines and columns count from 1; a missing or earlier end is an empty span at the start."""
    assert str(place) == written
    assert place.span == span
