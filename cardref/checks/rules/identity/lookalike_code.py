"""Two codes or numbers of one maker differ only in signs that look alike."""

from collections.abc import Iterator

from cardref.checks.corpus import Corpus
from cardref.checks.examples import faces
from cardref.checks.lookalikes import code_skeleton
from cardref.checks.rule import Also, Hit, Rule
from cardref.finding import Severity
from cardref.location import Pointer
from cardref.model.face import Face
from cardref.notation.code import PackageCode
from cardref.storage.loader import Entry
from cardref.text import quoted

__all__ = ["RULE"]


def _check(corpus: Corpus) -> Iterator[Hit]:
    seen: dict[tuple[str, str, str, str], dict[str, tuple[Entry, Pointer]]] = {}
    for entry, face in corpus.records("face", Face):
        printed: list[tuple[str, str, Pointer]] = [
            ("code", code, ("codes", number)) for number, code in enumerate(face.printed_codes)
        ]
        if face.number:
            printed.append(("product number", face.number, ("number",)))
        for what, text, pointer in printed:
            key = (what, entry.file.line, face.maker, code_skeleton(text))
            seen.setdefault(key, {}).setdefault(text, (entry, pointer))
    for (what, line, maker, _), spellings in seen.items():
        if len(spellings) == 1:
            continue
        (first, (one, there)), *others = spellings.items()
        for text, (entry, pointer) in others:
            if what == "code" and _both_meant(corpus, line, maker, first, text):
                continue
            yield Hit(
                entry,
                f"{corpus.named(entry)} has the {what} {quoted(text)}, which looks like {quoted(first)} of "
                f"{corpus.named(one)}: look again at both cards, and correct the one that was misread",
                pointer,
                value=text,
                also=(Also(one, f"has {quoted(first)}", there),),
            )


def _both_meant(corpus: Corpus, line: str, maker: str, one: str, other: str) -> bool:
    """Whether a scheme knows the signs in which two codes differ, each with a meaning of its own."""
    for scheme in corpus.index.schemes_by_maker.get((line, f"maker/{maker}"), ()):
        if not (PackageCode.is_valid(one, scheme) and PackageCode.is_valid(other, scheme)):
            continue
        mine, theirs = PackageCode.parse(one, scheme).segments, PackageCode.parse(other, scheme).segments
        differing = [segment for segment in scheme.segments if mine[segment.name] != theirs[segment.name]]
        if all(mine[s.name] in s.table and theirs[s.name] in s.table for s in differing):
            return True
    return False


RULE = Rule(
    id="lookalike-code",
    family="identity",
    severity=Severity.WARNING,
    summary="Two codes or numbers of one maker differ only in signs that look alike.",
    rationale=(
        "O and 0, I and 1, S and 5, B and 8 are taken for one another in small print, and a zero in "
        "front is easily lost. Two codes that differ only in these are mostly one code, read in two "
        "ways."
    ),
    check=_check,
    good=faces("""
        - id: f-020
          figure: tide-clerk
          series: lanternfish
          languages: [en]
          name: Tide Clerk
          number: "4015"
          codes: [L-015/06]
          sources: [binder]
    """),
    bad=faces(
        """
        - id: f-020
          figure: tide-clerk
          series: lanternfish
          languages: [en]
          name: Tide Clerk
          number: "04021"
          codes: [L-015/06]
          sources: [binder]
    """,
        "lanternfish/pell-orrin/f-020",
        "number",
    ),
)
