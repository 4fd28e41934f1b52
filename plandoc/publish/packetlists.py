"""The packet's lists as CSV text: parts, hardware, stock. Lines end with a line feed, the first names the columns."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from plandoc.publish.lists import csv_text
from plandoc.publish.numbers import decimal_text
from plandoc.quantity import Units, shop_text
from plandoc.shopwork.partslist import HardwareRow, PartRow, StockRow

PART_COLUMNS = (
    "mark", "name", "count", "length_mm", "width_mm", "thickness_mm", "length", "width", "thickness", "stock",
    "grain", "edges", "sheet", "weight_kg", "paths",
)  # fmt: skip
HARDWARE_COLUMNS = ("item", "description", "quantity", "unit", "used", "price", "total", "screws", "area_m2")
STOCK_COLUMNS = (
    "stock", "description", "kind", "pieces", "called_mm", "measured_mm", "area_m2", "area_ft2",
    "least_sheets_before_layout", "board_feet", "run_mm", "weight_kg", "price", "price_unit", "cost",
)  # fmt: skip


def parts_csv(rows: Iterable[PartRow], units: Units) -> str:
    """parts.csv: sizes in mm as decimals and, in the columns without `_mm`, as the plan prints them."""
    return csv_text(
        PART_COLUMNS,
        (
            (
                row.mark, row.name, str(row.count),
                decimal(row.length), decimal(row.width), decimal(row.thickness),
                shop_text(row.length, units, mark=True), shop_text(row.width, units, mark=True),
                shop_text(row.thickness, units.fine, mark=True),
                row.stock, row.grain, row.edges, row.sheet, decimal(row.weight), " ".join(row.paths),
            )
            for row in rows
        ),
    )  # fmt: skip


def hardware_csv(rows: Iterable[HardwareRow]) -> str:
    """hardware.csv: prices in the plan's currency, two decimals; screws that come with it; surface of glue and finish."""
    return csv_text(
        HARDWARE_COLUMNS,
        (
            (
                row.item, row.description, str(row.quantity), row.unit, row.used, money(row.price), money(row.total),
                str(row.screws) if row.screws else "", "" if row.area is None else decimal(row.area / 10**6),
            )
            for row in rows
        ),
    )  # fmt: skip


def stock_csv(rows: Iterable[StockRow]) -> str:
    """stock.csv: net figures of the finished parts, before any layout."""
    return csv_text(
        STOCK_COLUMNS,
        (
            (
                row.stock, row.description, row.kind, str(row.pieces), decimal(row.called), decimal(row.measured),
                decimal(row.area_m2), decimal(row.area_ft2),
                "" if row.least_sheets is None else str(row.least_sheets),
                decimal(row.board_feet), decimal(row.run), decimal(row.weight),
                money(row.price), row.price_unit, money(row.cost),
            )
            for row in rows
        ),
    )  # fmt: skip


def decimal(value: Fraction | None) -> str:
    """A number with at most three decimals, halves away from zero; "" for None."""
    return "" if value is None else decimal_text(value, 3)


def money(value: Fraction | None) -> str:
    """An amount with two decimals, halves away from zero; "" for None."""
    if value is None:
        return ""
    whole, _, cents = decimal_text(value, 2).partition(".")
    return f"{whole}.{cents.ljust(2, '0')}"
