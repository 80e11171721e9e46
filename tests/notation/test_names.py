"""Names in running text, in several scripts, small misspellings included."""

import pickle

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cardref.notation.folding import fold_letters
from cardref.notation.names import Hit, NameIndex

NAMES = [
    ("figure", "lamp-diver", "Lamp Diver"),
    ("figure", "lamp-diver", "Λυχνοδύτης"),
    ("figure", "ropewalk-ada", "Ropewalk Ada"),
    ("figure", "salt-miner", "Salt Miner"),
    ("figure", "salt-miner-bess", "Salt Miner Bess"),
    ("figure", "twin-1", "Bramble Jack"),
    ("figure", "twin-2", "Bramble Jack"),
    ("figure", "nine", "Keeper No. 9"),
    ("figure", "owl", "Owl"),
    ("figure", "moewe", "Möwenwärter"),
    ("figure", "oey", "Øyvokter Åse"),
    ("maker", "burzyn", "Zabawki Łubrzyń"),
    ("maker", "padogil", "파도길 완구"),
    ("maker", "lahar", "लहर खिलौने"),
    ("maker", "quay-marl", "Quay & Marl"),
    ("line", "owl", "Owl"),
]
INDEX = NameIndex(NAMES)


def found(text: str) -> list[tuple[str, tuple[str, ...], str]]:
    """Kind, keys and text of each hit."""
    return [(hit.kind, hit.value, hit.text) for hit in INDEX.findall(text)]


@pytest.mark.parametrize("name", NAMES, ids=lambda name: name[2])
@pytest.mark.parametrize("change", ["{}", "« {} »", "x{}", "{}x", "- {},", "({})"])
def test_each_name_is_found_as_it_is_written(name: tuple[str, str, str], change: str) -> None:
    """Every name is found where it stands by itself, in any script, with the span of it alone."""
    kind, key, written = name
    text = change.format(written)
    hits = [hit for hit in INDEX.findall(text) if hit.kind == kind and not hit.changes]
    if "x" in change:
        assert hits == []
    else:
        (hit,) = hits
        assert key in hit.value
        assert (text[slice(*hit.span)], hit.text) == (hit.text, written.rstrip("."))


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("LAMP DIVER", "lamp-diver"), ("lamp-diver", "lamp-diver"), ("LampDiver", "lamp-diver"),
        ("#lampdiver", "lamp-diver"), ("lamp\u00a0diver", "lamp-diver"),
        ("Ｌａｍｐ Ｄｉｖｅｒ", "lamp-diver"),
        ("ΛΥΧΝΟΔΥΤΗΣ", "lamp-diver"), ("λυχνοδυτης", "lamp-diver"), ("Rope walk Ada", "ropewalk-ada"),
        ("Lamp Diver's", "lamp-diver"), ("Lamp Diver’s card", "lamp-diver"), ("Zabawki Lubrzyn", "burzyn"),
        ("Moewenwaerter", "moewe"), ("Mowenwarter", "moewe"), ("Oeyvokter Aase", "oey"),
        ("oyvokter ase", "oey"), ("파도길완구", "padogil"), ("लहरखिलौने", "lahar"),
        ("Quay and Marl", "quay-marl"), ("QUAY&MARL", "quay-marl"),
        ("Mo\u0308wenwa\u0308rter", "moewe"), ("KEEPER NO 9", "nine"),
    ],
)  # fmt: skip
def test_other_ways_of_writing_are_no_mistakes(text: str, key: str) -> None:
    """Case, accents, word breaks, wide signs and usual spellings of ä, ø and å need no change."""
    (hit,) = INDEX.findall(text)
    assert hit.value == (key,)
    assert hit.changes == ()


@pytest.mark.parametrize(
    ("text", "key"),
    [("Lamp Dvier", "lamp-diver"), ("Lmap Divr", "lamp-diver"), ("Lampp Diver", "lamp-diver"),
     ("Lamp Diber", "lamp-diver"), ("lampdvier", "lamp-diver"), ("Ropwalk Ada", "ropewalk-ada"),
     ("Λυχνοδυτις", "lamp-diver"), ("Salt Minr", "salt-miner"), ("Mövenwärter", "moewe")],
)  # fmt: skip
def test_small_misspellings_are_found_and_told(text: str, key: str) -> None:
    """One mistake in a word, or in the name run together, is read, and the change says so."""
    (hit,) = INDEX.findall(f"a {text} here")
    assert hit.value == (key,)
    (change,) = hit.changes
    assert change.column == 3
    assert change.what.startswith(f"'{text}' read as ")


@pytest.mark.parametrize(
    "text",
    ["", "lamp", "diver", "Ada", "rope", "owls", "owk", "Keeper No. 8", "Keeper 9", "Damp River",
     "diver lamp",     "lamp the diver", "Lampen Diverse", "quay", "marl quay", "bowl", "파도", "Bramble"],
)  # fmt: skip
def test_what_is_no_name(text: str) -> None:
    """Parts of names, names the other way round, other numbers and far misspellings are no hits."""
    assert found(text) == []


def test_the_longer_name_wins() -> None:
    """Where one name begins another, the one of more words is found, and only once."""
    assert found("Salt Miner Bess, Salt Miner") == [
        ("figure", ("salt-miner-bess",), "Salt Miner Bess"),
        ("figure", ("salt-miner",), "Salt Miner"),
    ]


def test_nothing_is_picked_when_several_bear_a_name() -> None:
    """All keys with the name are given, and one hit for each kind that has it."""
    assert found("Bramble Jack") == [("figure", ("twin-1", "twin-2"), "Bramble Jack")]
    assert found("Owl") == [("figure", ("owl",), "Owl"), ("line", ("owl",), "Owl")]


def test_numbers_are_not_misspelt() -> None:
    """Another number behind a name does not become part of it."""
    (hit,) = INDEX.findall("Lamp Diver 9 back")
    assert (hit.text, hit.changes) == ("Lamp Diver", ())


@given(st.text(max_size=30))
def test_any_text_can_be_searched(text: str) -> None:
    """Spans lie in the text, say what they found, and do not overlap but for one name of two kinds."""
    done = 0
    for hit in INDEX.findall(text):
        start, end = hit.span
        assert done <= start < end <= len(text)
        assert text[start:end] == hit.text


@given(
    st.lists(st.tuples(st.just("x"), st.text(max_size=3), st.text(max_size=12)), max_size=4),
    st.text(max_size=20),
)
def test_any_names_can_be_indexed(names: list[tuple[str, str, str]], text: str) -> None:
    """Names of any signs, empty ones among them, are indexed; each that has a word is found in itself."""
    index = NameIndex(names)
    index.findall(text)
    for name in names:
        if fold_letters(name[2]).isalpha() and name[2].isascii():
            assert any(name[1] in hit.value for hit in index.findall(name[2]))


def test_an_index_is_pickled_as_its_names() -> None:
    """An index and a hit can be pickled, and do the same afterwards."""
    twin = pickle.loads(pickle.dumps(INDEX))  # noqa: S301 - our own bytes
    assert twin.findall("Lamp Dvier") == INDEX.findall("Lamp Dvier")
    (hit,) = INDEX.findall("Lamp Dvier")
    assert isinstance(hit, Hit)
    assert {hit: 1}[pickle.loads(pickle.dumps(hit))] == 1  # noqa: S301 - our own bytes


def test_only_text_is_searched() -> None:
    """What is no string is a TypeError."""
    with pytest.raises(TypeError):
        INDEX.findall(b"Lamp Diver")  # type: ignore[arg-type]  # the wrong type is the test


def test_a_long_text_costs_no_more_than_its_length() -> None:
    """One word of 100,000 signs, and 20,000 short ones, are searched without trying every part of them."""
    assert INDEX.findall("lampdiver" * 12_000) == ()
    assert len(INDEX.findall("lamp diver " * 5_000)) == 5_000
