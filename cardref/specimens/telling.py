"""Holdings as text for a phone, as JSON for scripts, and as rows for a spreadsheet.

>>> from cardref.reference import load
>>> from cardref.specimens.collection import Collection, Held
>>> from cardref.specimens.holdings import holdings
>>> from cardref.specimens.meaning import placed
>>> index = load().index
>>> one = Specimen(id="1", card="tidewrack/quay-marl/c-0213")
>>> found = holdings(index, Collection((Held(one, placed(index, one)),)))
>>> next(as_text(index, found)), as_json(found)["specimens"]["owned"]
('1 specimen: 1 owned', 1)
>>> on_back(index, "tidewrack/figure/lamp-diver", "tidewrack/quay-marl/b-017")
'Lamp Diver on quay-marl 25B'
"""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any, Final

from cardref.facts.called import figure_name, listed
from cardref.index import Index
from cardref.model.kinds import short_id
from cardref.model.specimen import Sale, Specimen, Status
from cardref.notation.money import shown
from cardref.schema.pieces import COUNT, TEXT, TEXTS, answer_schema, exactly, list_of, one_of
from cardref.specimens.holdings import GROUPS, Double, Earliest, Group, Holdings, SalesOf
from cardref.specimens.wanting import Wanted
from cardref.text import clip, columns, count_of, wrapped

__all__ = ["as_json", "as_text", "on_back", "rows_of", "schema", "table"]

_MOST: Final = 12
"""So many of a list are shown in text; JSON has all."""


def on_back(index: Index, figure: str, back: str) -> str:
    """A figure on a back, as people say it; safe to print."""
    record = index.backs.get(back)
    name = figure_name(index, figure) if figure else "a figure"
    return f"{name} on {record.label}" if record is not None else name


def table(rows: Sequence[Sequence[str]]) -> Iterator[str]:
    """Rows as lines, columns aligned by what they take on a terminal; the first column is cut last."""
    widths = [max(columns(row[at]) for row in rows) for at in range(len(rows[0]))]
    for row in rows:
        cells = (cell + " " * (width - columns(cell)) for cell, width in zip(row, widths, strict=True))
        yield "  ".join(cells).rstrip()


# --- text ------------------------------------------------------------------------------------------------


def as_text(index: Index, found: Holdings, by: str = "") -> Iterator[str]:
    """Holdings as lines: in short, or ``by`` one kind of group with all its rows."""
    yield from _head(found)
    if by:
        yield ""
        yield from _by_figure(index, found) if by == "figure" else _by(index, found, (by,))
        return
    if found.rows["line"]:
        yield ""
        yield from _by(index, found, ("line", "series", "maker"))
        for group in found.rows["line"]:
            if group.missing:
                names = listed((figure_name(index, figure) for figure in group.missing), _MOST)
                yield from wrapped(f"missing of {group.name}: {names}", "  ")
    yield from _doubles(index, found.doubles)
    yield from _wants(index, found.wants)
    yield from _money(found)
    yield from _condition(found)
    yield from _sales(index, found.sales)
    yield ""
    yield "more: --by figure (with your earliest back of each), --by wave, --card ID, --svg FILE"


def _head(found: Holdings) -> Iterator[str]:
    told = ", ".join(f"{found.count[status]} {status.value}" for status in Status if found.count[status])
    yield f"{count_of(sum(found.count.values()), 'specimen')}{': ' if told else ''}{told}"
    if found.left_out:
        yield f"{count_of(found.left_out, 'record')} cannot be read and are left out; see `cardref check`"
    if found.unplaced:
        yield f"{len(found.unplaced)} of which no figure is known: {_ids(found.unplaced)}"
    if found.unrecorded:
        yield (
            f"{len(found.unrecorded)} on no record, news for the dataset (`cardref own propose`): "
            f"{_ids(found.unrecorded)}"
        )


def _ids(ids: Iterable[str]) -> str:
    return listed((clip(one, 40) for one in ids), 6)


_GROUP_HEAD: Final = ("figures", "figures on backs", "specimens", "double")


def _by(index: Index, found: Holdings, kinds: Sequence[str]) -> Iterator[str]:
    rows: list[Sequence[str]] = []
    for kind in kinds:
        if found.rows[kind]:
            rows.append((kind, *_GROUP_HEAD))
            rows += [_row(group) for group in found.rows[kind]]
    if rows:
        yield from table(rows)
    if len(kinds) == 1:
        for group in found.rows[kinds[0]]:
            if group.missing:
                names = listed((figure_name(index, figure) for figure in group.missing), _MOST)
                yield from wrapped(f"missing of {group.name}: {names}", "  ")


def _row(group: Group) -> tuple[str, ...]:
    double = str(group.double) if group.double else ""
    return f"  {clip(group.name, 40)}", str(group.figures), str(group.pairs), str(group.specimens), double


def _by_figure(index: Index, found: Holdings) -> Iterator[str]:
    first: dict[str, list[Earliest]] = {}
    for one in found.earliest:
        first.setdefault(one.figure, []).append(one)
    rows: list[Sequence[str]] = [("figure", "on backs", "specimens", "my earliest, and how many came before")]
    for group in found.rows["figure"]:
        told = "; ".join(_first(index, one) for one in first.get(group.id, ()))
        rows.append((clip(group.name, 30), str(group.pairs), str(group.specimens), told))
    if len(rows) > 1:
        yield from table(rows)


def _first(index: Index, one: Earliest) -> str:
    told = f"{index.backs[one.back].label}, "
    if not one.earlier and not one.perhaps:
        return told + "none before it on record"
    if not one.earlier:
        return told + f"perhaps {len(one.perhaps)} before"
    told += f"{len(one.earlier)} before"
    return told + (f", perhaps {len(one.perhaps)} more" if one.perhaps else "")


def _doubles(index: Index, doubles: Sequence[Double]) -> Iterator[str]:
    if not doubles:
        return
    yield ""
    yield f"double: {count_of(sum(double.spare for double in doubles), 'specimen')} to spare"
    for double in doubles[:_MOST]:
        yield f"  {on_back(index, double.figure, double.back)}: {_ids(one.id for one in double.specimens)}"
    if len(doubles) > _MOST:
        yield f"  and {len(doubles) - _MOST} more"


def _wants(index: Index, wants: Sequence[Wanted]) -> Iterator[str]:
    if not wants:
        return
    yield ""
    yield f"wanted: {len(wants)}"
    for one in wants[:_MOST]:
        yield f"  {clip(one.want.record.id, 40)}: {wanted(index, one)}"
    if len(wants) > _MOST:
        yield f"  and {len(wants) - _MOST} more"


def wanted(index: Index, one: Wanted) -> str:
    """A want in words, and what meets it already."""
    where, record = one.want.where, one.want.record
    if where.figure or not where.back:
        told = on_back(index, where.figure, where.back) if where.figure else "what is not recorded"
    else:
        told = f"any card on {on_back(index, '', where.back).removeprefix('a figure on ')}"
    if not where.back and record.maker:
        told += f" by {clip(short_id(record.maker), 40)}"
    if one.met:
        return f"{told}; you have it: {_ids(one.met)}"
    return f"{told}; perhaps you have it: {_ids(one.perhaps)}" if one.perhaps else told


def _money(found: Holdings) -> Iterator[str]:
    if not found.priced:
        return
    yield ""
    sums = ", ".join(f"{_amount(amount)} {code}" for code, amount in found.spent.items())
    rest = f", {found.unpriced} without a price" if found.unpriced else ""
    yield f"spent, by currency: {sums} (for {found.priced}{rest})"


def _amount(amount: Decimal) -> str:
    return shown(amount)


def _condition(found: Holdings) -> Iterator[str]:
    if not found.condition:
        return
    yield ""
    yield "condition, part by part"
    for part in found.condition:
        told = ", ".join(f"{number} {clip(state, 40)}" for state, number in part.states.items())
        rest = f"; {part.untold} not told" if part.untold else ""
        yield f"  {part.title}: {told}{rest}"


def _sales(index: Index, groups: Sequence[SalesOf]) -> Iterator[str]:
    if not groups:
        return
    yield ""
    yield "sales seen, each as it was; no value follows from them"
    for group in groups[:_MOST]:
        first, last = group.sales[0].date, group.sales[-1].date
        when = str(first) if first == last else f"{first} to {last}"
        yield f"  {on_back(index, group.figure, group.back)}: {count_of(len(group.sales), 'sale')}, {when}"
        for sale in group.sales[:_MOST]:
            yield f"    {sale_told(sale)}"
        if len(group.sales) > _MOST:
            yield f"    and {len(group.sales) - _MOST} more"
    if len(groups) > _MOST:
        yield f"  and {len(groups) - _MOST} more"


def sale_told(sale: Sale) -> str:
    """One sale as a line; safe to print."""
    words = [
        str(sale.date),
        str(sale.price),
        *(clip(word, 40) for word in sale.condition),
        clip(sale.where, 60),
    ]
    return ", ".join(word for word in words if word)


# --- rows ------------------------------------------------------------------------------------------------


def rows_of(index: Index, found: Holdings, by: str = "") -> Iterator[tuple[str, ...]]:
    """Every group as a row of a table, its head first; of one kind where ``by`` names it."""
    yield (
        "group", "id", "name", "specimens", "figures", "of figures", "on backs", "of on backs", "double",
        "earliest", "earlier", "perhaps earlier", "missing",
    )  # fmt: skip
    first: dict[str, list[Earliest]] = {}
    for one in found.earliest:
        first.setdefault(one.figure, []).append(one)
    for kind in (by,) if by else GROUPS:
        for group in found.rows[kind]:
            mine = first.get(group.id, ()) if kind == "figure" else ()
            yield (
                kind,
                group.id,
                group.name,
                str(group.specimens),
                str(group.figures.have),
                str(group.figures.of),
                str(group.pairs.have),
                str(group.pairs.of),
                str(group.double),
                "; ".join(index.backs[one.back].label for one in mine),
                "; ".join(str(len(one.earlier)) for one in mine),
                "; ".join(str(len(one.perhaps)) for one in mine),
                "; ".join(map(short_id, group.missing)),
            )


# --- JSON ------------------------------------------------------------------------------------------------


def as_json(found: Holdings) -> dict[str, Any]:
    """Holdings as plain values; every id is full."""
    return {
        "specimens": {status.value: found.count[status] for status in Status},
        "left_out": found.left_out,
        "unplaced": list(found.unplaced),
        "unrecorded": list(found.unrecorded),
        "groups": [_group(group) for kind in GROUPS for group in found.rows[kind]],
        "doubles": [
            {"card": one.card, "figure": one.figure, "back": one.back, "specimens": _said(one.specimens)}
            for one in found.doubles
        ],
        "earliest": [
            {
                "figure": one.figure,
                "maker": one.maker,
                "back": one.back,
                "specimens": list(one.specimens),
                "earlier": list(one.earlier),
                "perhaps": list(one.perhaps),
            }
            for one in found.earliest
        ],
        "condition": [
            {"part": one.part, "states": dict(one.states), "untold": one.untold} for one in found.condition
        ],
        "wants": [
            {"id": one.want.record.id, "met": list(one.met), "perhaps": list(one.perhaps)}
            for one in found.wants
        ],
        "spent": {code: shown(amount) for code, amount in found.spent.items()},
        "priced": found.priced,
        "unpriced": found.unpriced,
        "sales": [
            {
                "card": one.card,
                "figure": one.figure,
                "back": one.back,
                "sales": [_sale(sale) for sale in one.sales],
            }
            for one in found.sales
        ],
    }


def _said(specimens: Iterable[Specimen]) -> list[str]:
    return [specimen.id for specimen in specimens]


def _group(group: Group) -> dict[str, Any]:
    return {
        "kind": group.kind,
        "id": group.id,
        "name": group.name,
        "specimens": group.specimens,
        "figures": {"have": group.figures.have, "of": group.figures.of},
        "on_backs": {"have": group.pairs.have, "of": group.pairs.of},
        "double": group.double,
        "missing": list(group.missing),
    }


def _sale(sale: Sale) -> dict[str, Any]:
    return {
        "id": sale.id,
        "date": str(sale.date),
        "amount": shown(sale.price.amount),
        "currency": sale.price.currency,
        "condition": list(sale.condition),
        "where": sale.where,
    }


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of what ``cardref own report --format json`` prints."""
    amount = {"type": "string", "pattern": "^[0-9]+([.][0-9]+)?$"}
    currency = {"type": "string", "pattern": "^[A-Z]{3}$"}
    share = exactly(have=COUNT, of=COUNT)
    about = {"card": TEXT, "figure": TEXT, "back": TEXT}
    sale = exactly(id=TEXT, date=TEXT, amount=amount, currency=currency, condition=TEXTS, where=TEXT)
    report = exactly(
        specimens=exactly(**{status.value: COUNT for status in Status}),
        left_out=COUNT,
        unplaced=TEXTS,
        unrecorded=TEXTS,
        groups=list_of(
            exactly(
                kind=one_of(GROUPS),
                id=TEXT,
                name=TEXT,
                specimens=COUNT,
                figures=share,
                on_backs=share,
                double=COUNT,
                missing=TEXTS,
            )
        ),
        doubles=list_of(exactly(**about, specimens=TEXTS)),
        earliest=list_of(
            exactly(figure=TEXT, maker=TEXT, back=TEXT, specimens=TEXTS, earlier=TEXTS, perhaps=TEXTS)
        ),
        condition=list_of(
            exactly(part=TEXT, states={"type": "object", "additionalProperties": COUNT}, untold=COUNT)
        ),
        wants=list_of(exactly(id=TEXT, met=TEXTS, perhaps=TEXTS)),
        spent={"type": "object", "propertyNames": currency, "additionalProperties": amount},
        priced=COUNT,
        unpriced=COUNT,
        sales=list_of(exactly(**about, sales=list_of(sale))),
    )
    return answer_schema("own-report", "cardref own report --format json", report=report)
