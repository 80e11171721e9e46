"""Writing down: whole or not at all, comments kept, never over other work, from options or from an answer."""

import json
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cardref.errors import CardrefError, DatasetError, UsageError
from cardref.identification.as_json import as_json as identification_as_json
from cardref.specimens.adding import added
from cardref.specimens.answers import _BLANK, _looks, from_answer
from cardref.specimens.checking import check_own
from cardref.specimens.collection import read_collection
from cardref.storage.atomic import ChangedMeanwhile, write_changes
from cardref.storage.tree import owned, parse
from cardref.vetting.as_json import as_json as vetting_as_json
from tests.specimens.made import BACK, CARD, FIGURE, index, reference, write

COMMENTED = f"""\
# mine
specimens:  # the box
  # the first
  - id: s-007   # lucky
    card: {CARD}  # yes
# the end
"""


def test_a_file_is_begun_on_first_use(tmp_path: Path) -> None:
    """A file that is not there yet is made, clean under a check, with what the specimen says."""
    path = tmp_path / "mine.yaml"
    done = added(path, "specimen", {"figure": "lamp diver", "back": "quay-marl 25B"}, reference())
    assert not path.exists(), "nothing is written by itself"
    write_changes(tmp_path, [done.change])
    (held,) = read_collection([path], reference()).specimens
    assert (held.record.id, held.record.figure, held.record.back) == ("s-001", FIGURE, BACK)
    assert str(held.record.designation) == "25B", "what the back is called today stands beside its id"
    assert check_own([path], reference()).clean


def test_comments_and_all_else_are_kept(tmp_path: Path) -> None:
    """The text before is there after, line by line, and every comment is."""
    path = write(tmp_path, "mine.yaml", COMMENTED)
    done = added(path, "specimen", {"card": CARD, "price": "5 EUR"}, reference())
    after = (done.change.after or b"").decode()
    assert done.id == "s-008"
    assert sorted(owned(parse(after))) == sorted(owned(parse(COMMENTED)))
    lines = iter(after.splitlines())
    assert all(line in lines for line in COMMENTED.splitlines() if line != "# the end")


@pytest.mark.parametrize(
    ("text", "name", "row"),
    [
        (f"id,card,price,currency\n1,{CARD},,\n", "a.csv", f"2,{CARD},5.50,EUR\n"),
        (f"\ufeffid;card;price\r\nb-09;{CARD};\r\n", "b.csv", f"b-10;{CARD};5.50 EUR\r\n"),
        (f"id\tcard\tprice\nx\t{CARD}\t", "c.tsv", f"\ns-001\t{CARD}\t5.50 EUR\n"),
    ],
)
def test_a_row_is_added_as_the_table_is_written(text: str, name: str, row: str, tmp_path: Path) -> None:
    """Separator, line ends, byte order mark and the way of numbering are those of the table."""
    path = write(tmp_path, name, text)
    done = added(path, "specimen", {"card": CARD, "price": "5.50 EUR"}, reference())
    assert (done.change.after or b"").decode() == text + row


def test_nothing_is_lost_for_want_of_a_column(tmp_path: Path) -> None:
    """What has no column in a table is refused by name, and the table stays."""
    path = write(tmp_path, "mine.csv", "id,card\n")
    with pytest.raises(UsageError, match="has no column for price, note"):
        added(path, "specimen", {"card": CARD, "price": "5 EUR", "note": "x"}, reference())
    assert path.read_text() == "id,card\n"


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        ({"card": CARD, "price": "12,50 EUR"}, "did you mean 12.50 EUR"),
        ({"card": CARD, "date": "3/4/24"}, "2024-04-03 or 2024-03-04"),
        ({"figure": "lamp divr"}, "did you mean"),
        ({"back": "12A"}, "may mean"),
        ({"card": CARD, "colour": "red"}, "a specimen has no colour"),
        ({"card": CARD, "status": "lost"}, "Allowed"),
        ({"card": CARD, "id": "s-007"}, "given already"),
        ({"card": CARD, "id": "Nr 7"}, "short name"),
        ({"card": CARD, "readings": {"gulls": "some"}}, "whole number"),
        ({"card": CARD, "condition": {"bubble": "dent"}}, "dented"),
    ],
)
def test_what_is_wrong_is_refused_with_the_next_step(raw: dict[str, Any], says: str, tmp_path: Path) -> None:
    """A record with an error is not added; the message says what was probably meant."""
    path = write(tmp_path, "mine.yaml", COMMENTED)
    with pytest.raises(UsageError, match=says):
        added(path, "specimen", raw, reference())
    assert path.read_text() == COMMENTED


def test_somebody_elses_change_is_not_overwritten(tmp_path: Path) -> None:
    """What was written in between stays, and the addition is refused."""
    path = write(tmp_path, "mine.yaml", COMMENTED)
    done = added(path, "specimen", {"card": CARD}, reference())
    path.write_text(COMMENTED + "wants: []\n")
    with pytest.raises(ChangedMeanwhile):
        write_changes(tmp_path, [done.change])
    assert path.read_text() == COMMENTED + "wants: []\n"


def test_a_file_that_cannot_be_read_is_left_alone(tmp_path: Path) -> None:
    """Nothing is added to a file with a fault that hides what is in it."""
    path = write(tmp_path, "mine.yaml", "specimens:\n\t- id: s\n")
    with pytest.raises(DatasetError, match="a tab"):
        added(path, "specimen", {"card": CARD}, reference())


def test_wants_and_sales_go_into_lists_of_their_own(tmp_path: Path) -> None:
    """A want and a sale are added beside the specimens; a table holds specimens only."""
    path = write(tmp_path, "mine.yaml", COMMENTED)
    for kind, raw in (
        ("want", {"card": CARD, "most": "9 EUR"}),
        ("sale", {"card": CARD, "price": "9 EUR", "date": "2024"}),
    ):
        write_changes(tmp_path, [added(path, kind, raw, reference()).change])
    mine = read_collection([path], reference())
    assert [held.record.id for held in mine.wants] == ["w-001"]
    assert [held.record.id for held in mine.sales] == ["v-001"]
    with pytest.raises(UsageError, match="a table holds specimens only"):
        added(write(tmp_path, "a.csv", "id,card\n"), "want", {"card": CARD}, reference())


IDS = st.lists(
    st.from_regex(r"[a-z]{0,2}-?[0-9]{0,4}", fullmatch=True).filter(lambda t: t.strip("-") == t != "")
)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(ids=IDS)
def test_the_next_id_is_free(ids: list[str], tmp_path: Path) -> None:
    """However the ids are written, the next one is a new one."""
    rows = "".join(f"{one},{CARD}\n" for one in dict.fromkeys(ids))
    path = write(tmp_path, "mine.csv", f"id,card\n{rows}")
    try:
        done = added(path, "specimen", {"card": CARD}, reference())
    except UsageError:  # an id in the table itself is no short name
        return
    assert done.id not in ids


# --- answers ---------------------------------------------------------------------------------------------


def _identified(looks: dict[str, str]) -> dict[str, Any]:
    ident = reference().identify("tidewrack")
    for name, reading in looks.items():
        ident = ident.observe(name, reading)
    answer: dict[str, Any] = json.loads(json.dumps(identification_as_json(ident)))
    return answer


def test_what_was_identified_is_taken_over() -> None:
    """The back that was identified, and every reading of the catalogue, stand in the record."""
    looks = {
        "maker": "quay-marl", "back-count": "25", "rope-length": "4 mm", "figure": "lamp-diver",
        "stitches": "7", "beam": "right", "token-shape": "anchor", "header-colour": "black", "gulls": "?",
        "visor": "square|round",
    }  # fmt: skip
    heard = from_answer(index(), _identified(looks))
    assert heard.raw["back"] == BACK
    assert heard.raw["figure"] == FIGURE
    assert heard.raw["basis"] == "identified"
    assert heard.raw["readings"]["rope-length"] == "4 mm"
    assert "gulls" not in heard.raw["readings"]
    assert set(heard.raw["readings"]["visor"]) == {"square", "round"}


def test_what_stayed_open_stays_open() -> None:
    """Without an identification the back is left out, and that is told."""
    heard = from_answer(index(), _identified({"maker": "quay-marl", "back-count": "25"}))
    assert "back" not in heard.raw
    assert heard.raw["basis"] == "claimed"
    assert any("was not identified" in told for told in heard.left)


def test_a_sellers_claim_stays_a_claim() -> None:
    """What vet heard is written down as offered and claimed, with the seller's words in the note."""
    vetting = reference().vet("Lamp Diver Tidewrack 25B back unpunched $40", maker="quay-marl", gulls=3)
    heard = from_answer(index(), {"vetting": json.loads(json.dumps(vetting_as_json(vetting)))})
    assert (heard.raw["status"], heard.raw["basis"], heard.raw["back"]) == ("offered", "claimed", BACK)
    assert heard.raw["readings"] == {"gulls": "3"}
    assert "unpunched" in heard.raw["note"]


def test_either_answer_becomes_a_record(tmp_path: Path) -> None:
    """The answers of identify and vet, as the commands print them, are added and pass a check."""
    path = tmp_path / "mine.yaml"
    looks = {"maker": "quay-marl", "back-count": "25", "figure": "lamp-diver", "rope-length": "4 mm"}
    vetted = reference().vet("Lamp Diver 25B dented", maker="quay-marl")
    for answer in (_identified(looks), {"vetting": json.loads(json.dumps(vetting_as_json(vetted)))}):
        done = added(path, "specimen", from_answer(index(), answer).raw, reference())
        write_changes(tmp_path, [done.change])
    assert check_own([path], reference()).clean


JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.text(max_size=5)
    | st.sampled_from(["identified", CARD, BACK, "?"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from(
                "looks candidates verdict line name typed read id says vetting claim parts field said "
                "records value whole words condition back card figure gulls code".split()
            ),
            inner,
            max_size=5,
        )
    ),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(JSON)
def test_any_json_is_an_answer_or_refused(answer: Any) -> None:
    """Whatever JSON is given, it is taken over as far as it is an answer, or refused with a word."""
    try:
        heard = from_answer(index(), answer)
    except CardrefError:
        return
    for kind in ("card", "back", "face", "figure", "maker"):
        assert kind not in heard.raw or heard.raw[kind] in index().tables[kind]


@pytest.mark.parametrize("said", sorted(_BLANK))
def test_a_look_that_saw_nothing_is_no_reading(said: str) -> None:
    """What could not be seen is neither recorded nor told as a fault."""
    raw: dict[str, object] = {}
    left: list[str] = []
    _looks(index(), "tidewrack", {"gulls": said, "figure": said, "code": said}, raw, left)
    assert (raw, left) == ({}, [])
