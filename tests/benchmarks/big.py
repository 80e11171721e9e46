"""A large dataset, made up and clean under every rule, for benchmarks and for tests of size.

    python -m tests.benchmarks.big FOLDER [RECORDS [FILES]]

Every line of it has seven makers, who debut the same figures in five waves, each on two backs that differ in
every feature. The rest of the records are cards. A record is about as long as those of the bundled dataset.
Equal arguments give equal files.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

__all__ = ["big_dataset", "write_big"]

_MAKERS = ("pell", "morvane", "thalweg", "ostrel", "quillane", "brackwater", "sundry")
_WAVES = 5
_FIRST = 1970
_LANGUAGES = ("en", "fr", "de", "nb", "pt", "pl", "nl")
_COUNTRIES = ("IE", "FR", "DE", "NO", "PT", "PL", "NL")
_HEADS = ("Amber", "Brine", "Cinder", "Dusk", "Ember", "Fennel", "Gorse", "Hollow", "Iron", "Juniper")
_TAILS = ("Warden", "Piper", "Smith", "Keeper", "Porter", "Weaver", "Ringer", "Pilot", "Cook", "Mason")
_SOURCES = 20


def big_dataset(records: int = 10_000, files: int = 200) -> Iterator[tuple[str, str]]:
    """Path and text of every file; about as many records and files as asked for."""
    lines = max(1, round((files - 6) / (2 + 3 * len(_MAKERS))))
    of_line = max(100, (records - 60) // lines)
    per_wave = max(1, min(20, of_line // 160))  # figures that debut together
    fixed = 3 + _WAVES * (len(_MAKERS) + per_wave) + len(_MAKERS) * _WAVES * (2 + per_wave)
    cards = max(1, (of_line - fixed) // len(_MAKERS))
    yield "dataset.yaml", _dataset()
    yield "makers.yaml", _makers()
    yield "sources.yaml", _sources()
    yield "features.yaml", _features()
    yield "glossary.yaml", "terms:\n  - {id: back, word: back, what: The printed reverse of a card.}\n"
    yield "retired.yaml", "retired: []\n"
    for number in range(lines):
        name = f"line-{_letters(number)}"
        folder = f"lines/{name}"
        yield f"{folder}/line.yaml", _line(name, number, per_wave)
        yield f"{folder}/figures.yaml", _figures(name, per_wave)
        for at, maker in enumerate(_MAKERS):
            yield f"{folder}/backs/{maker}.yaml", _backs(name, maker, at, per_wave)
            yield f"{folder}/faces/{maker}.yaml", _faces(name, maker, at, per_wave, number)
            yield f"{folder}/cards/{maker}.yaml", _cards(name, maker, per_wave, cards)


def write_big(folder: Path, records: int = 10_000, files: int = 200) -> Path:
    """Write the dataset into ``folder``."""
    for path, text in big_dataset(records, files):
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(text, encoding="utf-8")
    return folder


def _letters(number: int) -> str:
    letters = ""
    while True:
        letters = "abcdefghjkmnpqrt"[number % 16] + letters
        number //= 16
        if not number:
            return letters


def _dataset() -> str:
    return """\
id: big
title: A large dataset, made up
version: "2026.11"
licence: CC0-1.0
model: 1
invented: true
"""


def _makers() -> str:
    rows = ["makers:"]
    for maker, language, country in zip(_MAKERS, _LANGUAGES, _COUNTRIES, strict=True):
        rows += [
            f"  - id: {maker}",
            f"    name: {maker.capitalize()} Playthings",
            f"    country: {country!r}".replace("'", '"'),
            f"    languages: [{language!r}]".replace("'", '"'),
            f"    active: {_FIRST}/{_FIRST + _WAVES}",
        ]
    return "\n".join(rows) + "\n"


def _sources() -> str:
    rows = ["sources:"]
    for number in range(_SOURCES):
        rows += [
            f"  - id: binder-{_letters(number)}",
            "    kind: specimen",
            f"    citation: Binder {_letters(number)} of carded figures, seen in {2000 + number} (invented)",
            f'    date: "{2000 + number}"',
        ]
    return "\n".join(rows) + "\n"


def _source(number: int) -> str:
    return f"binder-{_letters(number % _SOURCES)}"


_BACK = (
    *(
        ("choice", name)
        for name in ("maker-line", "rule-style", "header-colour", "frames", "name-style", "beam")
    ),
    *(("presence", name) for name in ("flash", "patent-line", "serial-line", "token", "printer-mark")),
    *(("count", name) for name in ("waves-drawn", "stitches", "gulls", "address-lines")),
    *(("length", name) for name in ("rope-length", "border-width", "row-gap", "title-height")),
)
_FACE = (
    ("choice", "name-panel"),
    ("choice", "title-colour"),
    ("presence", "flange-marks"),
    ("count", "stars"),
)
_CARD = (("choice", "hang-tab"), ("choice", "bubble-shape"), ("count", "belt-holes"))
_STATES = {
    "choice": ("first", "second"),
    "presence": ("absent", "present"),
    "count": ("3", "7"),
    "length": ('"4-5 mm"', '"14-15 mm"'),
}
_MORE = {
    "choice": ("    states: [first, second]",),
    "presence": (),
    "count": ("    least: 1", "    most: 9"),
    "length": ("    tool: ruler", "    effort: 3"),
}


def _features() -> str:
    rows = ["features:"]
    for side, features in (("back", _BACK), ("front", _FACE), ("board", _CARD)):
        for kind, name in features:
            rows += [
                f"  - id: {name}",
                f"    title: The {name.replace('-', ' ')}",
                f"    where: {side}, at the foot",
                f"    how: Look at the {name.replace('-', ' ')} and compare.",
                f"    kind: {kind}",
                f"    side: {side}",
                *_MORE[kind],
            ]
    return "\n".join(rows) + "\n"


def _seen(features: tuple[tuple[str, str], ...], second: bool) -> list[str]:
    """The states of one record: all first or all second, so that siblings differ in every one."""
    return ["    features:", *(f"      {name}: {_STATES[kind][second]}" for kind, name in features)]


def _slug(number: int) -> str:
    return _name(number).lower().replace(" ", "-")


def _name(number: int) -> str:
    head, tail = _HEADS[number % 10], _TAILS[number // 10 % 10]
    return f"{head} {tail}" if number < 100 else f"{head} {tail} {_letters(number // 100).capitalize()}"


def _line(name: str, number: int, per_wave: int) -> str:
    rows = [
        f"id: {name}",
        f"title: Line {name.removeprefix('line-').capitalize()}",
        f"home: {_MAKERS[0]}",
        f"makers: [{', '.join(_MAKERS)}]",
        "sources: [binder-a]",
        "series:",
        f"  - id: {name}",
        f"    title: Line {name.removeprefix('line-').capitalize()}",
        f"    years: {_FIRST}/{_FIRST + _WAVES}",
        "    sources: [binder-a]",
        "waves:",
    ]
    for maker in _MAKERS:
        for wave in range(_WAVES):
            figures = ", ".join(_slug(wave * per_wave + at) for at in range(per_wave))
            rows += [
                f"  - id: {maker}-{wave + 1}",
                f"    maker: {maker}",
                f"    series: {name}",
                f"    date: {_FIRST + wave}-03",
                f"    debuts: [{figures}]",
                "    standing: reported",
                f"    sources: [{_source(number + wave)}]",
            ]
    rows += [
        "schemes:",
        "  - id: plain",
        f"    makers: [{', '.join(_MAKERS)}]",
        "    where: front, lower right",
        "    segments:",
        "      - name: series",
        "        width: 3",
        "        meaning: series",
        f'        table: {{"{100 + number}": {name}}}',
        "      - name: figure",
        "        width: 4",
        "        meaning: figure",
        '        before: "-"',
        "        table:",
        *(f'          "{1000 + figure}": {_slug(figure)}' for figure in range(_WAVES * per_wave)),
        "    standing: reported",
        "    sources: [binder-b]",
    ]
    return "\n".join(rows) + "\n"


def _figures(name: str, per_wave: int) -> str:
    rows = [f"line: {name}", "figures:"]
    for number in range(_WAVES * per_wave):
        rows += [
            f"  - id: {_slug(number)}",
            "    names:",
            *(f'      - {{text: {_name(number)}, language: "{language}"}}' for language in _LANGUAGES),
            f"    sources: [{_source(number)}]",
        ]
    return "\n".join(rows) + "\n"


def _backs(name: str, maker: str, at: int, per_wave: int) -> str:
    rows = [f"line: {name}", f"maker: {maker}", "backs:"]
    for number in range(2 * _WAVES):
        wave, second = divmod(number, 2)
        pictures = f"based_on: b-{number:03}"
        if not second:
            figures = ", ".join(_slug(wave * per_wave + one) for one in range(per_wave))
            pictures = f"{pictures + ', ' if wave else ''}plus: [{figures}]"
        rows += [
            f"  - id: b-{number + 1:03}",
            f"    designation: {(wave + 1) * per_wave}{'AB'[second]}",
            f"    series: {name}",
            f"    wave: {maker}-{wave + 1}",
            f"    count: {(wave + 1) * per_wave}",
            "    claimed: same",
            f"    pictures: {{{pictures}}}",
            f'    languages: ["{_LANGUAGES[at]}"]',
            f"    released: {_FIRST + wave}-{'09' if second else '03'}",
            *([f"    after: b-{number:03}"] if number else []),
            *_seen(_BACK, bool(second)),
            "    standing: confirmed",
            f"    sources: [{_source(number)}, {_source(number + 1)}]",
        ]
    return "\n".join(rows) + "\n"


def _faces(name: str, maker: str, at: int, per_wave: int, number: int) -> str:
    rows = [f"line: {name}", f"maker: {maker}", "faces:"]
    for figure in range(_WAVES * per_wave):
        rows += [
            f"  - id: f-{figure + 1:03}",
            f"    figure: {_slug(figure)}",
            f"    series: {name}",
            f'    languages: ["{_LANGUAGES[at]}"]',
            f"    name: {_name(figure)}",
            f'    number: "{(at + 1) * 10_000 + figure}"',
            f'    codes: ["{100 + number}-{1000 + figure}"]',
            *_seen(_FACE, figure % 2 == 1),
            "    standing: confirmed",
            f"    sources: [{_source(figure)}]",
        ]
    return "\n".join(rows) + "\n"


def _cards(name: str, maker: str, per_wave: int, most: int) -> str:
    rows = [f"line: {name}", f"maker: {maker}", "cards:"]
    # Every face has a card before any has a second one.
    pairs = sorted(
        (back // 2 - figure // per_wave, figure, back)
        for figure in range(_WAVES * per_wave)
        for back in range(2 * _WAVES)
        if back // 2 >= figure // per_wave
    )
    for number, (_, figure, back) in enumerate(pairs[:most], 1):
        rows += [
            f"  - id: c-{number:04}",
            f"    face: f-{figure + 1:03}",
            f"    back: b-{back + 1:03}",
            *_seen(_CARD, number % 2 == 1),
        ]
        if number % 3 == 0:
            rows += ["    sightings:", f"      - source: {_source(number)}", "        count: 2"]
        rows += ["    standing: confirmed", f"    sources: [{_source(number)}, {_source(number + 3)}]"]
    return "\n".join(rows) + "\n"


if __name__ == "__main__":
    write_big(Path(sys.argv[1]), *map(int, sys.argv[2:]))
