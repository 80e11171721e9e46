"""Records as plain values, and the fingerprint of what they say."""

import json

import attrs
from hypothesis import given
from hypothesis import strategies as st

from cardref.model.back import Back, Pictures, Slip
from cardref.model.figure import Figure, Name
from cardref.model.kinds import Record
from cardref.model.maker import BackPolicy, Maker, Role
from cardref.notation.designation import Designation
from cardref.notation.edtf import Date
from cardref.storage.hooks import assemble
from cardref.storage.plain import fingerprint, plain

BACK = Back(
    id="l/m/b-1",
    designation=Designation(25, "B"),
    series="l/series/s",
    count=25,
    claimed="same",
    pictures=Pictures(plus=("l/figure/a",), slips=(Slip(figure="l/figure/a", times=3),)),
    released=Date.parse("1982~"),
    features={"rope-length": ("4 mm", "5 mm")},
)
MAKER = Maker(id="maker/m", name="파도길", backs=BackPolicy.GENERIC, roles=(Role.SELLER,))


def test_plain_values_are_json_and_lead_back() -> None:
    """Enumerations, dates and designations are texts, tuples lists; defaults are left out, nothing lost."""
    said = plain(BACK)
    assert said == {
        "id": "l/m/b-1",
        "designation": "25B",
        "series": "l/series/s",
        "count": 25,
        "claimed": "same",
        "pictures": {"plus": ["l/figure/a"], "slips": [{"figure": "l/figure/a", "times": 3}]},
        "released": "1982~",
        "features": {"rope-length": ["4 mm", "5 mm"]},
    }
    assert plain(MAKER) == {"id": "maker/m", "name": "파도길", "backs": "generic", "roles": ["seller"]}
    for kind, record in (("back", BACK), ("maker", MAKER)):
        assert assemble(kind, json.loads(json.dumps(plain(record)))) == record


FIGURES = st.lists(
    st.builds(
        lambda slug, name: Figure(id=f"l/figure/{slug}", names=(Name(text=name, language="en"),)),
        st.sampled_from(["a", "b", "c"]),
        st.sampled_from(["Ada", "Bo"]),
    ),
    unique_by=lambda figure: figure.id,
    max_size=3,
)


def _printed(records: list[Figure]) -> str:
    pairs: list[tuple[str, Record]] = [("figure", record) for record in records]
    return fingerprint(pairs)


@given(FIGURES, FIGURES)
def test_a_fingerprint_stands_for_what_the_records_say(one: list[Figure], other: list[Figure]) -> None:
    """Two are equal just where the same records are there, in whatever order: 16 hex digits."""
    assert (_printed(one) == _printed(other)) == (set(one) == set(other))
    assert _printed(one[::-1]) == _printed(one)
    assert set(_printed(one)) <= set("0123456789abcdef")
    assert len(_printed(one)) == 16


def test_a_fingerprint_tells_kinds_and_unusual_signs_apart() -> None:
    """The kind counts, and a text that is no Unicode does not keep it from being made."""
    odd = attrs.evolve(MAKER, note="\ud800")
    assert (
        len({fingerprint([("maker", MAKER)]), fingerprint([("maker", odd)]), fingerprint([("x", MAKER)])})
        == 3
    )
