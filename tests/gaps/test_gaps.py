"""What a reference cannot tell, and what to record next: claims about the to-do list."""

import csv
import io
import json
import re
from collections import Counter
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from attrs import evolve
from jsonschema import Draft202012Validator

import cardref
from cardref.cli import main
from cardref.errors import UsageError
from cardref.facts.cards import missing
from cardref.facts.features import states_of
from cardref.facts.separation import separation
from cardref.gaps.as_json import COLUMNS, as_json, as_rows, schema
from cardref.gaps.find import CLAIMED, Gaps, PairKind, Unknown, gaps
from cardref.identification.answer import Ending
from cardref.index import Index
from cardref.model.evidence import Standing

ROOT = Path(__file__).parents[2]
REF = cardref.load()
INDEX = REF.index


@pytest.fixture(scope="module")
def found() -> Gaps:
    """The gaps of the demo reference."""
    return gaps(INDEX)


def changed(**tables: Mapping[str, Any]) -> Index:
    """The demo reference with records put in or changed, by kind."""
    known = {kind: dict(table) for kind, table in INDEX.tables.items()}
    for kind, records in tables.items():
        known[kind].update(records)
    return Index(known)


def with_state(one: Unknown, state: str) -> Index:
    """The demo reference after somebody recorded a state."""
    back = INDEX.backs[one.back]
    if one.feature == CLAIMED:
        claimed = int(state) if state.isdecimal() else state
        return changed(back={back.id: evolve(back, claimed=claimed)})
    return changed(back={back.id: evolve(back, features={**back.features, one.feature: (state,)})})


def kinds(index: Index, line: str, maker: str) -> dict[frozenset[str], PairKind]:
    """Which pairs of a maker are hard to tell apart, and how."""
    return {frozenset((pair.one, pair.other)): pair.kind for pair in gaps(index, line, maker).pairs}


# --- pairs


def test_the_blind_pairs_are_those_that_the_dataset_names(found: Gaps) -> None:
    """dataset/README.md lists the pairs that nothing tells apart; gaps finds these and no others."""
    readme = (ROOT / "dataset" / "README.md").read_text(encoding="utf-8")
    table = readme.partition("## Where it is blind")[2].partition("Two others")[0]
    named = {
        frozenset(getattr(REF.back(f"{maker} {letter}"), "id", "") for letter in (one, other))
        for maker, one, other in re.findall(r"\| `([\w-]+)` (\d+[A-Z]), (\d+[A-Z]) \|", table)
    }
    assert named
    never = {frozenset((pair.one, pair.other)) for pair in found.pairs if pair.kind is PairKind.NEVER}
    assert never == named


def test_pairs_are_what_the_facts_say(found: Gaps) -> None:
    """Nothing separates a hopeless pair; one feature that is no sign of copies separates a fragile one."""
    for pair in found.pairs:
        by = [one.feature for one in separation(INDEX, pair.one, pair.other).by]
        features = [INDEX.feature(one, pair.one.partition("/")[0]) for one in by]
        plain = [one for one, feature in zip(by, features, strict=True) if not (feature and feature.sign)]
        assert len(plain) == (1 if pair.kind is PairKind.ONCE else 0)
        assert bool(by) == (pair.kind is not PairKind.NEVER)
        assert INDEX.backs[pair.one].count == INDEX.backs[pair.other].count


def test_the_most_fragile_pair_comes_first(found: Gaps) -> None:
    """The hopeless, then those that only signs tell, then by how often the one look goes wrong."""
    order = list(PairKind)
    keys = [(order.index(pair.kind), -pair.misread) for pair in found.pairs]
    assert keys == sorted(keys)


def test_an_identification_is_blind_where_gaps_says_so(found: Gaps) -> None:
    """What nothing tells apart ends as "cannot be told apart" when everything recorded was read."""
    pair = next(
        one for one in found.pairs if one.kind is PairKind.NEVER and one.one.startswith("tidewrack/q")
    )
    back = INDEX.backs[pair.one]
    ident = REF.identify("tidewrack", maker=back.maker, back_count=back.count)
    for slug, states in states_of(INDEX, back.id).items():
        if slug in ident.cards.sights and states != ("not-applicable",):
            ident = ident.observe(slug, states[0])
    assert ident.verdict is Ending.ALIKE
    assert {pair.one, pair.other} <= {one.id for one in ident.conclusion.remaining}


# --- unknown states


def test_what_is_listed_is_unknown_and_applies(found: Gaps) -> None:
    """No state is asked for that is recorded, follows from another, or belongs to another maker's backs."""
    for one in found.unknown:
        line, maker, _ = one.back.split("/")
        if one.feature == CLAIMED:
            assert INDEX.backs[one.back].claimed is None
            continue
        assert one.feature not in states_of(INDEX, one.back)
        feature = INDEX.feature(one.feature, line)
        assert feature is not None
        assert feature.sign is None
        assert not feature.makers or f"maker/{maker}" in feature.makers


def test_recording_the_first_state_can_separate_what_nothing_did(found: Gaps) -> None:
    """The look that is proposed keeps its promise: with a state seen elsewhere the pair is told apart."""
    one = found.next
    assert one is not None
    assert one.separates > 0.5
    line, maker, _ = one.back.split("/")
    pair = frozenset((one.back, one.from_backs[0]))
    assert kinds(INDEX, line, maker)[pair] is PairKind.NEVER
    states = {state for full in INDEX.backs for state in states_of(INDEX, full).get(one.feature, ())}
    after = [kinds(with_state(one, state), line, maker).get(pair) for state in states - {"not-applicable"}]
    assert any(kind is not PairKind.NEVER for kind in after)


def test_what_a_state_is_expected_to_separate_is_the_mean_over_what_it_may_be(found: Gaps) -> None:
    """The expectation equals trying every state in turn, each as often as it is recorded of the maker."""
    tried = 0
    for one in found.unknown:
        if one.separates == 0.0 or one.also or one.feature == CLAIMED or tried == 2:
            continue
        tried += 1
        line, maker, _ = one.back.split("/")
        own = [
            state
            for full in INDEX.backs
            if full.startswith(f"{line}/{maker}/")
            for state in states_of(INDEX, full).get(one.feature, ())
            if state != "not-applicable"
        ]
        before = kinds(INDEX, line, maker)
        hopeless = [pair for pair, kind in before.items() if kind is PairKind.NEVER and one.back in pair]
        separated = 0.0
        for state, times in Counter(own).items():
            after = kinds(with_state(one, state), line, maker)
            told = sum(after.get(pair) is not PairKind.NEVER for pair in hopeless)
            separated += told * times / len(own)
        assert one.separates == pytest.approx(separated)
    assert tried


def test_the_most_useful_comes_first(found: Gaps) -> None:
    """By pairs newly separated, then by pairs that hang on one look, then by the effort."""
    ranks = [one.rank for one in found.unknown]
    assert ranks == sorted(ranks)
    assert found.next == found.unknown[0]


# --- cards


def test_open_cards_are_neither_confirmed_nor_refuted(found: Gaps) -> None:
    """Those that could exist and are not recorded, and those whose best record leaves it open; no others."""
    absent = {(card.figure, card.back) for card in found.cards if card.standing is None}
    assert absent == {(one.figure, one.back) for one in missing(INDEX)}
    doubtful = {(card.figure, card.back): card.standing for card in found.cards if card.standing is not None}
    assert not set(doubtful) & absent
    settled: dict[tuple[str, str], set[Standing]] = {}
    for card in INDEX.cards.values():
        settled.setdefault((INDEX.faces[card.face].figure, card.back), set()).add(card.standing)
    for key, standings in settled.items():
        open_ = not standings & {Standing.CONFIRMED, Standing.REFUTED}
        assert (key in doubtful) == open_


# --- parts of a dataset, and none


def test_a_line_or_maker_is_a_part_of_the_whole(found: Gaps) -> None:
    """The gaps of the makers are those of the whole; a misspelt one is no empty answer."""
    ours = [gaps(INDEX, maker=maker) for maker in {full.split("/")[1] for full in INDEX.backs}]
    assert sum(len(one.pairs) for one in ours) == len(found.pairs)
    assert sum(len(one.unknown) for one in ours) == len(found.unknown)
    assert sum(len(one.cards) for one in ours) == len(found.cards)
    assert sum(one.backs for one in ours) == len(INDEX.backs)
    with pytest.raises(UsageError, match="nothing was compared"):
        gaps(INDEX, maker="nobody")


def test_refuted_backs_are_not_compared() -> None:
    """Nobody has to be told from a back that does not exist."""
    pair = next(one for one in gaps(INDEX).pairs if one.kind is PairKind.NEVER)
    back = INDEX.backs[pair.other]
    index = changed(back={back.id: evolve(back, standing=Standing.REFUTED)})
    assert not [one for one in gaps(index).pairs if back.id in (one.one, one.other)]


# --- the command


def test_text_json_and_csv_say_the_same(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Text begins with what to record next; JSON fits its schema; CSV has a row for every gap."""
    monkeypatch.chdir(ROOT)
    whole = gaps(INDEX)
    first = whole.next
    assert first is not None
    assert main(["gaps"]) == 0
    text = capsys.readouterr().out.splitlines()
    assert text[0].startswith(f"record next: {first.title}")
    assert [line.split(":")[0].strip() for line in text[1:4]] == ["why", "where", "how"]
    assert len(text) < 70
    assert main(["gaps", "--format", "json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    Draft202012Validator(schema()).validate(answer)
    assert {key: answer[key] for key in as_json(whole)} == json.loads(json.dumps(as_json(whole)))
    assert main(["gaps", "--format", "csv"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))
    assert tuple(rows[0]) == COLUMNS
    assert len(rows) - 1 == len(list(as_rows(whole)))


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (["--maker", "quay-marl", "--most", "2"], 0, "34D"),
        (["--maker", "Quay & Marl Playworks", "--line", "Tidewrack"], 0, "record next"),
        (["--line", "night-post"], 0, "every pair of backs with one count is told apart"),
        (["--maker", "quay-mral"], 2, "did you mean quay-marl"),
        (["--line", "tidewrek"], 2, "tidewrack"),
        (["--line", "night-post", "--maker", "quay-marl"], 2, "nothing was compared"),
        (["--most", "0"], 2, "from 1"),
    ],
)
def test_answers_and_mistakes(
    words: list[str],
    status: int,
    said: str,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Gaps are no fault: 0. A misspelt line or maker never looks like a reference without gaps."""
    monkeypatch.chdir(ROOT)
    assert main(["gaps", *words]) == status
    captured = capsys.readouterr()
    assert said in captured.out + captured.err


def test_a_dataset_without_backs_is_not_called_complete(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Where nothing was compared, that is what is said."""
    (tmp_path / "dataset.yaml").write_text(
        "id: mine\ntitle: Nothing yet\nversion: '2026.11'\nlicence: CC0-1.0\nmodel: 1\n"
    )
    assert main(["gaps", "--dataset", str(tmp_path)]) == 0
    assert "nothing was compared" in capsys.readouterr().out


def test_a_cell_that_a_spreadsheet_would_run_is_made_harmless(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A title that begins like a formula gets an apostrophe in CSV."""
    files = {
        "dataset.yaml": "id: mine\ntitle: T\nversion: '2026.11'\nlicence: CC0-1.0\nmodel: 1\n",
        "makers.yaml": "makers:\n  - id: pell\n    name: Pell\n",
        "lines/odd/line.yaml": (
            "id: odd\ntitle: Odd\nhome: pell\nmakers: [pell]\nseries:\n  - {id: odd, title: Odd}\n"
        ),
        "lines/odd/features.yaml": (
            "line: odd\nfeatures:\n"
            "  - {id: mark, title: '=1+1', where: back, how: Look., kind: presence, side: back}\n"
        ),
        "lines/odd/backs/pell.yaml": (
            "line: odd\nmaker: pell\nbacks:\n"
            + "".join(
                f"  - {{id: b-{n}, designation: 6{'ABC'[n]}, series: odd, count: 6}}\n" for n in range(3)
            )
        ).replace("count: 6}\n", "count: 6, features: {mark: present}}\n", 1),
    }
    for name, text in files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    assert main(["gaps", "--dataset", str(tmp_path), "--format", "csv"]) == 0
    rows = list(csv.reader(io.StringIO(capsys.readouterr().out)))
    titles = {row[COLUMNS.index("says")] for row in rows}
    assert "'=1+1" in titles
    assert not [cell for row in rows for cell in row if cell[:1] in ("=", "+", "@")]


def test_the_row_of_a_card_names_what_is_recorded_of_it(found: Gaps) -> None:
    """Its cards where there are any, else the fronts that could be on that back."""
    rows = [row for row in as_rows(found) if row[0] == "card"]
    assert {bool(card.cards) for card in found.cards} == {True, False}
    assert [row[7].split() for row in rows] == [list(card.cards or card.faces) for card in found.cards]


def test_signs_of_copies_are_not_asked_for_to_tell_two_backs_apart(found: Gaps) -> None:
    """What is known for only one of a pair is listed where looking at the other might tell."""
    signs = {full.rpartition("/")[2] for full, feature in INDEX.features.items() if feature.sign is not None}
    assert signs
    assert not any(signs.intersection(pair.unknown) for pair in found.pairs)
