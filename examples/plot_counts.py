"""Plot back counts over time, one panel a maker, as an SVG that stands alone.

    python examples/plot_counts.py counts.svg      without a name: into the directory for temporary files

Each bar is one back: as long as the time in which it can have reached the shops, as high as its back count;
where several overlap it is darker. A dot is a date that is known to the month, a pale bar one that is
uncertain. Backs without a date are counted beside the maker's name. The data is invented demo data.
"""

import sys
import tempfile
from html import escape
from pathlib import Path

import cardref
from cardref.model.back import Back

WIDE, HIGH, COLUMNS = 300, 190, 3
"""Size of a panel in pixels, and how many stand side by side."""
LEFT, TOP, RIGHT, BOTTOM = 34, 34, 14, 40
"""Room inside a panel for its title and axes."""
HEAD, FOOT = 64, 34

ABOUT = (
    "One panel a maker: a bar for each back, as long as the time in which it can have reached the shops, as "
    "high as the number of figures that it pictures."
)
KEY = "up: figures pictured; a bar: a back; darker: several; a dot: known to the month; pale: uncertain"
STYLE = """\
text { font: 11px system-ui, sans-serif; fill: #333 }
.title { font-size: 18px; font-weight: 600; fill: #111 }
.maker { font-size: 12.5px; font-weight: 600; fill: #111 }
.quiet { fill: #666 }
.grid { stroke: #e2e2e2; stroke-width: 1 }
.axis { stroke: #999; stroke-width: 1 }
.back { stroke: #1f5f8b; stroke-width: 4; stroke-opacity: 0.4 }
.unsure { stroke-opacity: 0.18 }
.dot { fill: #1f5f8b; stroke: #fff; stroke-width: 0.8 }
"""

Dated = tuple[float, float, int, bool]
"""First and last moment in years, back count, and whether the date is uncertain."""


def dated(backs: list[Back]) -> list[Dated]:
    """The backs that have a date with both ends."""
    found = []
    for back in backs:
        date = back.released
        if date is not None and date.earliest is not None and date.latest is not None:
            first = date.earliest.year + (date.earliest.month - 1) / 12
            last = date.latest.year + date.latest.month / 12
            found.append((first, last, back.count, date.uncertain or date.approximate))
    return found


def panel(name: str, backs: list[Back], years: range, most: int) -> list[str]:
    """One maker's panel, drawn from its upper left corner."""
    inner_wide, inner_high = WIDE - LEFT - RIGHT, HIGH - TOP - BOTTOM

    def x(moment: float) -> float:
        return round(LEFT + (moment - years.start) / len(years) * inner_wide, 1)

    def y(count: int) -> float:
        return round(TOP + (1 - count / most) * inner_high, 1)

    drawn = [f'<text class="maker" x="{LEFT}" y="20">{escape(name)}</text>']
    for count in range(0, most + 1, 20):
        drawn.append(f'<line class="grid" x1="{LEFT}" x2="{WIDE - RIGHT}" y1="{y(count)}" y2="{y(count)}"/>')
        drawn.append(
            f'<text class="quiet" x="{LEFT - 6}" y="{y(count) + 4}" text-anchor="end">{count}</text>'
        )
    for year in (year for year in years if year % 5 == 0):
        drawn.append(f'<line class="axis" x1="{x(year)}" x2="{x(year)}" y1="{y(0)}" y2="{y(0) + 4}"/>')
        drawn.append(f'<text class="quiet" x="{x(year)}" y="{y(0) + 17}" text-anchor="middle">{year}</text>')
    known = dated(backs)
    for first, last, count, unsure in sorted(known, key=lambda one: (not one[3], one)):
        if last - first < 0.1:
            drawn.append(f'<circle class="dot" cx="{x((first + last) / 2)}" cy="{y(count)}" r="2.4"/>')
        else:
            kind = "back unsure" if unsure else "back"
            drawn.append(
                f'<line class="{kind}" x1="{x(first)}" x2="{x(last)}" y1="{y(count)}" y2="{y(count)}"/>'
            )
    undated = len(backs) - len(known)
    if undated:
        drawn.append(
            f'<text class="quiet" x="{WIDE - RIGHT}" y="20" text-anchor="end">{undated} undated</text>'
        )
    return drawn


def plot(reference: cardref.Reference) -> str:
    """The whole picture; the same reference gives the same text."""
    by_maker: dict[str, list[Back]] = {}
    for back in reference.backs.values():
        by_maker.setdefault(back.maker, []).append(back)
    moments = [moment for backs in by_maker.values() for one in dated(backs) for moment in one[:2]]
    years = range(int(min(moments)) - 1, int(max(moments)) + 2)
    most = max(back.count for back in reference.backs.values()) + 5
    rows = -(-len(by_maker) // COLUMNS)
    wide, high = COLUMNS * WIDE + 20, HEAD + rows * HIGH + FOOT
    size = f'width="{wide}" height="{high}" viewBox="0 0 {wide} {high}"'
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" {size}>',
        "<title>Back counts over time</title>",
        f"<desc>{ABOUT}</desc>",
        f"<style>{STYLE}</style>",
        f'<rect width="{wide}" height="{high}" fill="#fff"/>',
        f'<text class="title" x="{LEFT}" y="30">Back counts over time</text>',
        f'<text class="quiet" x="{LEFT}" y="50">{KEY}</text>',
    ]
    for number, (maker, backs) in enumerate(by_maker.items()):
        record = reference.makers[f"maker/{maker}"]
        across, down = 10 + number % COLUMNS * WIDE, HEAD + number // COLUMNS * HIGH
        parts.append(f'<g transform="translate({across} {down})">')
        parts += panel(record.latin or record.name, backs, years, most)
        parts.append("</g>")
    invented = "Invented demo data. " if reference.dataset and reference.dataset.invented else ""
    footer = f"{invented}Reference {reference.version}, {reference.fingerprint}"
    parts.append(f'<text class="quiet" x="{LEFT}" y="{high - 12}">{escape(footer)}</text>')
    return "\n".join([*parts, "</svg>", ""])


def main() -> int:
    """Write the picture and say where it is."""
    default = Path(tempfile.gettempdir()) / "cardref-counts.svg"
    target = Path(sys.argv[1]) if len(sys.argv) > 1 else default
    target.write_text(plot(cardref.load()), encoding="utf-8")
    print(f"written: {target}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
