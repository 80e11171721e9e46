"""A table of a code scheme has an entry that no code can have, or that means nothing."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import changed
from cardref.checks.rule import Hit, Rule
from cardref.facts.called import called
from cardref.facts.counting import backs_called
from cardref.finding import Severity
from cardref.index import Index
from cardref.location import Pointer
from cardref.model.kinds import full_id, short_id
from cardref.model.scheme import Scheme, SchemeSegment
from cardref.notation.code import ALPHABETS
from cardref.text import closest, quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    index = corpus.index
    for entry, scheme in corpus.records("scheme", Scheme):
        line = scheme.id.partition("/")[0]
        for number, segment in enumerate(scheme.segments):
            seen: dict[str, str] = {}
            for text, says in segment.table.items():
                pointer: Pointer = ("segments", number, "table", text)
                why = _fault(index, scheme, line, segment, text, says)
                if (
                    not why
                    and segment.meaning in ("figure", "series")
                    and seen.setdefault(says, text) != text
                ):
                    why = f"{quoted(says)}, which {quoted(seen[says])} means already"
                if why:
                    yield Hit(
                        entry,
                        f"{called(index, scheme.id)} has {quoted(text)} in the table of {segment.name} for "
                        f"{why}: correct the table",
                        pointer,
                        on_key=why.startswith("a segment"),
                        value=f"{text}={says}",
                    )


def _fault(index: Index, scheme: Scheme, line: str, segment: SchemeSegment, text: str, says: str) -> str:
    allowed = ALPHABETS.get(segment.alphabet, "")
    if len(text) != segment.width or text.strip(allowed):
        signs = {"digits": "digits", "upper": "capital letters"}.get(
            segment.alphabet, "digits or capital letters"
        )
        return f"a segment of {segment.width} {signs}, which it cannot be"
    if segment.meaning in ("figure", "series"):
        full = full_id(segment.meaning, says, line)
        table = index.tables[segment.meaning]
        if full in table:
            return ""
        near = closest(says, [short_id(one) for one in table if one.startswith(f"{line}/")], 1)
        hint = f"; did you mean {near[0]}?" if near else ""
        return f"{segment.meaning} {quoted(says)}, which is not recorded{hint}"
    if segment.meaning == "back":
        return _back_fault(index, scheme, line, says)
    return ""


def _back_fault(index: Index, scheme: Scheme, line: str, says: str) -> str:
    if not (says.isascii() and says.isdigit() and len(says) <= 3):
        return f"{quoted(says)}, but a back segment means a count"
    count = int(says)
    if scheme.counts and count not in scheme.counts:
        return f"a back of {count}, which is not among its counts"
    makers = [maker.rpartition("/")[2] for maker in scheme.makers]
    known = backs_called(index)
    if any((line, maker, count) in known for maker in makers):
        return ""
    if not any((line, maker) == key[:2] for maker in makers for key in known):
        return ""  # no back of these makers is recorded at all
    return f"a back of {count}, and its makers have none"


RULE = Rule(
    id="scheme-table",
    family="codes",
    severity=Severity.ERROR,
    summary="A code scheme's table has an entry that no code can have or that means nothing.",
    rationale=(
        "Every code is read by this table. One wrong entry names the wrong figure, series or back for every "
        "card that carries it."
    ),
    check=_check,
    needs=("figure", "series", "back"),
    good=changed("lines/lanternfish/line.yaml", '"032": salt-porter', '"033": salt-porter'),
    bad=changed(
        "lines/lanternfish/line.yaml",
        '"032": salt-porter',
        '"032": salt-portre',
        "lanternfish/scheme/po",
        "segments.table.032",
    ),
)
