"""The stock to buy: what the parts take of each stock, how many pieces are cut, waste and cost. A table under other lists."""

from __future__ import annotations

from plandoc.model.entities import Model
from plandoc.sheets.context import SheetContext
from plandoc.sheets.tables import Column, Row, Table
from plandoc.shopwork.buying import Buying, to_buy
from plandoc.shopwork.layouts import layouts

TITLE = "Stock to buy"


def stock_note(model: Model) -> str:
    """What the figures mean, as far as this plan has them."""
    rows = to_buy(model)
    said = "Pieces as the cutting layouts count them. " if any(row.sure for row in rows) else ""
    said += "What the parts take is without saw cuts and waste"
    said += "; waste is without the offcuts to keep." if any(row.waste is not None for row in rows) else "."
    if any("add waste" in row.buy for row in rows):
        said += " Where no layout counts, buy 20 to 30 % more of solid wood, 10 to 15 % of other stock (common practice)."
    if any(found.assumed for found in layouts(model)):
        kinds = [word for word, lumber in (("sizes of boards", True), ("lengths of bars", False)) if any(f.assumed and (f.stock.kind == "lumber") == lumber for f in layouts(model))]
        said += f" {' and '.join(kinds).capitalize()} are assumed: ask what is sold."
    if any(row.cost is not None for row in rows):
        said += " Cost: of the pieces counted; of boards and bars priced by length, area or volume, of what the parts take." + (f" Prices in {model.info.currency}." if model.info.currency else "")
    return said


def stock_table(ctx: SheetContext) -> Table:
    """The table, as wide as the space."""
    rows = to_buy(ctx.model)
    priced, counted = any(row.price is not None for row in rows), any(row.sure for row in rows)
    columns = [
        Column("Stock", wrap=True), Column("Parts take", wrap=True), Column("Buy", wrap=True),
        *((Column("Fewest", wrap=True), Column("Waste", "end")) if counted else ()),
        *((Column("Price", wrap=True), Column("Cost", "end")) if priced else ()),
    ]  # fmt: skip
    lines = [Row((*_cells(row), *(_count(row) if counted else ()), *(_price(row) if priced else ())), (("stock", row.stock),)) for row in rows]
    costs = [row.cost for row in rows if row.cost is not None]
    if len(costs) > 1:
        total = "Total" if len(costs) == len(rows) else "Total, as far as priced"
        lines.append(Row((total, *[""] * (len(columns) - 2), f"{float(sum(costs)):.2f}"), (("stock", "total"),)))
    return Table(columns, lines, ctx.style, ctx.space[2] - ctx.space[0], "stock")


def _cells(row: Buying) -> tuple[str, str, str]:
    return row.words, row.takes, row.buy


def _count(row: Buying) -> tuple[str, str]:
    waste = "" if row.waste is None else f"{round(row.waste * 100)} %"
    return {"yes": "yes, proved"}.get(row.sure, row.sure), waste


def _price(row: Buying) -> tuple[str, str]:
    price = "" if row.price is None else f"{float(row.price):.2f} a {row.unit}"
    return price, "" if row.cost is None else f"{float(row.cost):.2f}"
