"""The packet's lists as CSV text: parts, hardware, stock. Lines end with a line feed, the first names the columns."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from fractions import Fraction

from plandoc.quantity import Units, shop_text
from plandoc.shopwork.partslist import HardwareRow, PartRow, StockRow

PART_COLUMNS = (
    "mark", "name", "count", "length_mm", "width_mm", "thickness_mm", "length", "width", "thickness", "stock",
    "grain", "edges", "sheet", "weight_kg", "paths",
)  # fmt: skip
HARDWARE_COLUMNS = ("item", "description", "quantity", "unit", "used", "price", "total")
STOCK_COLUMNS = (
    "stock", "description", "kind", "pieces", "called_mm", "measured_mm", "area_m2", "area_ft2",
    "least_sheets_before_layout", "board_feet", "run_mm", "weight_kg", "price", "price_unit", "cost",
)  # fmt: skip


def parts_csv(rows: Iterable[PartRow], units: Units) -> str:
    """parts.csv: sizes in mm as decimals and, in the columns without `_mm`, as the plan prints them."""
    return _csv(
        PART_COLUMNS,
        (
            (
                row.mark, row.name, str(row.count),
                decimal(row.length), decimal(row.width), decimal(row.thickness),
                shop_text(row.length, units, mark=True), shop_text(row.width, units, mark=True),
                shop_text(row.thickness, units, mark=True),
                row.stock, row.grain, row.edges, row.sheet, decimal(row.weight), " ".join(row.paths),
            )
            for row in rows
        ),
    )  # fmt: skip


def hardware_csv(rows: Iterable[HardwareRow]) -> str:
    """hardware.csv: prices in the plan's currency, two decimals."""
    return _csv(
        HARDWARE_COLUMNS,
        (
            (row.item, row.description, str(row.quantity), row.unit, row.used, money(row.price), money(row.total))
            for row in rows
        ),
    )


def stock_csv(rows: Iterable[StockRow]) -> str:
    """stock.csv: net figures of the finished parts, before any layout."""
    return _csv(
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


def decimal(value: Fraction | None, places: int = 3) -> str:
    """A number with at most so many decimals, halves rounded away from zero, no trailing zeros; "" for None."""
    if value is None:
        return ""
    whole, rest = divmod(_scaled(value, places), 10**places)
    sign = "-" if value < 0 and (whole or rest) else ""
    digits = str(rest).rjust(places, "0").rstrip("0")
    return f"{sign}{whole}.{digits}" if digits else f"{sign}{whole}"


def money(value: Fraction | None) -> str:
    """An amount with two decimals, halves rounded up; "" for None."""
    if value is None:
        return ""
    whole, rest = divmod(_scaled(value, 2), 100)
    return f"{'-' if value < 0 and (whole or rest) else ''}{whole}.{rest:02d}"


def _scaled(value: Fraction, places: int) -> int:
    return int(2 * abs(value) * 10**places + 1) // 2


def _csv(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(rows)
    return out.getvalue()
