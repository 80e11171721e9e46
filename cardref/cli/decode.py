"""``cardref decode TEXT...``: what a package code, designation or barcode typed off a card means."""

import argparse
import sys
from collections.abc import Iterable, Iterator

from cardref.cli.common import add_dataset, add_format, open_reference, print_csv, print_json, printable
from cardref.decoding.result import Decoding, Reading
from cardref.facts.answer import Verdict
from cardref.model.back import Back
from cardref.model.kinds import short_id
from cardref.reference import Reference
from cardref.text import clip, columns, quoted

SUMMARY = "Decode a package code, designation or barcode: what each segment means, and what contradicts it."
EXAMPLE = "cardref decode '7K 2046/0?1'      (? stands for a sign that cannot be read)"

_CSV = (
    *("text", "reading", "value", "well-formed", "known", "consistent"),
    *("maker", "figure", "backs", "perhaps", "why"),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What the verb takes."""
    parser.add_argument("text", nargs="+", help="what is printed, ? for an unreadable sign; - reads stdin")
    add_dataset(parser)
    add_format(parser, "text", "json", "csv")


def run(args: argparse.Namespace) -> int:
    """Print the answers; 1 where one of them is unreadable, unknown or contradicted."""
    reference = open_reference(args)
    stream = args.text == ["-"]
    texts = _lines() if stream else args.text
    if args.format == "json":
        return _json(reference, texts, stream=stream)
    worst = 0

    def decoded() -> Iterator[Decoding]:
        nonlocal worst
        for decoding in map(reference.decode, texts):
            worst = max(worst, _status(decoding))
            yield decoding

    if args.format == "csv":
        print_csv(_CSV, (_row(reference, decoding) for decoding in decoded()))
        return worst
    for decoding in decoded():
        print(_line(reference, decoding) if stream else "\n".join(_text(reference, decoding)))
    return worst


def _json(reference: Reference, texts: Iterable[str], *, stream: bool) -> int:
    """One object for what was typed; for a stream one line of JSON a line."""
    from cardref.decoding.as_json import as_json  # noqa: PLC0415 - as below

    if stream:
        import json  # noqa: PLC0415 - text output needs neither

        worst = 0
        for decoding in map(reference.decode, texts):
            worst = max(worst, _status(decoding))
            print(json.dumps(printable(as_json(decoding)), ensure_ascii=False))
        return worst
    decodings = [reference.decode(text) for text in texts]
    print_json(
        {
            "format": 1,
            "dataset": reference.name,
            "version": reference.version,
            "fingerprint": reference.fingerprint,
            "decodings": [as_json(decoding) for decoding in decodings],
        }
    )
    return max(map(_status, decodings))


_LONGEST = 1 << 16


def _lines() -> Iterator[str]:
    """The lines of standard input; one without an end is read in pieces."""
    while line := sys.stdin.readline(_LONGEST):
        yield line.rstrip("\r\n")


def _status(decoding: Decoding) -> int:
    return 0 if decoding.known is Verdict.YES and decoding.consistent is not Verdict.NO else 1


def _line(reference: Reference, decoding: Decoding) -> str:
    best = decoding.best
    if best is None:
        return f"{quoted(decoding.text)}: {decoding.problem}"
    figures = ", ".join(reference.figures[f].name for f in best.figures[:3])
    return (
        f"{best.value}: {best.kind}, known {decoding.known}, consistent {decoding.consistent}{_tail(figures)}"
    )


def _tail(text: str) -> str:
    return f", {text}" if text else ""


def _row(reference: Reference, decoding: Decoding) -> tuple[str, ...]:
    best = decoding.best
    judged = (str(decoding.well_formed).lower(), decoding.known.value, decoding.consistent.value)
    perhaps = "; ".join(decoding.suggestions)
    if best is None:
        return (decoding.text, "", "", *judged, "", "", "", perhaps, decoding.problem)
    return (
        decoding.text,
        best.kind,
        best.value,
        *judged,
        "; ".join(map(short_id, best.makers)),
        "; ".join(map(short_id, best.figures)),
        "; ".join(reference.backs[back].label for back in best.backs),
        perhaps,
        "; ".join(answer.because for answer in best.contradictions or (best.known,)),
    )


def _text(reference: Reference, decoding: Decoding) -> Iterator[str]:
    best = decoding.best
    if best is None:
        yield f"{quoted(decoding.text)}: not read"
        yield f"  {decoding.problem}"
        yield from _perhaps(decoding)
        return
    yield from _reading(reference, decoding, best)
    others = decoding.readings[1:]
    for other in others[:4]:
        yield f"or: {other.value}, a {other.kind}{_of(reference, other)}: {other.known.because}"
    if len(others) > 4:
        yield f"or {len(others) - 4} more; --format json has them all"


def _reading(reference: Reference, decoding: Decoding, best: Reading) -> Iterator[str]:
    yield f"{best.value}: {best.kind}{_of(reference, best)}"
    width = max((columns(m.text) for m in best.segments), default=0)
    name = max((len(m.segment) for m in best.segments), default=0)
    for m in best.segments:
        yield f"  {m.text}{' ' * (width - columns(m.text))}  {m.segment:{name}}  {clip(m.label, 90)}"
    if best.changes:
        yield f"  read with changes: {'; '.join(clip(str(change), 60) for change in best.changes[:6])}"
    word = {Verdict.YES: "yes", Verdict.NO: "no", Verdict.UNKNOWN: "not recorded"}[decoding.known]
    yield f"known: {word}, {best.known.because}"
    checks = best.contradictions or [check for check in best.checks if check is not best.known]
    if best.segments or best.contradictions:
        yield f"consistent: {decoding.consistent}{_tail('; '.join(clip(c.because, 120) for c in checks))}"
    if best.backs:
        more = f" and {len(best.backs) - 8} more" if len(best.backs) > 8 else ""
        yield f"backs: {_labels([reference.backs[back] for back in best.backs[:8]])}{more}"
    yield from _perhaps(decoding)
    yield from _next(reference, best)


def _labels(backs: list[Back]) -> str:
    """Maker and designation, the maker once where it stays the same."""
    before = ["", *(back.maker for back in backs)]
    return ", ".join(
        str(back.designation) if back.maker == maker else back.label
        for back, maker in zip(backs, before, strict=False)
    )


def _of(reference: Reference, reading: Reading) -> str:
    makers = [
        reference.makers[m].latin or reference.makers[m].name for m in reading.makers if m in reference.makers
    ]
    named = f" of {' or '.join(clip(maker, 40) for maker in makers[:3])}" if makers else ""
    return named + (f" (scheme {short_id(reading.scheme)})" if reading.scheme else "")


def _perhaps(decoding: Decoding) -> Iterator[str]:
    if decoding.suggestions:
        yield f"perhaps: {', '.join(clip(text, 40) for text in decoding.suggestions)}"


def _next(reference: Reference, reading: Reading) -> Iterator[str]:
    if reading.contradictions:
        yield "next: read the code once more, under a loupe; if it stands so, it is worth telling others"
    elif len(reading.backs) > 1:
        backs = [reference.backs[back] for back in reading.backs]
        counts = {back.count for back in backs}
        makers = {back.maker for back in backs}
        maker = f" maker={next(iter(makers))}" if len(makers) == 1 else ""
        if len(counts) == 1:
            yield f"next: for the letter, `cardref identify{maker} back-count={counts.pop()}`"
        else:
            yield "next: count the figures on the reverse"
    elif len(reading.backs) == 1:
        yield f"next: `cardref show {reading.backs[0]}`, and compare it with the card in hand"
    elif reading.known.verdict is not Verdict.YES:
        yield "next: read it once more; not recorded does not mean that it cannot be"
