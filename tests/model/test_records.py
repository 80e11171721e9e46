"""The records: values that nobody can change or make by position, with what follows from their fields."""

import typing
from collections.abc import Iterator

import attrs
import pytest

from cardref.model.back import Back
from cardref.model.card import Card
from cardref.model.condition import PARTS, ConditionReport, Effect
from cardref.model.evidence import Sighting, Supported
from cardref.model.face import NO_CODE, Face
from cardref.model.fields import one_of
from cardref.model.figure import Figure, Name
from cardref.model.forms import FORMS, is_full_id, is_slug
from cardref.model.kinds import KINDS, OWN_KINDS, Scope, full_id, kind_named, kind_of, short_id
from cardref.model.line import Line
from cardref.model.maker import Maker
from cardref.model.term import Term
from cardref.notation.designation import Designation


def _parts(record: type) -> Iterator[type]:
    yield record
    for hint in typing.get_type_hints(record).values():
        for inner in (hint, *typing.get_args(hint)):
            if isinstance(inner, type) and attrs.has(inner):
                yield from _parts(inner)


RECORDS = sorted(
    {part for kind in (*KINDS.values(), *OWN_KINDS.values()) for part in _parts(kind.record)},
    key=lambda record: record.__name__,
)


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_a_record_is_frozen_and_made_by_name(record: type) -> None:
    """Fields are given by name, so that adding one breaks nobody, and none can be set afterwards."""
    assert all(field.kw_only for field in attrs.fields(record))
    made: typing.Any = object.__new__(record)
    name = attrs.fields(record)[0].name
    with pytest.raises(attrs.exceptions.FrozenInstanceError):
        setattr(made, name, None)


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record.__name__)
def test_a_record_s_own_fields_come_first(record: type) -> None:
    """What is said of a thing stands before how well it is supported, and each field says what it is for."""
    shared = [field.name for field in attrs.fields(Supported)]
    names = [field.name for field in attrs.fields(record)]
    if issubclass(record, Supported) and record is not Supported:
        assert names[-len(shared) :] == shared
    assert all(field.metadata["about"].strip() for field in attrs.fields(record))


def test_records_tell_their_maker_and_what_people_call_them() -> None:
    """The maker stands in the id; a back is called by maker and designation."""
    back = Back(
        id="tidewrack/quay-marl/b-017",
        designation=Designation(25, "B"),
        series="tidewrack/series/tidewrack",
        count=25,
    )
    face = Face(id="tidewrack/quay-marl/f-031", figure="f", series="s", codes=("7K 2046/031",))
    seen = (Sighting(source="source/a", count=3), Sighting(source="source/b"))
    card = Card(id="tidewrack/quay-marl/c-0101", face=face.id, back=back.id, sightings=seen)
    assert {back.maker, face.maker, card.maker} == {"quay-marl"}
    assert back.label == "quay-marl 25B"
    assert card.seen == 4
    assert face.printed_codes == ("7K 2046/031",)
    assert Face(id="a/b/f", figure="f", series="s", codes=NO_CODE).printed_codes == ()
    assert Face(id="a/b/f", figure="f", series="s").printed_codes == ()


def test_every_way_in_which_something_is_called() -> None:
    """A name has its own script and Latin letters; titles and words have other languages and ways."""
    lamp = Name(text="Λυχνοδύτης", latin="Lychnodytis", language="el")
    figure = Figure(id="l/figure/a", names=(lamp, Name(text="Lamp Diver", language="en")))
    assert figure.forms == ("Λυχνοδύτης", "Lychnodytis", "Lamp Diver")
    assert figure.name == "Lychnodytis"
    assert Maker(id="maker/padogil", name="파도길", latin="Padogil").forms == ("파도길", "Padogil", "Padogil")
    assert Line(id="l", title="Tidewrack", titles={"nb": "Vrakvann"}, home="m").forms == (
        "Tidewrack",
        "Vrakvann",
    )
    assert Term(id="term/a", word="back", also=("cardback",), what="x").forms == ("back", "cardback")


@pytest.mark.parametrize(
    ("slug", "name", "short"),
    [
        ("quay-marl", "Quay & Marl Playworks", "Quay & Marl"), ("fjellvik", "Fjellvik Leker", "Fjellvik"),
        ("quay-marl", "The Quay + Marl Co", "The Quay + Marl"), ("lubrzyn", "Łubrzyń", "Łubrzyń"),
        ("north", "Nordisk", "north"), ("a-b", "A", "a b"),
    ],
)  # fmt: skip
def test_a_maker_is_called_by_what_its_id_repeats(slug: str, name: str, short: str) -> None:
    """People leave out what follows; where the id says something else, its words are what they say."""
    assert Maker(id=f"maker/{slug}", name=name).short == short


# --- ids and forms ---------------------------------------------------------------------------------------

WORD = "a" * 64
SLUGS = [("b-017", True), ("a", True), (WORD, True), (WORD + "a", False), ("", False), ("-a", False)]
SLUGS += [("a-", False), ("a--b", False), ("A", False), ("a b", False), ("ä", False), ("a\n", False)]


@pytest.mark.parametrize(("text", "holds"), SLUGS)
def test_what_a_short_name_is(text: str, holds: bool) -> None:
    """Lower-case letters, digits and single inner hyphens, 64 at most; alone, or as a part of a full id."""
    assert is_slug(text) is holds
    assert FORMS["slug"].holds(text) is holds
    for full in (text, f"{text}/x", f"l/{text}/x", f"l/m/{text}"):
        assert is_full_id(full) is holds, full


@pytest.mark.parametrize("text", ["a/b/c/d", "a//b", "/a", "a/", f"{WORD}/{WORD}/{WORD}a"])
def test_what_is_no_full_id(text: str) -> None:
    """More than three parts, an empty part, a part that is too long."""
    assert not is_full_id(text)


@pytest.mark.parametrize("kind", [kind for kind in KINDS.values() if kind.scope is not Scope.NONE])
def test_an_id_is_made_full_from_wherever_it_may_be_written(kind: typing.Any) -> None:
    """Short in its own file, longer elsewhere, whole anywhere: one id, whose shape tells the kind."""
    full = full_id(kind.name, "x", "l", "m")
    assert short_id(full) == "x"
    assert full_id(kind.name, full, "other", "another") == full
    if kind.scope is Scope.MAKER:
        assert full == "l/m/x"
        assert full_id(kind.name, "m/x", "l", "another") == full
        assert kind_of(full) == ""  # backs, faces and cards share one id space
    else:
        assert kind_of(full) == kind.name
    if kind.name == "feature":
        assert full == "l/feature/x"
        assert full_id("feature", "x") == "feature/x"


@pytest.mark.parametrize(
    ("full", "kind"), [("tidewrack", "line"), ("a/b", ""), ("a/b/c/d", ""), ("l/nothing/x", "")]
)
def test_what_the_shape_of_an_id_does_not_tell(full: str, kind: str) -> None:
    """One part is a line; what begins with no kind, or has too many parts, is none."""
    assert kind_of(full) == kind


def test_kinds_have_one_name_each() -> None:
    """A dataset's kinds and a user's own do not overlap, and each class is found by its kind's name."""
    assert not KINDS.keys() & OWN_KINDS.keys()
    assert kind_named("sale").record.__name__ == "Sale"
    with pytest.raises(KeyError):
        kind_named("nothing")


def test_one_of_a_list_is_a_word_of_its_own() -> None:
    """What one item is called; a field that names one thing keeps its name."""
    assert [one_of(name) for name in ("copies", "sources", "plus", "series")] == [
        "copy",
        "source",
        "plus",
        "series",
    ]


# --- condition -------------------------------------------------------------------------------------------


def test_the_parts_of_a_report_are_its_fields_in_order() -> None:
    """Every part is a field of the report, told in the order of its fields, its colour beside the bubble."""
    fields = [field.name for field in attrs.fields(ConditionReport)]
    assert [part.field for part in PARTS.values()] == [
        name for name in fields if name.replace("_", "-") in PARTS
    ]
    assert list(PARTS)[:3] == ["bubble", "bubble-colour", "seal"]
    assert not PARTS["bubble-colour"].states


@pytest.mark.parametrize("part", [part for part in PARTS.values() if part.states], ids=lambda part: part.name)
def test_the_states_of_a_part_go_from_worst_to_best(part: typing.Any) -> None:
    """Ranks rise from 0, the best is neither a hurt nor age, and what hurts is never better than age."""
    ranked = [state for state in part.states.values() if state.rank is not None]
    assert [state.rank for state in ranked] == sorted(state.rank for state in ranked)
    assert ranked[0].rank == 0
    order = [Effect.HURTS, Effect.AGE, Effect.NONE]
    assert [order.index(state.effect) for state in ranked] == sorted(order.index(s.effect) for s in ranked)
    assert part.states["not-seen"].rank is None
    assert all(word == state.word for word, state in part.states.items())
