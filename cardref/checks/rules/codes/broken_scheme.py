"""A code scheme that cannot be: no code could be read by it."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.errors import NotationError
from cardref.facts.called import called
from cardref.finding import Severity
from cardref.model.scheme import Scheme

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    for entry, scheme in corpus.records("scheme", Scheme):
        try:
            scheme.layout  # noqa: B018 - it is made when it is first asked for, and that is what may fail
        except NotationError as error:
            problem = f"{error.problem}; " if error.problem else ""
            field = (
                "check"
                if "check digit" in error.problem or (scheme.check and "check" in error.expected)
                else "segments"
            )
            yield Hit(
                entry,
                f"{called(corpus.index, scheme.id)} describes no code that could be printed: "
                f"{problem}expected is {error.expected}",
                (field,) if field == "segments" or scheme.check else ("segments",),
                value=scheme.check if field == "check" else "",
            )


RULE = Rule(
    id="broken-scheme",
    family="codes",
    severity=Severity.ERROR,
    summary="A code scheme describes no code that could be printed.",
    rationale=(
        "The scheme is what turns a code into a figure, a series and a back. While it contradicts itself, "
        "no code of this maker can be read or checked."
    ),
    check=_check,
    good=changed("lines/lanternfish/line.yaml", "check: luhn", "check: mod11-10").__class__(
        "lines/lanternfish/reproductions.yaml", "line: lanternfish\nreproductions: []\n"
    ),
    bad=changed(
        "lines/lanternfish/line.yaml",
        "    check: luhn\n",
        "",
        "lanternfish/scheme/mv",
        "segments",
    ),
)
