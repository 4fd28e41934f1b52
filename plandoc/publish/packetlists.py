"""The packet's lists as CSV text: parts, hardware, stock. Lines end with a line feed, the first names the columns."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction

from plandoc.model.roughsizes import RoughPiece
from plandoc.publish.lists import csv_text
from plandoc.publish.numbers import decimal_text
from plandoc.quantity import METRE, Units, shop_text
from plandoc.shopwork.partslist import HardwareRow, PartRow, StockRow

PART_COLUMNS = (
    "mark", "name", "count", "length_mm", "width_mm", "thickness_mm", "length", "width", "thickness", "stock",
    "grain", "edges", "sheet", "weight_kg", "paths",
)  # fmt: skip
PART_MORE = (
    "rough_length_mm", "rough_width_mm", "rough_thickness_mm", "rough_length", "rough_width", "rough_thickness", "boards",
    "board_feet",
)  # fmt: skip
HARDWARE_COLUMNS = ("item", "description", "quantity", "unit", "used", "price", "total", "screws", "area_m2")
STOCK_COLUMNS = (
    "stock", "description", "kind", "pieces", "called_mm", "measured_mm", "area_m2", "area_ft2",
    "least_sheets_before_layout", "pieces_cut", "fewest", "waste_percent", "board_feet", "run_mm", "weight_kg", "price",
    "price_unit", "cost",
)  # fmt: skip
STOCK_MORE = ("rough_pieces", "rough_area_m2", "rough_run_mm", "boards_to_hand", "rack", "faces")


def parts_csv(rows: Iterable[PartRow], units: Units) -> str:
    """parts.csv: sizes in mm as decimals and, in the columns without `_mm`, as the plan prints them. The columns of rough
    sizes, of boards to glue up and of board feet stand only where a row has something in them."""
    listed = tuple(rows)
    return _csv(
        PART_COLUMNS,
        [
            (
                row.mark, row.name, str(row.count),
                decimal(row.length), decimal(row.width), decimal(row.thickness),
                shop_text(row.length, units, mark=True), shop_text(row.width, units, mark=True),
                shop_text(row.thickness, units.fine, mark=True),
                row.stock, row.grain, row.edges, row.sheet, decimal(row.weight), " ".join(row.paths),
            )
            for row in listed
        ],
        PART_MORE,
        [
            (
                decimal(row.rough_length), decimal(row.rough_width), decimal(row.rough_thickness),
                *("" if size is None else shop_text(size, units, mark=True) for size in (row.rough_length, row.rough_width)),
                "" if row.rough_thickness is None else shop_text(row.rough_thickness, units.fine, mark=True),
                boards_text(row.boards, units), decimal(row.board_feet),
            )
            for row in listed
        ],
    )  # fmt: skip


def boards_text(boards: Sequence[RoughPiece], units: Units) -> str:
    """`2 of 4 7/8" x 48 1/2"; 3 of 4 3/4" x 48 1/2"`: width x length."""
    return "; ".join(f"{b.count} of {sizes_text((b.width, b.length), units)}" for b in boards)


def sizes_text(sizes: Sequence[Fraction], units: Units) -> str:
    """`6" x 96"`."""
    return " x ".join(shop_text(size, units, mark=True) for size in sizes)


def _csv(columns: Sequence[str], rows: Sequence[Sequence[str]], more: Sequence[str], further: Sequence[Sequence[str]]) -> str:
    """The columns, and those of `more` that are not empty in every row."""
    kept = [i for i in range(len(more)) if any(row[i] for row in further)]
    lines = [(*row, *(rest[i] for i in kept)) for row, rest in zip(rows, further, strict=True)]
    return csv_text((*columns, *(more[i] for i in kept)), lines)


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


def stock_csv(rows: Iterable[StockRow], units: Units | None = None) -> str:
    """stock.csv. pieces_cut: full sheets, boards or bars that the layout takes, those of the rack left out; fewest: whether that
    is proved; waste without the offcuts worth keeping. The columns of rough quantities, of what is to hand and of faces
    stand only where a row has something in them. units: of the sizes to hand."""
    listed, own = tuple(rows), units or Units()
    return _csv(
        STOCK_COLUMNS,
        [
            (
                row.stock, row.description, row.kind, str(row.pieces), decimal(row.called), decimal(row.measured),
                decimal(row.area_m2), decimal(row.area_ft2),
                "" if row.least_sheets is None else str(row.least_sheets), *layout_cells(row),
                decimal(row.board_feet), decimal(row.run), decimal(row.weight),
                money(row.price), row.price_unit, money(row.cost),
            )
            for row in listed
        ],
        STOCK_MORE,
        [
            (
                "" if row.rough_pieces is None else str(row.rough_pieces),
                "" if row.rough_area is None else decimal(row.rough_area / METRE**2), decimal(row.rough_run),
                to_hand(row, own), rack_text(row.rack, own), row.faces,
            )
            for row in listed
        ],
    )  # fmt: skip


def layout_cells(row: StockRow) -> tuple[str, str, str]:
    """Pieces cut, whether they are proved the fewest, waste in per cent to the tenth; empty where nothing is laid out."""
    if row.layout is None or row.sheets is None:
        return "", "", ""
    waste = row.layout.waste
    return str(row.sheets), "yes" if row.layout.laid.proved else "no", "" if waste is None else decimal(Fraction(round(waste * 1000), 10))


def to_hand(row: StockRow, units: Units) -> str:
    """The boards to hand: `2 of 6" x 96"`, `random 5" to 9" x 96" to 144"`."""
    texts = [rack_text(row.boards, units)] if row.boards else []
    if row.random is not None:
        low, high, short, long = (shop_text(size, units, mark=True) for size in row.random)
        texts.append(f"random {low} to {high} x {short} to {long}")
    return "; ".join(texts)


def rack_text(pieces: Sequence[tuple[Fraction, Fraction]], units: Units) -> str:
    """`2 of 24" x 30"; 1 of 12" x 48"`: width x length."""
    return "; ".join(f"{pieces.count(piece)} of {sizes_text(piece, units)}" for piece in dict.fromkeys(pieces))


def decimal(value: Fraction | None) -> str:
    """A number with at most three decimals, halves away from zero; "" for None."""
    return "" if value is None else decimal_text(value, 3)


def money(value: Fraction | None) -> str:
    """An amount with two decimals, halves away from zero; "" for None."""
    if value is None:
        return ""
    whole, _, cents = decimal_text(value, 2).partition(".")
    return f"{whole}.{cents.ljust(2, '0')}"
