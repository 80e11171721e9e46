"""Panels of a matrix as one SVG picture that needs nothing beside it and is legible in black and white.

SVG 1.1 (W3C, 2011) with a title and a description for those who do not see it; every mark has its own. What
tells marks apart is their shape, never a colour. Every text is escaped.

>>> from cardref.specimens.matrix import Mark, Panel
>>> from cardref.index import Index
>>> from cardref.model.kinds import KINDS
>>> marks = {("l/figure/a", "l/m/b-1"): Mark(owned=1)}
>>> panel = Panel("l", "maker/m", ("l/figure/a",), ("l/m/b-1",), marks, {})
>>> text = picture(Index({kind: {} for kind in KINDS}), [panel])
>>> text.startswith("<svg xmlns="), "<title>a on b-1: owned, on no record</title>" in text
(True, True)
"""

from collections.abc import Iterator, Sequence
from typing import Final
from xml.sax.saxutils import escape

from cardref.facts.called import figure_name, maker_name
from cardref.index import Index
from cardref.model.kinds import short_id
from cardref.specimens.matrix import NOTHING, Mark, Panel
from cardref.text import clip, columns, count_of

__all__ = ["picture"]

CELL: Final = 18
"""How wide and high a cell is, in pixels."""

_SIGN: Final = 7.2
"""About how wide a letter of 12 pixels is; more than most are."""

_HEAD: Final = 52
_MARGIN: Final = 16
_REPEAT: Final = 24
"""With more rows than this the heads of columns stand below as well."""

_STYLE: Final = (
    "text{font-family:sans-serif;font-size:12px;fill:#000}.big{font-size:16px;font-weight:bold}"
    ".note{font-size:11px}.n{fill:#fff;font-size:11px;font-weight:bold;text-anchor:middle}"
    ".r{text-anchor:end}.grid{stroke:#bbb;stroke-width:1}.rule{stroke:#000;stroke-width:1}"
    ".own{fill:#000}.rec{fill:none;stroke:#000;stroke-width:1.2}"
    ".want{fill:#fff;stroke:#000;stroke-width:2}"
)
_HATCH: Final = (
    '<pattern id="no" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<path d="M0 6L6 0" stroke="#999" stroke-width="1"/></pattern>'
)
_LEGEND: Final = (
    (Mark(owned=1, recorded=True), "owned"),
    (Mark(owned=2, recorded=True), "owned, how many"),
    (Mark(owned=1), "owned, on no record"),
    (Mark(wanted=True, recorded=True), "wanted"),
    (Mark(owned=1, wanted=True, recorded=True), "owned and wanted"),
    (Mark(recorded=True), "recorded, not owned"),
    (NOTHING, "could be, not recorded"),
    (Mark(impossible=True), "not possible by what is recorded"),
)


def picture(index: Index, panels: Sequence[Panel]) -> str:
    """The panels below each other, with a legend above, as the text of an SVG file."""
    width = max([460.0, *(_width(index, panel) for panel in panels)])
    body: list[str] = []
    y = float(_MARGIN)
    y = _legend(body, y, width)
    for panel in panels:
        y = _panel(body, index, panel, y)
    title = "Figures and backs: owned, wanted, recorded"
    told = " ".join(_summary(index, panel) for panel in panels)
    size = f'width="{width:g}" height="{y:g}" viewBox="0 0 {width:g} {y:g}"'
    lead = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} role="img" aria-labelledby="title desc">',
        f'<title id="title">{escape(title)}</title>',
        f'<desc id="desc">{escape(told)}</desc>',
        f"<defs>{_HATCH}</defs><style>{_STYLE}</style>",
        f'<rect width="{width:g}" height="{y:g}" fill="#fff"/>',
    ]
    return "\n".join([*lead, *body, "</svg>", ""])


def _left(index: Index, panel: Panel) -> float:
    """How much room the names of the rows need."""
    longest = max((columns(figure_name(index, figure)) for figure in panel.figures), default=0)
    return _MARGIN + longest * _SIGN + 8


def _width(index: Index, panel: Panel) -> float:
    return _left(index, panel) + (len(panel.backs) + bool(panel.loose)) * CELL + _MARGIN


def _heading(index: Index, panel: Panel) -> str:
    line = index.lines.get(panel.line)
    return f"{clip(line.title if line is not None else panel.line, 60)}, {maker_name(index, panel.maker)}"


def _summary(index: Index, panel: Panel) -> str:
    marks = panel.marks.values()
    owned = sum(mark.owned > 0 and mark.recorded for mark in marks)
    news = sum(mark.owned > 0 and not mark.recorded for mark in marks)
    recorded = sum(mark.recorded for mark in marks)
    wanted = sum(mark.wanted for mark in marks)
    more = f"; {news} more owned, on no record" if news else ""
    return (
        f"{_heading(index, panel)}: {count_of(len(panel.figures), 'figure')} on "
        f"{count_of(len(panel.backs), 'back')}; of {recorded} recorded figures on backs {owned} owned, "
        f"{wanted} wanted{more}."
    )


def _legend(body: list[str], top: float, width: float) -> float:
    body.append(f'<text class="big" x="{_MARGIN}" y="{top + 14:g}">Owned, wanted, recorded</text>')
    x, y = float(_MARGIN), top + 26
    for mark, words in _LEGEND:
        room = CELL + 6 + columns(words) * _SIGN + 14
        if x + room > width - _MARGIN and x > _MARGIN:
            x, y = float(_MARGIN), y + CELL + 6
        body.append(f'<rect class="grid" x="{x:g}" y="{y:g}" width="{CELL}" height="{CELL}" fill="none"/>')
        body += _drawn(mark, x, y, "")
        body.append(f'<text x="{x + CELL + 6:g}" y="{y + 13:g}">{escape(words)}</text>')
        x += room
    return y + CELL + 18


def _panel(body: list[str], index: Index, panel: Panel, top: float) -> float:
    left = _left(index, panel)
    heading = escape(_heading(index, panel))
    body.append(f'<text class="big" x="{_MARGIN}" y="{top + 14:g}">{heading}</text>')
    told = _summary(index, panel).partition("; ")[2]
    body.append(f'<text class="note" x="{_MARGIN}" y="{top + 30:g}">{escape(told)}</text>')
    first = top + 36 + _HEAD
    body += _heads(index, panel, left, first - 4)
    across = left + (len(panel.backs) + bool(panel.loose)) * CELL
    below = first + len(panel.figures) * CELL
    for at in range(len(panel.figures) + 1):
        y = first + at * CELL
        kind = "rule" if at % 5 == 0 else "grid"
        body.append(f'<line class="{kind}" x1="{_MARGIN}" x2="{across:g}" y1="{y:g}" y2="{y:g}"/>')
    for at in range(len(panel.backs) + 1 + bool(panel.loose)):
        x = left + at * CELL
        kind = "rule" if at == 0 or _turns(index, panel, at) else "grid"
        body.append(f'<line class="{kind}" x1="{x:g}" x2="{x:g}" y1="{first:g}" y2="{below:g}"/>')
    for row, figure in enumerate(panel.figures):
        body += _row(index, panel, figure, left, first + row * CELL)
    if len(panel.figures) > _REPEAT:
        body += _heads(index, panel, left, below + 6, below=True)
        below += _HEAD
    return below + 28


def _turns(index: Index, panel: Panel, at: int) -> bool:
    """Whether a new back count begins with the column ``at``."""
    if at >= len(panel.backs):
        return True
    one, other = (index.backs.get(panel.backs[number]) for number in (at - 1, at))
    return one is not None and other is not None and one.count != other.count


def _heads(index: Index, panel: Panel, left: float, y: float, *, below: bool = False) -> Iterator[str]:
    names = [_back(index, back) for back in panel.backs] + ["back ?"] * bool(panel.loose)
    for at, name in enumerate(names):
        x = left + at * CELL + 13
        kind = ' class="r"' if below else ""
        yield f'<text{kind} transform="translate({x:g} {y:g}) rotate(-90)">{escape(name)}</text>'


def _back(index: Index, full: str) -> str:
    back = index.backs.get(full)
    return str(back.designation) if back is not None else clip(short_id(full), 8)


def _row(index: Index, panel: Panel, figure: str, left: float, y: float) -> Iterator[str]:
    name = figure_name(index, figure)
    yield f'<text class="r" x="{left - 6:g}" y="{y + 13:g}">{escape(name)}</text>'
    for at, back in enumerate(panel.backs):
        mark = panel.marks.get((figure, back))
        if mark is not None:
            yield from _drawn(mark, left + at * CELL, y, f"{name} on {_back(index, back)}")
    number = panel.loose.get(figure, 0)
    if number:
        mark = Mark(owned=number, recorded=True)
        yield from _drawn(mark, left + len(panel.backs) * CELL, y, f"{name}, back not known")


def _words(mark: Mark) -> str:
    if mark.impossible and not mark.owned:
        return ""
    said = []
    if mark.owned:
        said.append("owned" if mark.owned == 1 else f"{mark.owned} owned")
    if mark.wanted:
        said.append("wanted")
    said.append("recorded" if mark.recorded else "on no record")
    return ", ".join(said)


def _drawn(mark: Mark, x: float, y: float, what: str) -> Iterator[str]:
    """A mark in the cell whose corner is at x and y, with its words where ``what`` says whose it is."""
    shapes = []
    if mark.impossible:
        shapes.append(f'<rect x="{x:g}" y="{y:g}" width="{CELL}" height="{CELL}" fill="url(#no)"/>')
    middle_x, middle_y = x + CELL / 2, y + CELL / 2
    diamond = "M{0:g} {1:g}l{2:g} {2:g}l-{2:g} {2:g}l-{2:g} -{2:g}z"
    if mark.owned and not mark.recorded:
        triangle = f"M{middle_x:g} {y + 2:g}L{x + CELL - 2:g} {y + CELL - 3:g}H{x + 2:g}z"
        shapes.append(f'<path class="own" d="{triangle}"/>')
    elif mark.owned:
        side = CELL - 4
        shapes.append(f'<rect class="own" x="{x + 2:g}" y="{y + 2:g}" width="{side}" height="{side}"/>')
    elif mark.wanted:
        shapes.append(f'<path class="want" d="{diamond.format(middle_x, y + 3, 6)}"/>')
    elif mark.recorded:
        shapes.append(f'<circle class="rec" cx="{middle_x:g}" cy="{middle_y:g}" r="3"/>')
    if mark.owned > 1:
        number = str(mark.owned) if mark.owned < 100 else "99+"
        shapes.append(f'<text class="n" x="{middle_x:g}" y="{y + 13:g}">{number}</text>')
    elif mark.owned and mark.wanted:
        shapes.append(f'<path fill="#fff" d="{diamond.format(middle_x, y + 4, 5)}"/>')
    words = _words(mark) if what else ""
    if words:
        yield f"<g><title>{escape(f'{what}: {words}')}</title>{''.join(shapes)}</g>"
    elif shapes:
        yield "".join(shapes)
