"""The engine: which rules run, in which order findings come, and what happens when something is missing."""

import datetime as dt
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import cardref
from cardref.checks.corpus import Corpus
from cardref.checks.rule import Example, Hit, Rule
from cardref.checks.runner import check
from cardref.checks.table import families, rules
from cardref.errors import CardrefError, DatasetError, UsageError
from cardref.finding import Severity
from cardref.index import from_loaded
from cardref.storage.loader import load_tree
from tests.checks.laid import (
    BACKS,
    CARDS,
    HEAD,
    SAMPLE,
    TODAY,
    cards,
    checked,
    edited,
    laid,
    one,
    rules_told,
    told,
)

MORE = cards(
    "{id: c-020, face: f-004, back: b-001, sources: [bidner]}",
    "{id: c-021, face: f-004, back: b-001, made: profo, sources: [binder, binder]}",
    "{id: c-022, face: f-999, back: b-001, sources: [binder, binder]}",
)


def own(check_: object = None, **fields: object) -> Rule:
    """A rule of one's own that has something to say about every maker, or does as it is told."""

    def of_makers(corpus: Corpus) -> Iterator[Hit]:
        for entry in corpus.entries("maker"):
            yield Hit(entry, f"maker {entry.id} is mine")

    known = {
        "id": "own-rule",
        "family": "own",
        "severity": Severity.NOTE,
        "summary": "A rule of one's own.",
        "rationale": "It is here to be run.",
        "check": check_ or of_makers,
        "good": Example("makers.yaml", ""),
        "bad": Example("makers.yaml", ""),
    }
    return Rule(**{**known, **fields})  # type: ignore[arg-type] # the fields of a rule, by name


def test_equal_datasets_give_equal_reports(tmp_path: Path) -> None:
    """The same findings in the same order, however often and from wherever the check is run."""
    first, second = (check(laid(tmp_path / name, MORE), today=TODAY) for name in ("one", "two"))
    assert first.findings == second.findings == check(tmp_path / "one", today=TODAY).findings


def test_findings_come_in_the_order_of_files_and_lines(tmp_path: Path) -> None:
    """A report reads like the files: top to bottom, and at one place in the order of the table."""
    report = checked(tmp_path, {**MORE, "glossary.yaml": "terms: [\n"})
    order = {rule.id: number for number, rule in enumerate(rules())}
    files = list(load_tree(tmp_path).files)
    keys = [(files.index(f.place.path), f.place.line, f.place.column, order[f.rule]) for f in report.findings]
    assert len(keys) > 4
    assert keys == sorted(keys)


def test_a_file_comes_before_its_parts(tmp_path: Path) -> None:
    """pell-orrin.yaml is read before pell-orrin.more.yaml, so of two equal records the added one is told."""
    report = checked(tmp_path, cards("{id: c-020, face: f-001, back: b-001, features: {lamp-paint: green}}"))
    files = list(load_tree(tmp_path).files)
    assert files.index("lines/lanternfish/cards/pell-orrin.yaml") < files.index(CARDS)
    assert report.checked


def test_rules_are_selected_by_id_and_by_family(tmp_path: Path) -> None:
    """Only what was asked for runs, and what was refused does not."""
    folder = laid(tmp_path, MORE)
    assert set(rules_told(check(folder, select=["unknown-link"], today=TODAY))) == {"unknown-link"}
    assert set(rules_told(check(folder, select=["links"], today=TODAY))) == {"unknown-link", "repeated-link"}
    assert "repeated-link" not in rules_told(check(folder, ignore=["repeated-link"], today=TODAY))
    assert check(folder, select=["links"], ignore=["links"], today=TODAY).rules == 0


def test_nothing_selected_is_not_called_clean(tmp_path: Path) -> None:
    """A report of no rule says nothing about the dataset, and its clean is false."""
    report = check(laid(tmp_path, {}), select=["links"], ignore=["links"])
    assert not report.checked
    assert not report.clean


@pytest.mark.parametrize("how", [{"select": ["unknown-lnik"]}, {"ignore": ["linsk"]}])
def test_an_unknown_rule_is_refused_with_a_hint(how: dict[str, list[str]], tmp_path: Path) -> None:
    """A misspelt name would otherwise check nothing and look clean."""
    with pytest.raises(UsageError, match="did you mean"):
        check(laid(tmp_path, {}), **how)  # type: ignore[arg-type] # select or ignore


def test_severities_are_the_datasets_to_change(tmp_path: Path) -> None:
    """dataset.yaml can make a rule graver or milder; its findings and the report's verdict follow."""
    dataset = {"dataset.yaml": SAMPLE["dataset.yaml"] + "severities: {unknown-link: note}\n"}
    report = checked(
        tmp_path, {**cards("{id: c-020, face: f-004, back: b-001, sources: [bidner]}"), **dataset}
    )
    assert one(report, "unknown-link").severity is Severity.NOTE
    assert report.clean


def test_rules_of_ones_own_are_run_after_the_tables(tmp_path: Path) -> None:
    """check(rules=[...]): their findings are in the report as any others are, and can be selected."""
    report = checked(tmp_path, {}, rules=[own()])
    assert rules_told(report) == ["own-rule"] * 3
    assert report.rules == check(tmp_path, today=TODAY).rules + 1
    assert rules_told(check(tmp_path, rules=[own()], select=["own"], today=TODAY)) == ["own-rule"] * 3


def test_a_plugin_is_a_module_with_rules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """plugins=[...] imports a module and runs its RULES; anything else is refused with the next step."""
    plugin = tmp_path / "plugins"
    plugin.mkdir()
    for name, text in {
        "my_rules": "from tests.checks.test_engine import own\nRULES = [own()]\n",
        "no_rules": "",
        "odd_rules": "RULES = ['x']\n",
    }.items():
        (plugin / f"{name}.py").write_text(text)
    monkeypatch.syspath_prepend(str(plugin))
    folder = laid(tmp_path / "dataset", {})
    assert rules_told(check(folder, plugins=["my_rules"], today=TODAY)) == ["own-rule"] * 3
    for name, said in {
        "no_rules": "has no RULES",
        "odd_rules": "is no rule",
        "not_there": "cannot be",
    }.items():
        with pytest.raises(UsageError, match=said):
            check(folder, plugins=[name])
    assert "not_there" not in sys.modules


def test_two_rules_cannot_have_one_id(tmp_path: Path) -> None:
    """Findings, waivers and baselines know a rule by its id."""
    with pytest.raises(UsageError, match="two rules"):
        check(laid(tmp_path, {}), rules=[own(id="unknown-link")])


def test_a_rule_that_stops_is_named_and_not_passed_over(tmp_path: Path) -> None:
    """An error in a rule is no finding and no silence: the call fails and says what to leave out."""

    def broken(corpus: Corpus) -> Iterator[Hit]:
        yield Hit(corpus.entries("maker")[99], "never")

    with pytest.raises(CardrefError, match=r"own-rule stopped with IndexError.*--ignore own-rule"):
        check(laid(tmp_path, {}), rules=[own(broken)])


def test_a_rule_without_its_ground_is_skipped_and_says_why(tmp_path: Path) -> None:
    """A rule that reasons from what is not there is silent where a file is unread, and only there."""
    needy = own(needs=("back",))
    report = checked(tmp_path, {"lines/lanternfish/backs/morvane.yaml": "backs: ["}, rules=[needy])
    assert "own-rule" not in rules_told(report)
    (skipped,) = [one for one in report.skipped if one.rule == "own-rule"]
    assert "morvane.yaml' could not be read" in skipped.reason
    assert not report.clean


def test_a_ground_missing_in_one_line_leaves_the_others(tmp_path: Path) -> None:
    """A hit in another line stands."""

    def of_figures(corpus: Corpus) -> Iterator[Hit]:
        for entry in corpus.entries("figure"):
            yield Hit(entry, "a figure")

    other = {
        "lines/other/line.yaml": "id: other\ntitle: Other\nhome: morvane\nmakers: [morvane]\n",
        "lines/other/figures.yaml": "line: other\nfigures:\n  - {id: a, names: [{text: A, language: fr}]}\n",
    }
    files = {**other, "lines/lanternfish/backs/morvane.yaml": "backs: ["}
    report = checked(tmp_path, files, rules=[own(of_figures, needs=("back",))], select=["own"])
    assert [f.record for f in report.findings] == ["other/figure/a"], told(report)


def test_a_newer_model_is_refused_with_a_clear_word(tmp_path: Path) -> None:
    """Nothing else is said about a dataset that this program cannot understand."""
    report = checked(tmp_path, {**edited("dataset.yaml", ("model: 1", "model: 9")), **MORE})
    assert rules_told(report) == ["model-version"]
    assert "newer cardref" in report.findings[0].message


def test_a_dataset_can_lie_over_another(tmp_path: Path) -> None:
    """over=: what stands below can be referred to, whether it is a folder, an index or a reference."""
    base = laid(tmp_path / "base", {})
    mine = tmp_path / "mine" / "lines" / "lanternfish" / "cards"
    mine.mkdir(parents=True)
    (mine / "pell-orrin.yaml").write_text(
        HEAD + "cards:\n  - {id: c-020, face: f-004, back: b-001, standing: reported, sources: [binder]}\n"
    )
    mine = tmp_path / "mine"
    assert "missing-file" in rules_told(check(mine, today=TODAY))
    for over in (base, from_loaded(load_tree(base)), cardref.load(base)):
        assert told(check(mine, over=over, today=TODAY)) == []


def test_a_path_that_is_no_directory_is_refused(tmp_path: Path) -> None:
    """The caller is told what to name instead."""
    (tmp_path / "file").write_text("")
    for name in ("file", "not-there"):
        with pytest.raises(DatasetError, match=r"dataset\.yaml"):
            check(tmp_path / name)


def test_an_empty_directory_is_not_called_clean(tmp_path: Path) -> None:
    """There was nothing to check, and that is said."""
    report = check(tmp_path)
    assert rules_told(report) == ["missing-file"]
    assert not report.checked


def test_fifty_thousand_findings_finish(tmp_path: Path) -> None:
    """Every one of many findings is told, in order, each with its place and an identity of its own."""

    def of_cards(corpus: Corpus) -> Iterator[Hit]:
        for entry in corpus.entries("card"):
            for number in range(25):
                yield Hit(entry, f"finding {number}", ("back",), value=str(number))

    for part in range(10):
        rows = (f"  - {{id: c-{part}-{at}, face: f-004, back: b-001}}\n" for at in range(200))
        laid(tmp_path, {CARDS.replace("more", f"p{part}"): HEAD + "cards:\n" + "".join(rows)})
    report = check(tmp_path, today=TODAY, rules=[own(of_cards)], select=["own"])
    assert len(report.findings) == 25 * report_size(tmp_path) > 50_000
    assert all(finding.place.line for finding in report.findings)
    assert len({finding.fingerprint for finding in report.findings}) == len(report.findings)


def report_size(folder: Path) -> int:
    """How many cards there are."""
    return len(load_tree(folder).entries["card"])


def test_many_records_of_wrong_shape_are_each_told(tmp_path: Path) -> None:
    """A file of which every record has a misspelt key is read once for its places, not once a record."""
    rows = "".join(f"  - {{id: c-{at}, face: f-004, back: b-001, mode: proof}}\n" for at in range(1_500))
    report = checked(tmp_path, {CARDS: HEAD + "cards:\n" + rows}, select=["shape"])
    assert [finding.place.line for finding in report.findings] == list(range(4, 1_504))


def test_fingerprints_survive_moving_and_reordering(tmp_path: Path) -> None:
    """A finding is known again when its record moves to another line or another part of the file."""
    records = (
        "{id: c-020, face: f-004, back: b-001, sources: [bidner]}",
        "{id: c-021, face: f-003, back: b-001, made: profo}",
    )
    before = checked(tmp_path / "a", cards(*records))
    moved = {CARDS.replace("more", "other"): "# a comment\n" + HEAD + "cards:\n"}
    moved[CARDS.replace("more", "other")] += "".join(f"  - {record}\n" for record in reversed(records))
    after = checked(tmp_path / "b", moved)
    assert {f.fingerprint for f in before.findings} == {f.fingerprint for f in after.findings}
    assert before.findings != after.findings


def test_a_count_of_rules_and_records_is_told(tmp_path: Path) -> None:
    """The report says how much was looked at."""
    report = checked(tmp_path, {})
    loaded = load_tree(tmp_path)
    assert report.files == len(SAMPLE)
    assert report.records == loaded.record_count
    assert report.rules == sum({"base", "under"}.isdisjoint(rule.needs) for rule in rules())
    assert report.version == "2026.11"


def test_rules_that_compare_run_only_where_there_is_something_to_compare_with(tmp_path: Path) -> None:
    """Without an earlier version they are neither run nor called skipped, unless they were asked for."""
    folder = laid(tmp_path, {})
    assert check(folder, today=TODAY).skipped == ()
    asked = check(folder, today=TODAY, select=["removed-record"])
    assert [skipped.rule for skipped in asked.skipped] == ["removed-record"]
    asked = check(folder, today=TODAY, select=["layer-conflict"])
    assert [skipped.rule for skipped in asked.skipped] == ["layer-conflict"]
    assert check(folder, today=TODAY, base=folder, over=folder).rules == len(rules())


def test_today_can_be_said(tmp_path: Path) -> None:
    """A date is in the future of the day that the caller names."""
    report = checked(tmp_path, {}, today=dt.date(1990, 1, 1))
    assert "future-date" in rules_told(report)


def test_families_are_known_without_importing_a_rule() -> None:
    """The table's rows are enough to name all rules."""
    assert families()["unknown-link"] == "links"
    assert len(families()) == len(rules())


def test_a_back_count_slip_has_both_its_places(tmp_path: Path) -> None:
    """A conflict of two values is one finding with the other value's place as related."""
    text = (
        "backs:\n  - {id: b-020, designation: 5A, series: lanternfish, count: 5, sources: [binder], "
        "pictures: {based_on: b-001}}\n"
    )
    finding = one(checked(tmp_path, {BACKS: HEAD + text}), "count-mismatch")
    assert finding.place.line == 4
    assert finding.related
