"""Coverage-guided fuzzing of what people ask (see :mod:`tests.fuzz.harness`).

``looks`` is ``cardref identify`` with a word a line; ``observed`` gives the same lines to the library one by
one; ``listing`` vets the first line as a seller's words, the others as fields.
"""

import argparse
import contextlib
import io
import sys
import tempfile
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Any

import atheris  # type: ignore[import-untyped]  # the harness says why

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.fuzz.harness import Target, fuzz, holds, text_of

with atheris.instrument_imports(include=["cardref"]):
    import cardref.cli.identify as identify_verb
    import cardref.cli.vet as vet_verb
    from cardref.checks.sample import write_sample
    from cardref.errors import CardrefError, UsageError
    from cardref.identification.identify import Identification
    from cardref.reference import Reference, load
    from cardref.text import visible

    # What is imported when it is first used is to be seen by the fuzzer too.
    for module in ("identification.as_json", "vetting.as_json", "vetting.as_text"):
        import_module(f"cardref.{module}")
    with tempfile.TemporaryDirectory() as folder:
        SMALL = load(write_sample(Path(folder)))
    SMALL.vet("Reef Pilot 4B unpunched")
    SMALL.read("Reef Pilot 4B unpunched")
    REFERENCE = load()


def _asked(verb: Any, parsed: argparse.Namespace) -> None:
    """A verb ends with a status of its own, or is told why not; nothing is shown raw."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(out):
        try:
            status = verb.run(parsed)
        except CardrefError as error:
            holds(bool(str(error)) and len(str(error)) < 4_000, "an error without a word, or an endless one")
            return
    holds(status in (0, 1, 2), "no status")
    shown = out.getvalue()
    holds(bool(shown), "no answer")
    holds(all(visible(sign) == sign for sign in set(shown) - {"\n"}), "a sign that is shown raw")


def _parser(verb: Any, reference: Reference) -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(exit_on_error=False)
    verb.arguments(parser)
    verb.open_reference = lambda _: reference  # loaded once, not for every input
    return parser


_IDENTIFY = _parser(identify_verb, REFERENCE)
_VET = _parser(vet_verb, SMALL)  # of the large one an answer takes twenty times as long
_FORMATS = ("text", "json")


def looks(text: str) -> None:
    """Whatever is said to have been seen, there is an answer or a word why not."""
    words = [line for line in text.split("\n") if not line.startswith("-")][:8]
    for form in _FORMATS:
        parsed = _IDENTIFY.parse_args(["--format", form])
        parsed.looks = words
        _asked(identify_verb, parsed)


def observed(text: str) -> None:
    """Looks can be made in any order and taken back, and beliefs stay beliefs."""
    ident = fresh = REFERENCE.identify(line="tidewrack")
    seen: list[tuple[str, str]] = []
    for line in text.split("\n")[:6]:
        name, _, value = line.partition("=")
        try:
            after = ident.observe(name, value)
        except CardrefError:
            continue
        seen.append((name, value))
        _believed(after)
        taken_back = after.retract(name)
        holds(_belief(taken_back) == _belief(ident), "taken back it is not as before")
        ident = after
    backwards: Identification = fresh
    for name, value in reversed(seen):
        try:
            backwards = backwards.observe(name, value)
        except UsageError:
            return  # a segment and the whole code: the order in which they may be given is told
    near = zip(_belief(ident), _belief(backwards), strict=True)
    holds(all(abs(one - other) < 1e-6 for one, other in near), "in another order it is another answer")


def _belief(ident: Identification) -> list[float]:
    chance = {candidate.id: candidate.posterior for candidate in ident.candidates}
    return [chance[key] for key in sorted(chance)]


def _believed(ident: Identification) -> None:
    belief = _belief(ident)
    holds(all(0 <= chance <= 1 for chance in belief), "a chance that is none")
    holds(abs(sum(belief) - 1) < 1e-6, "chances that are not all")
    holds(bool(ident.explain()), "nothing is said")
    nexts = {look.feature for look in ident.next_features}
    holds(not nexts & set(ident.readings), "to look again at what was looked at")


def listing(text: str) -> None:
    """Whatever a seller says, it is vetted or a word says why not; what is read in it stands in it."""
    words, *fields = text.split("\n")
    for hit in SMALL.read(text):
        start, end = hit.span
        holds(0 <= start < end <= len(text) and text[start:end] == hit.text, "a hit that says another text")
    for form in _FORMATS:
        parsed = _VET.parse_args(["--format", form, "x"])
        parsed.claim = [word for word in (words, *fields[:6]) if word != "-"]
        _asked(vet_verb, parsed)


_LOOKS = (
    "maker=quay-marl\nback-count=25\nrope-length=4 mm",
    "line=tidewrack\nfigure=lamp diver\ncode=7K 2046/0?1\nbeam=left|right\ngulls=?",
    "line=tidewrack\ncode-back=031\ncode=7K 2046/031\ncount=25|28\nmoon=-",
    "by=card\nline=tidewrack\nlanguages=en|fr\nnumber=2046\nsticker=none\nsurface-sheen=glossy",
    "line=hedgerow-circuit\nmaker=pomelloway\nback-count=9",
    "line=night-post\nfigure=x\nclaimed-total=none\ncompany=stellan-fogg",
    "rope=3.5 ± 0.5 mm\npicture-order=machine\nrope-length=1/8 in",
)
_OBSERVED = (
    "back-count=25\nrope-length=4 mm\nbeam=right",
    "code=7K 2046/0?1\ncode-back=031\nmaker=quay-marl",
    "rope=3-5 mm\ngulls=2|3\nmoon=-\nbeam=?",
    "count=25|28\nclaimed-total=none\nlanguages=en|fr\npicture-order=machine",
)
_LISTINGS = (
    "Reef Pilot Lanternfish 4A back unpunched $40\nmaker=pell-orrin\nback-count=28",
    "Pell and Orrin Tide Clrk 6-A back, no creases, re-sealed, $25\ncode=L-015/06\nboard_glow=absent",
    "Morvane Pilote du récif 3 A yellowed bubble 2041-8\nlanguages=fr|en\nfigure=reef-pilot",
    "rare proof card, 7 backs, deepwater\nback=7\nseries=x\nbarcode=036000291452\nreleased=1983",
)


def _fuzzed(ask: Callable[[str], None], seeds: tuple[str, ...]) -> tuple[Target, list[bytes]]:
    return lambda data: ask(text_of(data)), [seed.encode() for seed in seeds]


if __name__ == "__main__":
    fuzz(
        {
            "looks": _fuzzed(looks, _LOOKS),
            "observed": _fuzzed(observed, _OBSERVED),
            "listing": _fuzzed(listing, _LISTINGS),
        }
    )
