"""A back blacks out a figure that it does not picture."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import BACK, backs
from cardref.checks.rule import Also, Hit, Rule
from cardref.facts.called import called, some
from cardref.facts.pictures import shown_on
from cardref.finding import Severity
from cardref.model.back import Back

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    shown = shown_on(index)
    for entry, back in corpus.records("back", Back):
        pictures = back.pictures
        if pictures is None or not pictures.silhouettes or back.id not in shown:
            continue
        absent = [figure for figure in pictures.silhouettes if figure not in shown[back.id]]
        if absent:
            yield Hit(
                entry,
                f"{called(index, back.id)} has a silhouette of {some(index, absent)}, but does not picture "
                "it at all: a silhouette is a picture and counts, so add it to plus, or name the figure "
                "that was meant",
                ("pictures", "silhouettes", pictures.silhouettes.index(absent[0])),
                value=absent[0],
                also=(Also(entry, "what it pictures", ("pictures",)),),
            )


def _more(silhouette: str) -> str:
    return f"""
        - id: b-009
          designation: 5A
          series: lanternfish
          count: 5
          pictures: {{based_on: b-001, plus: [kelp-weaver], silhouettes: [{silhouette}]}}
          released: 1982-01
          standing: reported
          sources: [binder]
    """


RULE = Rule(
    id="silhouette-not-pictured",
    family="counting",
    severity=Severity.ERROR,
    summary="A back has a silhouette of a figure that it does not picture.",
    rationale=(
        "A blacked-out figure takes a place on the back and counts. If the list does not have it, the count "
        "or the name of the secret figure is wrong."
    ),
    check=_check,
    good=backs(_more("kelp-weaver")),
    bad=backs(_more("bell-ringer"), BACK, "pictures.silhouettes"),
)
