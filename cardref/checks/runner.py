"""Run the rules over a dataset: one report, in one order, with nothing said twice.

>>> import tempfile, pathlib
>>> from cardref.checks.sample import write_sample
>>> folder = write_sample(pathlib.Path(tempfile.mkdtemp()))
>>> report = check(folder)
>>> report.clean, report.findings
(True, ())

The report's order is that of the files, the lines in them, and the table of rules; equal datasets give equal
reports. A rule that reasons from what is not there is skipped for a line whose records could not all be read,
and the report says so (see :class:`~cardref.checks.rule.Rule`, ``needs``).

*Own rules* are given as ``rules=[...]``, or as a module's name in ``plugins``: the module is imported and
its ``RULES``, an iterable of :class:`~cardref.checks.rule.Rule`, are added behind the table's. Their ids must
be new. A dataset can never name code.
"""

import datetime as dt
import os
from collections.abc import Iterable, Mapping
from contextlib import ExitStack
from importlib import import_module

from attrs import evolve, frozen

from cardref.checks.corpus import Corpus, Outcome
from cardref.checks.locating import Told, findings_of
from cardref.checks.narrowing import narrowed
from cardref.checks.rule import Hit, Rule
from cardref.checks.table import rules as table_rules
from cardref.checks.waiving import Waiving
from cardref.collector import uncollected
from cardref.errors import CardrefError, UsageError
from cardref.finding import Finding, Report, Severity, Skipped
from cardref.index import Index, Layer, from_loaded
from cardref.model.dataset import MODEL_VERSION, Dataset
from cardref.storage.loader import Entry, load_tree, refuse_newer
from cardref.text import clip, closest, quoted

__all__ = ["Plan", "check", "index_of", "plan", "run"]

PathLike = str | os.PathLike[str]


def check(
    path: PathLike,
    *,
    over: PathLike | Layer | Index | None = None,
    rules: Iterable[Rule] = (),
    plugins: Iterable[str] = (),
    select: Iterable[str] = (),
    ignore: Iterable[str] = (),
    today: dt.date | None = None,
    base: PathLike | None = None,
    since: PathLike | None = None,
) -> Report:
    """Check the dataset in the directory ``path``.

    Args:
        path: the directory that holds ``dataset.yaml``.
        over: a dataset, reference or index that this one is laid over: its records can be referred to.
        rules: rules of your own, run after the table's.
        plugins: names of modules with rules of your own in ``RULES``. They are imported, so name only what
            you trust.
        select: ids of rules or names of families to run; all where none is given.
        ignore: ids of rules or names of families not to run.
        today: the day after which a date lies in the future; the machine's own where not given.
        base: an earlier version of the dataset, a directory or a git revision, which the rules about the life
            of ids compare with.
        since: the same, and only what the change since then touches or breaks is reported.

    Raises:
        DatasetError: ``path`` (or ``over``) is no directory that can be looked into.
        UsageError: an unknown rule or family, a rule given twice, a plugin that is none, an unknown revision.
        CardrefError: a rule of your own stopped with an error.
    """
    if base is not None and since is not None:
        raise UsageError("base and since are two earlier versions: name one of them")
    what = plan(rules, plugins, select, ignore)
    loaded = load_tree(path)
    day = today or dt.date.today()  # noqa: DTZ011 - the day where the user is, as a person would say it
    under = index_of(over)
    with ExitStack() as stack:
        stack.enter_context(uncollected())
        earlier = base if since is None else since
        if earlier is None:
            return run(Corpus(loaded, day, under=under), what, dataset=os.fspath(path))
        from cardref.storage.revision import version_of  # noqa: PLC0415 - slow, and seldom needed

        old = load_tree(stack.enter_context(version_of(loaded.root, earlier)))
        refuse_newer(old, os.fspath(earlier))
        corpus = Corpus(loaded, day, under=under, base=from_loaded(old))
        report = run(corpus, what, dataset=os.fspath(path))
        if since is None:
            return report
        return narrowed(report, run(Corpus(old, day, under=under), what), corpus, old)


def index_of(over: PathLike | Layer | Index | None) -> Index | None:
    """The index of what a dataset is laid over. Errors: DatasetError for what is no directory, and
    for one in a newer version of the model.
    """
    if over is None or isinstance(over, Index):
        return over
    if not isinstance(over, (str, os.PathLike)):
        return over.index
    loaded = load_tree(over)
    refuse_newer(loaded, os.fspath(over))
    return from_loaded(loaded)


# --- which rules -----------------------------------------------------------------------------------------


@frozen
class Plan:
    """Which rules there are, and which of them are to be run, in the order of the table.

    ``asked`` are the ids of those that were selected by name or family, and not just because all are.
    """

    known: tuple[Rule, ...]
    chosen: tuple[Rule, ...]
    asked: frozenset[str] = frozenset()


def plan(
    rules: Iterable[Rule] = (),
    plugins: Iterable[str] = (),
    select: Iterable[str] = (),
    ignore: Iterable[str] = (),
) -> Plan:
    """The rules to run; the arguments are those of :func:`check`, and so are the errors."""
    known = (*table_rules(), *_own(rules, plugins))
    seen: set[str] = set()
    for rule in known:
        if rule.id in seen:
            raise UsageError(f"there are two rules called {quoted(rule.id)}: give yours another id")
        seen.add(rule.id)
    wanted, unwanted = _named(known, select), _named(known, ignore)
    chosen = tuple(rule for rule in known if rule.id not in unwanted and (not wanted or rule.id in wanted))
    return Plan(known, chosen, wanted)


def _own(rules: Iterable[Rule], plugins: Iterable[str]) -> list[Rule]:
    found = list(rules)
    for name in plugins:
        try:
            module = import_module(name)
        except ImportError as error:
            raise UsageError(
                f"the plugin {quoted(name)} cannot be imported ({clip(str(error), 200)}): name a module that "
                "Python finds, such as my_rules for my_rules.py on PYTHONPATH"
            ) from error
        given = getattr(module, "RULES", None)
        if not isinstance(given, Iterable):
            raise UsageError(f"the plugin {quoted(name)} has no RULES: give it a list of cardref rules")
        found += given
    for rule in found:
        if not isinstance(rule, Rule):
            raise UsageError(f"{clip(repr(rule), 80)} is no rule: make it with cardref.checks.rule.Rule(...)")
    return found


def _named(known: Iterable[Rule], names: Iterable[str]) -> frozenset[str]:
    """The ids of the rules that ``names``, ids or families, name."""
    if isinstance(names, str):
        raise TypeError("a list of names was expected, not one string")
    by_name: dict[str, set[str]] = {}
    for rule in known:
        by_name.setdefault(rule.id, set()).add(rule.id)
        by_name.setdefault(rule.family, set()).add(rule.id)
    found: set[str] = set()
    for name in names:
        if name not in by_name:
            near = closest(name, by_name)
            hint = f"did you mean {' or '.join(near)}?" if near else "`cardref rules` lists them"
            raise UsageError(f"there is no rule or family called {quoted(name)}; {hint}")
        found |= by_name[name]
    return frozenset(found)


# --- running ---------------------------------------------------------------------------------------------


def run(corpus: Corpus, what: Plan, *, dataset: str = "") -> Report:
    """Run the rules that ``what`` chose over ``corpus``. Errors: CardrefError where a rule stopped."""
    if (corpus.loaded.model or 0) > MODEL_VERSION:
        # What is right in a newer model would be called wrong by this one.
        what = evolve(what, chosen=tuple(rule for rule in what.known if rule.id == "model-version"))
    early = [(row, rule) for row, rule in enumerate(what.chosen) if "outcome" not in rule.needs]
    late = [(row, rule) for row, rule in enumerate(what.chosen) if "outcome" in rule.needs]
    skipped: dict[str, list[Skipped]] = {}
    ran: list[str] = []
    told = _tell(corpus, early, what, skipped, ran)
    waiving = Waiving.of(corpus)
    standing, accepted = waiving.split(findings_of(corpus.loaded, told))
    if late:
        corpus.outcome = Outcome(
            families={rule.id: rule.family for rule in what.known},
            ran=frozenset(ran).difference(skipped),
            used=frozenset(waiving.used),
        )
        # Put in order together, since a late finding may stand before an early one.
        told += _tell(corpus, late, what, skipped, ran)
        standing, accepted = Waiving.of(corpus).split(findings_of(corpus.loaded, told))
    says = next((record for _, record in corpus.records("dataset", Dataset)), None)
    severities = says.severities if says else {}
    return Report(
        dataset=dataset or os.fspath(corpus.loaded.root),
        version=says.version if says else "",
        findings=tuple(_as_bad_as(finding, severities) for finding in standing),
        waived=tuple(_as_bad_as(finding, severities) for finding in accepted),
        skipped=tuple(one for some in skipped.values() for one in some),
        files=sum(file.readable for file in corpus.loaded.files.values()),
        records=corpus.loaded.record_count,
        rules=len(ran),
    )


def _as_bad_as(finding: Finding, severities: Mapping[str, Severity]) -> Finding:
    severity = severities.get(finding.rule, finding.severity)
    return finding if severity is finding.severity else evolve(finding, severity=severity)


def _tell(
    corpus: Corpus,
    rows: Iterable[tuple[int, Rule]],
    what: Plan,
    skipped: dict[str, list[Skipped]],
    ran: list[str],
) -> list[Told]:
    told: list[Told] = []
    for row, rule in rows:
        missing = _missing(corpus, rule)
        if missing:
            if rule.id in what.asked:
                skipped[rule.id] = [Skipped(rule.id, missing)]
            continue
        gaps: dict[str, str] = {}
        for kind in rule.needs:
            gaps |= corpus.gaps.get(kind, {})
        if gaps:
            skipped[rule.id] = [
                Skipped(rule.id, f"{why}, so nothing is said about {line or 'what needs it'}")
                for line, why in sorted(gaps.items())
            ]
        ran.append(rule.id)
        told += (Told(row, rule, hit) for hit in _hits(corpus, rule) if not gaps or _stands(hit, gaps))
    return told


def _missing(corpus: Corpus, rule: Rule) -> str:
    """Why a rule has nothing to look at, or ""."""
    if "base" in rule.needs and corpus.base is None:
        return "there is no earlier version to compare with: give one"
    if "under" in rule.needs and corpus.under is None:
        return "there is no dataset that this one lies over: give one"
    return ""


def _stands(hit: Hit, gaps: Mapping[str, str]) -> bool:
    """Whether a hit keeps its ground although records are missing in the lines of ``gaps``."""
    file = hit.where.file if isinstance(hit.where, Entry) else hit.where
    return bool(file.line) and "" not in gaps and file.line not in gaps


def _hits(corpus: Corpus, rule: Rule) -> Iterable[Hit]:
    try:
        return list(rule.check(corpus))
    except Exception as error:  # a rule may be anybody's, and its author has to hear of it
        raise CardrefError(
            f"the rule {rule.id} stopped with {type(error).__name__}: {clip(str(error), 200)}. That is a "
            "fault of the rule, not of the dataset: tell its author, and leave it out until then "
            f"(--ignore {rule.id})"
        ) from error
