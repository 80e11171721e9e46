"""A modern copy is recorded as known before what it copies was made."""

from collections.abc import Iterator

from cardref.checks.blame import side
from cardref.checks.corpus import Corpus
from cardref.checks.examples import of_line
from cardref.checks.rule import Hit, Rule
from cardref.facts.bounds import released
from cardref.facts.called import called
from cardref.facts.territories import stretch_of
from cardref.facts.timing import surely_before
from cardref.finding import Severity
from cardref.model.reproduction import Reproduction

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for entry, copy in corpus.records("reproduction", Reproduction):
        for number, full in enumerate(copy.copies if copy.known is not None else ()):
            made = stretch_of(released(index, full))
            if surely_before(copy.known, made):
                yield Hit(
                    entry,
                    f"{called(index, copy.id)} is known since {copy.known}, but {called(index, full)}, "
                    f"which it copies, was made {made}: correct since when it is known, or what it copies",
                    ("known",),
                    value=str(copy.known),
                    also=(
                        *side(corpus, full, f"made {made}"),
                        *side(corpus, copy.id, "copied", "copies", number),
                    ),
                )
                break


def _more(known: str) -> str:
    return f"""
        - id: glowing-seven
          title: The glowing seven
          extent: [board]
          copies: [pell-orrin/b-004]
          features: {{board-glow: present}}
          known: "{known}"
          standing: reported
          sources: [fair-photo]
    """


RULE = Rule(
    id="copy-before-original",
    family="time",
    severity=Severity.ERROR,
    summary="A modern copy is recorded as known before what it copies was made.",
    rationale=(
        "A copy is younger than its original. Since when it is known decides which sales it may have been "
        "in, so a wrong year clears sales that it should not."
    ),
    check=_check,
    good=of_line("reproductions", _more("2009")),
    bad=of_line("reproductions", _more("1979"), "lanternfish/reproduction/glowing-seven", "known"),
)
