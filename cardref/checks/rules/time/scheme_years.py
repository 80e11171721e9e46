"""A code scheme was in use when none of the series was sold that it is found on."""

from collections.abc import Iterator

from cardref.checks.blame import side, sides
from cardref.checks.corpus import Corpus
from cardref.checks.dating import doubted
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.codes import codes_read
from cardref.facts.timing import outside
from cardref.finding import Severity
from cardref.model.scheme import Scheme

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index, doubt = corpus.index, doubted(corpus)
    found: dict[str, dict[str, list[str]]] = {}
    for read in codes_read(index):
        if read.book is not None:
            series = index.faces[read.face].series
            found.setdefault(read.book.scheme.id, {}).setdefault(series, []).append(read.face)
    for entry, scheme in corpus.records("scheme", Scheme):
        if scheme.valid is None or scheme.id in doubt:
            continue
        on_faces = found.get(scheme.id, {})
        for full in dict.fromkeys((*scheme.series, *on_faces)):
            record = index.series.get(full)
            if record is None or full in doubt or not outside(record.years, scheme.valid):
                continue
            faces = on_faces.get(full, [])
            # One front of a series among many of others is out of place itself.
            alone = len(faces) == 1 and len(on_faces) > 1 and full not in scheme.series
            sold = f"{called(index, full)}, which was sold {record.years}"
            if alone and faces[0] in corpus.by_id:
                yield Hit(
                    corpus.by_id[faces[0]],
                    f"{called(index, faces[0])} carries a code of {called(index, scheme.id)}, in use "
                    f"{scheme.valid}, but is of {sold}: correct the series, or the code",
                    ("series",),
                    value=full,
                    also=side(corpus, scheme.id, f"in use {scheme.valid}", "valid"),
                )
                continue
            yield Hit(
                entry,
                f"{called(index, scheme.id)} was in use {scheme.valid}, but its codes stand on fronts of "
                f"{sold}: correct when it was in use, or the series",
                ("valid",),
                value=f"{scheme.valid} {full}",
                also=(
                    *side(corpus, full, f"sold {record.years}", "years"),
                    *sides(corpus, faces, "carries such a code", ("codes",)),
                ),
            )


RULE = Rule(
    id="scheme-years",
    family="time",
    severity=Severity.ERROR,
    summary="A code scheme was in use when a series that carries its codes was not sold.",
    rationale=(
        "Makers changed how they wrote their codes, and by the way of writing a front is dated. Years that "
        "do not fit the fronts date all of them wrongly."
    ),
    check=_check,
    good=changed("lines/lanternfish/line.yaml", "valid: 1982/1984", "valid: 1981/1984"),
    bad=changed(
        "lines/lanternfish/line.yaml", "valid: 1982/1984", 'valid: "1984"', "lanternfish/scheme/po", "valid"
    ),
)
