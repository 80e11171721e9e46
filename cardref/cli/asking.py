"""``cardref identify --ask``: one look at a time at a terminal, always the one that is worth most now.

Questions go to standard error, so that the answer can be kept: ``cardref identify --ask > answer.txt``.
"""

import sys
from collections.abc import Iterator

from cardref.cli.identified import example, ranked
from cardref.errors import NotationError, UsageError
from cardref.identification.answer import Ending, percent
from cardref.identification.identify import Identification
from cardref.identification.sights import CardLook
from cardref.reference import Reference
from cardref.text import clip, count_of

__all__ = ["ask", "line_asked"]

_HELP = (
    "  Type what you see, a|b for one of two, - if it does not apply.  ? or Enter: could not see   b: go back"
    "\n  w: what remains   s: stop   NAME=READING: something else that you can see"
)

_MENU = 12


def _say(text: str = "") -> None:
    print(text, file=sys.stderr)


def _typed(prompt: str) -> str | None:
    """A line from the terminal without its end; None where there is no more."""
    sys.stderr.write(prompt)
    sys.stderr.flush()
    line = sys.stdin.readline()
    if not line:
        _say()
        return None
    return line.strip()


def line_asked(reference: Reference) -> str:
    """The line that somebody chooses from those there are; the only one without a question."""
    lines = list(reference.lines.values())
    if len(lines) < 2:
        return ""
    _say("Which line is it?")
    for number, line in enumerate(lines, 1):
        _say(f"  {number}  {clip(line.title, 60)}")
    while True:
        answer = _typed("> ")
        if answer is None:
            raise UsageError("no line was chosen: name it with --line")
        if answer.isdecimal() and 1 <= int(answer[:4]) <= len(lines):
            return lines[int(answer[:4]) - 1].id
        found = reference.index.find(answer, ("line",))
        if len(found) == 1:
            return found[0]
        _say(f"  Type a number from 1 to {len(lines)}, or the line's title.")


def ask(ident: Identification) -> Identification:
    """Ask until it is settled, nothing worth a look is left, or somebody stops."""
    _say(_HELP)
    path: list[Identification] = []  # where "go back" leads
    while ident.verdict is Ending.OPEN:
        look = ident.next_feature
        if look is None:
            break
        _say()
        for line in _question(ident, look, len(path) + 1):
            _say(line)
        step = _step(ident, look, path)
        if step is None:
            break
        ident = step
    _say()
    return ident


def _question(ident: Identification, look: CardLook, number: int) -> Iterator[str]:
    tool = "" if look.tool == "eye" else f", with {look.tool}"
    yield f"{number}. {look.title}{tool}   ({_remaining(ident)})"
    yield f"   Where: {look.where}"
    yield f"   {look.how}"
    for caution in look.cautions:
        yield f"   Take care: {caution}"
    if not look.states:
        yield f"   For example: {example(look).partition('=')[2]}"
        return
    menu = _menu(look)
    for at, state in menu.items():
        label = look.states.get(state, "")
        yield f"   {at:>2}  {clip(state, 40)}{f'  {label}' if label else ''}"
    if not menu:
        yield f"   One of: {', '.join(clip(state, 24) for state in look.states)}"


def _menu(look: CardLook) -> dict[int, str]:
    """Numbers to choose by; none where there are too many states, or a number may itself be read."""
    if len(look.states) > _MENU or any(state.isdecimal() for state in look.states):
        return {}
    return dict(enumerate(look.states, 1))


def _remaining(ident: Identification) -> str:
    end = ident.conclusion
    if not ident.looked:
        return f"{count_of(len(ident.candidates), ident.by.value)} to choose from"
    names = ", ".join(f"{one.name} {percent(one.posterior)}" for one in end.remaining[:2])
    return f"{end.count} left, first {names}" if end.count > 1 else f"nearly settled: {names}"


def _step(ident: Identification, look: CardLook, path: list[Identification]) -> Identification | None:
    """The identification after one answer; None to stop."""
    menu = _menu(look)
    while True:
        answer = _typed("> ")
        word = None if answer is None else answer.lower()
        if word in (None, "s", "stop", "q", "quit"):
            return None
        if word in ("b", "back"):
            if path:
                return path.pop()
            _say("  This is the first question.")
            continue
        if word in ("h", "help"):
            _say(_HELP)
            continue
        if word in ("w", "what"):
            for line in ranked(ident) if ident.looked else (f"  {_remaining(ident)}",):
                _say(line)
            continue
        try:
            after = _answered(ident, look, menu, answer or "?")
        except (UsageError, NotationError) as error:
            for line in str(error).splitlines():
                _say(f"  {line}")
            continue
        path.append(ident)
        return after


def _answered(ident: Identification, look: CardLook, menu: dict[int, str], answer: str) -> Identification:
    name, equals, reading = answer.partition("=")
    if equals:
        return _said(ident, name.strip(), reading.strip())
    if menu:
        chosen = [part.strip() for part in answer.split("|")]
        if all(part.isdecimal() and int(part[:4]) in menu for part in chosen):
            answer = "|".join(menu[int(part[:4])] for part in chosen)
    return _said(ident, look.feature, answer)


def _said(ident: Identification, name: str, reading: str) -> Identification:
    after = ident.observe(name, reading)
    for entry in after.entries.values():
        if entry.notes and ident.entries.get(entry.name) is not entry:
            _say(f"  read: {'; '.join(entry.notes[:4])}")
    return after
