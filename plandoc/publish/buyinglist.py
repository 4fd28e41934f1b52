"""buying.csv: everything to buy in one list: stock, hardware with spare, glue, abrasives, finish."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Model
from plandoc.publish.lists import csv_text
from plandoc.publish.packetlists import decimal, money
from plandoc.shopwork.buying import to_buy
from plandoc.shopwork.shopping import shopping

COLUMNS = ("kind", "item", "description", "takes", "spare", "buy", "price", "price_unit", "cost", "waste_percent")


def buying_rows(model: Model) -> tuple[dict[str, str], ...]:
    """The rows by column, as model.json tells them; spare of fasteners only, waste of what is laid out only."""
    rows: list[tuple[str, ...]] = []
    for stock in to_buy(model):
        waste = "" if stock.waste is None else decimal(Fraction(round(stock.waste * 1000), 10))
        rows.append(("stock", stock.stock, stock.words, stock.takes, "", stock.buy, money(stock.price), stock.unit, money(stock.cost), waste))
    for row in shopping(model):
        rows.append((row.kind, row.item, row.words, row.needed, str(row.spare) if row.spare else "", row.buy, money(row.price), row.unit if row.price is not None else "", money(row.cost), ""))
    return tuple(dict(zip(COLUMNS, row, strict=True)) for row in rows)


def buying_csv(model: Model) -> str:
    """The rows as CSV."""
    return csv_text(COLUMNS, [tuple(row[name] for name in COLUMNS) for row in buying_rows(model)])
