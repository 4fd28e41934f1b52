"""The stock list: how much material the parts take, before any layout."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.model.entities import Model, Part, Stock
from plandoc.quantity import FOOT, METRE
from plandoc.shopwork.names import piece_count
from plandoc.shopwork.weights import part_weight
from plandoc.tables import board_feet


@dataclass(frozen=True, slots=True)
class StockRow:
    """Material of one stock. Net figures of the finished parts: saw cuts, trimming and waste come on top.

    area (mm2) of sheet parts. least_sheets: whole sheets that hold that area, before layout; None for other stock.
    board_feet of lumber parts. run (mm) of rod. weight (kg, estimate), None where the material is unknown. price
    per price_unit, and cost of the least quantity, None where the plan gives no price or no such quantity."""

    stock: str
    description: str
    kind: str
    pieces: int
    called: Fraction
    measured: Fraction
    area: Fraction | None
    least_sheets: int | None
    board_feet: Fraction | None
    run: Fraction | None
    weight: Fraction | None
    price: Fraction | None
    price_unit: str
    cost: Fraction | None

    @property
    def area_m2(self) -> Fraction | None:
        """Area in square metres."""
        return None if self.area is None else self.area / METRE**2

    @property
    def area_ft2(self) -> Fraction | None:
        """Area in square feet."""
        return None if self.area is None else self.area / FOOT**2


def stock_list(model: Model, solids: Mapping[str, float] | None = None) -> tuple[StockRow, ...]:
    """One row for each stock that parts are cut from, in the order of the plan. solids: volumes by path (mm3)."""
    stocks = {part.stock.name: part.stock for part in model.parts}
    order = [s.name for s in model.stocks if s.name in stocks]
    order += [name for name in stocks if name not in order]
    return tuple(_row(stocks[n], [p for p in model.parts if p.stock.name == n], solids) for n in order)


def _row(stock: Stock, parts: Sequence[Part], solids: Mapping[str, float] | None) -> StockRow:
    area = sheets = feet = run = None
    if stock.kind == "sheet":
        area = sum((p.length * p.width * p.count for p in parts), Fraction(0))
        if stock.width is not None and stock.length is not None:
            sheets = -(-area // (stock.width * stock.length))
    elif stock.kind == "lumber":
        rough = stock.rough if stock.rough is not None else stock.called
        feet = sum((board_feet(rough, p.width, p.length) * p.count for p in parts), Fraction(0))
    else:
        run = sum((p.length * p.count for p in parts), Fraction(0))
    if stock.kind == "lumber":
        run = sum((p.length * p.count for p in parts), Fraction(0))
    weights = [part_weight(p, solids) for p in parts]
    known = [w * p.count for w, p in zip(weights, parts, strict=True) if w is not None]
    weight = sum(known, Fraction(0)) if len(known) == len(parts) else None
    amount = _amount(stock, sheets, feet, run, piece_count(parts))
    cost = None if stock.price is None or amount is None else stock.price * amount
    return StockRow(
        stock.name,
        stock.description or stock.material,
        stock.kind,
        piece_count(parts),
        stock.called,
        stock.measured,
        area,
        sheets,
        feet,
        run,
        weight,
        stock.price,
        stock.price_unit,
        cost,
    )


def _amount(
    stock: Stock, sheets: int | None, feet: Fraction | None, run: Fraction | None, pieces: int
) -> Fraction | None:
    amounts = {
        "sheet": None if sheets is None else Fraction(sheets),
        "board foot": feet,
        "metre": None if run is None else run / METRE,
        "foot": None if run is None else run / FOOT,
        "piece": Fraction(pieces),
    }
    return amounts.get(stock.price_unit)
