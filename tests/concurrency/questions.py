r"""What tests of threads and processes ask of a reference: questions whose answers are values that compare.

>>> from cardref.checks.sample import write_sample
>>> import cardref, pathlib, tempfile
>>> ref = cardref.load(write_sample(pathlib.Path(tempfile.mkdtemp())))
>>> sorted(QUESTIONS)[:3]
['back', 'cards', 'cards of']
>>> ask(ref, "cards")[0]
'lanternfish/morvane/c-001'
"""

import datetime as dt
from collections.abc import Callable
from typing import Any

import cardref
from cardref.facts.printings import printing_order
from cardref.gaps.find import gaps

__all__ = ["QUESTIONS", "ask"]

_DAY = dt.date(2026, 11, 25)


def _line(ref: cardref.Reference) -> str:
    return next(iter(ref.lines))


def _words(ref: cardref.Reference) -> str:
    back = next(iter(ref.backs.values()))
    return f"{next(iter(ref.figures.values())).name} on {back.designation}"


def _identified(ref: cardref.Reference, by: str) -> object:
    ident = ref.identify(line=_line(ref), by=by)
    feature = ident.next_feature
    if feature is not None:
        ident = ident.observe(feature.feature, "?")
    back = next(iter(ref.backs.values()))
    ident = ident.observe("back-count", back.count)
    fits = [(fit, fit.where) for one in ident.candidates[:3] for fit in one.fits]
    return list(ident.candidates), ident.next_features, ident.conclusion, ident.explain(), fits


def _refused(ref: cardref.Reference, look: Callable[[str], object]) -> str:
    try:
        look("zonk")
    except cardref.CardrefError as error:
        return f"{type(error).__name__}: {error}"
    return f"{ref} knows zonk"


# Everything that a reference works out when it is first asked for is asked for by one of these.
QUESTIONS: dict[str, Callable[[cardref.Reference], Any]] = {
    "back": lambda ref: [ref.back(f"{b.id.split('/')[1]} {b.designation}") for b in ref.backs.values()],
    "cards": lambda ref: tuple(ref.cards),
    "cards of": lambda ref: [ref.cards_of(figure) for figure in ref.figures],
    "check": lambda ref: cardref.check(ref.name, today=_DAY),
    "code": lambda ref: [ref.decode(code) for face in ref.faces.values() for code in (face.codes or ())],
    "compare": lambda ref: cardref.compare(ref.name, ref.name),
    "date": lambda _: [cardref.Date.parse(text) for text in ("1982~", "1981/1984", "198X")],
    "designation": lambda ref: [ref.decode(str(back.designation)) for back in ref.backs.values()],
    "fingerprint": lambda ref: ref.fingerprint,
    "find": lambda ref: [ref.find(figure.name) for figure in ref.figures.values()],
    "gaps": lambda ref: gaps(ref.index, _line(ref)),
    "identify": lambda ref: _identified(ref, "back"),
    "identify a card": lambda ref: _identified(ref, "card"),
    "list": lambda ref: ref.index.derived(printing_order),
    "lost": lambda ref: [ref.decode(text) for text in ("zonk", "4O 2O46", "", "7K 2046/0?1")],
    "read": lambda ref: ref.read(f"{_words(ref)}, mint, on a 25B"),
    "refused back": lambda ref: _refused(ref, ref.back),
    "refused figure": lambda ref: _refused(ref, ref.figure),
    "vet": lambda ref: [
        ref.vet(figure=ref.faces[card.face].figure, back=card.back) for card in list(ref.cards.values())[:5]
    ],
    "vet words": lambda ref: ref.vet(_words(ref)),
}


def ask(ref: cardref.Reference, name: str) -> Any:
    """The answer to one of the questions."""
    return QUESTIONS[name](ref)
