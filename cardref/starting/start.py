r"""Start a dataset: the files for a line, its home maker, one series, and one example of everything.

What is there already is never overwritten. The result passes ``cardref check``, is in the canonical layout,
and its example code can be decoded. A *bare* one has no examples but in comments: for those who bring a list.

>>> import tempfile, pathlib
>>> folder = pathlib.Path(tempfile.mkdtemp()) / "lantern-trail"
>>> done = start(folder, Beginning(line="Lantern Trail", maker="Pell & Orrin Playthings", country="IE"))
>>> done.code, done.changes[0].path
('A001-01', 'dataset.yaml')
>>> print(done.changes[1].after.decode().splitlines()[3])
  - id: pell-and-orrin-playthings  # short, for ever: it is part of other ids and of file names
"""

import datetime as dt
import re
import unicodedata
from pathlib import Path

from attrs import frozen

from cardref.errors import DatasetError, UsageError
from cardref.model.dataset import MODEL_VERSION
from cardref.model.forms import FORMS, is_slug
from cardref.model.kinds import KINDS
from cardref.schema.generate import document_schema
from cardref.schema.pieces import rendered
from cardref.starting.templates import BARE, DATA, PAGES
from cardref.storage.atomic import Change
from cardref.storage.canonical import canonical
from cardref.storage.edit import Sheet
from cardref.storage.layout import spec_of
from cardref.storage.scalars import written
from cardref.storage.shape import shape_of
from cardref.text import quoted, visible

__all__ = ["LICENCES", "Beginning", "Started", "slug", "start"]

CODE = "A001-01"
"""The one package code of a new dataset."""

LICENCES = {
    "CC0-1.0": "No rights are kept: anybody may use the data for anything, named or not.",
    "CC-BY-4.0": "Anybody may use the data, and must say where it comes from.",
    "CC-BY-SA-4.0": "Anybody may use the data, must say where it comes from, and must share changes alike.",
    "ODbL-1.0": "A licence for databases: say where it comes from, and share changed databases alike.",
    "PDDL-1.0": "A licence for databases that keeps no rights.",
}
"""Licences that data is often given under, in a sentence each that is no legal advice."""


@frozen(kw_only=True)
class Beginning:
    """What is known of the line at first.

    Attributes:
        line: the line's title.
        maker: the home maker's name.
        country: the maker's country, ISO 3166; "" for not known.
        series: title of the first series; "" for the line's own title.
        years: when the series was sold, EDTF; "" for not known.
        language: language of the cards, BCP 47.
        licence: licence of the data, an SPDX identifier.
        line_id, maker_id: short ids; "" to make them from the titles.
        bare: without example records.
    """

    line: str
    maker: str
    country: str = ""
    series: str = ""
    years: str = ""
    language: str = "en"
    licence: str = "CC0-1.0"
    line_id: str = ""
    maker_id: str = ""
    bare: bool = False


@frozen
class Started:
    """What would be written, the example code in it (or ""), and what is there already and stays as it is."""

    changes: tuple[Change, ...]
    code: str
    kept: tuple[str, ...]


def slug(text: str) -> str:
    """A short id for a title; "" where its script gives none.

    >>> slug("Château d'Écume & Söhne"), slug("파도길")
    ('chateau-d-ecume-and-sohne', '')
    """
    plain = unicodedata.normalize("NFKD", text.replace("&", " and ")).encode("ascii", "ignore").decode()
    return "-".join(re.findall("[a-z0-9]+", plain.lower()))[:64].strip("-")


def start(folder: Path, beginning: Beginning, today: dt.date | None = None) -> Started:
    """Work out the files of a new dataset in ``folder``. Nothing is written.

    Errors: UsageError where something given is ill-written, with what it must be; DatasetError where the
    folder holds a dataset, or files in the places of one.
    """
    day = today or dt.date.today()  # noqa: DTZ011 - the day where the user is
    gaps = _gaps(beginning, day)
    if folder.exists() and not folder.is_dir():
        raise DatasetError(f"{quoted(str(folder))} is a file: name a directory")
    if (folder / "dataset.yaml").exists():
        raise DatasetError(f"{quoted(str(folder))} holds a dataset already: nothing was changed")
    data = {pattern.format(**gaps): text.format(**gaps) for pattern, text in DATA.items()}
    if beginning.bare:
        data = {path: _bared(path, text) for path, text in data.items()}
    taken = [path for path in data if (folder / path).exists()]
    if taken:
        raise DatasetError(f"{', '.join(map(quoted, taken))} is there already: nothing was changed")
    changes, kept = [], []
    for path, text in data.items():
        changes.append(Change(path, None, _laid_out(path, text).encode()))
    words = {key: visible(given) for key, given in _words(beginning, gaps).items()}
    pages = {path: text.format(**words) for path, text in (PAGES | (BARE if beginning.bare else {})).items()}
    pages |= {
        f".schemas/{document}.schema.json": rendered(document_schema(document))
        for document in _documents(data)
    }
    for path, text in pages.items():
        if (folder / path).exists():
            kept.append(path)
        else:
            changes.append(Change(path, None, text.encode()))
    return Started(tuple(changes), "" if beginning.bare else CODE, tuple(kept))


def _bared(path: str, text: str) -> str:
    """A file without its example; that of a code scheme stays as a comment, since nobody would guess it."""
    spec = spec_of(path)
    if spec is not None and spec.top == "line":
        head, _, scheme = text.partition("schemes:\n")
        lines = [line.removeprefix("  ").removeprefix("# ") for line in scheme.splitlines()]
        comments = "".join(f"# {line}\n" for line in lines)
        sheet = Sheet(f"{head}schemes: []\n{comments}", shape_of(spec))
        sheet.remove(("waves", 0, "debuts"), with_comments=True)
        return sheet.done()
    for plural in ("figures", "backs", "faces", "cards"):
        if spec is not None and plural in spec.lists:
            sheet = Sheet(text, shape_of(spec))
            sheet.remove((plural, 0), with_comments=True)
            return sheet.done()
    return text


def _documents(data: dict[str, str]) -> list[str]:
    return [spec.document for path in data if (spec := spec_of(path)) is not None]


def _laid_out(path: str, text: str) -> str:
    spec = spec_of(path)
    if spec is None:  # pragma: no cover - the templates are files of the layout
        raise ValueError(path)
    up = "../" * path.count("/")
    hint = f"# yaml-language-server: $schema={up}.schemas/{spec.document}.schema.json\n"
    return canonical(hint + text, shape_of(spec))


def _gaps(given: Beginning, day: dt.date) -> dict[str, str]:
    """What the gaps in data files are filled with: YAML scalars."""
    for name in ("line", "maker", "series"):
        text = getattr(given, name)
        if (not text.strip() and name != "series") or any(unicodedata.category(s) == "Cc" for s in text):
            raise UsageError(f"the {name} needs a name of one line, not {quoted(text)}")
    for name, form in (("country", "country"), ("language", "language"), ("years", "edtf")):
        text = getattr(given, name)
        if text and not FORMS[form].holds(text):
            raise UsageError(f"the {name} {quoted(text)} must be {FORMS[form].noun}")
    if not re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9.+-]{1,60}", given.licence):
        raise UsageError(f"the licence {quoted(given.licence)} must be an SPDX identifier such as CC0-1.0")
    line_id, maker_id = _id(given.line_id, given.line, "line"), _id(given.maker_id, given.maker, "maker")
    series = given.series.strip() or given.line.strip()
    return {
        "dataset_id": written(line_id),
        "dataset_title": written(f"Carded figures of {given.line.strip()}"),
        "version": written(f"{day.year}.{day.month:02d}"),
        "licence": written(given.licence),
        "model": str(MODEL_VERSION),
        "maker_id": written(maker_id, flow=True),
        "maker_path": maker_id,
        "maker": written(given.maker.strip()),
        "country_line": f"\n    country: {written(given.country)}" if given.country else "",
        "language": written(given.language, flow=True),
        "today": written(day.isoformat()),
        "next_year": str(day.year + 1),
        "line_id": written(line_id),
        "line_path": line_id,
        "line": written(given.line.strip()),
        "series_id": written(slug(series) or line_id),
        "series": written(series),
        "years_line": f"\n    years: {written(given.years)}" if given.years else "",
    }


def _id(said: str, title: str, what: str) -> str:
    made = said or slug(title)
    if not is_slug(made) or made in KINDS:
        why = f"its title gives none, and it must be {FORMS['slug'].noun}"
        if made:
            taken = "is the name of a kind of record" if made in KINDS else f"must be {FORMS['slug'].noun}"
            why = f"{quoted(made)} {taken}"
        raise UsageError(
            f"a short id for the {what} {quoted(title)} is needed: {why}. Give one with --{what}-id"
        )
    return made


def _words(given: Beginning, gaps: dict[str, str]) -> dict[str, str]:
    """What the gaps in pages for people are filled with: plain words."""
    return {
        "dataset_title": f"Carded figures of {given.line.strip()}",
        "line": given.line.strip(),
        "line_id": gaps["line_path"],
        "maker_id": gaps["maker_path"],
        "licence": given.licence,
        "licence_words": LICENCES.get(given.licence, "What it asks for stands in its text."),
        "code": CODE,
    }
