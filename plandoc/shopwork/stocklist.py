"""The stock list: how much material the parts take, and how many sheets, boards or bars their layout takes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.stock import Layouts
from plandoc.model.density import stock_density
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.ordered import ordered
from plandoc.model.roughsizes import is_rough, part_board_feet, part_volume, rough_pieces
from plandoc.quantity import FOOT, METRE
from plandoc.shopwork.layouts import StockLayout, layouts
from plandoc.shopwork.names import BAND, mark_of, piece_count
from plandoc.shopwork.weights import part_weight


@dataclass(frozen=True, slots=True)
class StockRow:
    """Material of one stock. Areas, runs and board feet are figures of the parts, saw cuts and waste come on top.

    area (mm2) of sheet parts. least_sheets: whole sheets (of the largest size) that hold that area, before layout; None for other stock.
    board_feet of lumber parts, from their rough sizes. run (mm) of lumber, battens, rod and banding. weight (kg, estimate)
    of the finished parts, None where the material is unknown. price per price_unit, and cost: of the sheets or pieces that
    the layout takes, else of the rough quantity; None where the plan gives no price or no such quantity. rough_pieces, rough_area and rough_run: the same before trimming and
    gluing up, None where no part has a rough size. boards, random, rack, faces: as in the stock of the plan. layout: how
    the parts are cut, None for stock that is not laid out. rough_volume (mm3) of lumber parts, by the thickness as it is: board
    feet count no wood thinner than an inch."""

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
    rough_pieces: int | None = None
    rough_area: Fraction | None = None
    rough_run: Fraction | None = None
    boards: tuple[tuple[Fraction, Fraction], ...] = ()
    random: tuple[Fraction, Fraction, Fraction, Fraction] | None = None
    rack: tuple[tuple[Fraction, Fraction], ...] = ()
    faces: str = ""
    layout: StockLayout | None = None
    rough_volume: Fraction | None = None

    @property
    def sheets(self) -> int | None:
        """Full sheets, boards or bars that the layout takes beside what lies in the rack; None where parts found no room."""
        return None if self.layout is None or self.layout.laid.unplaced else self.layout.bought

    @property
    def area_m2(self) -> Fraction | None:
        """Area in square metres."""
        return None if self.area is None else self.area / METRE**2

    @property
    def area_ft2(self) -> Fraction | None:
        """Area in square feet."""
        return None if self.area is None else self.area / FOOT**2


def stock_list(model: Model, solids: Mapping[str, float] | None = None) -> tuple[StockRow, ...]:
    """One row for each stock that parts are cut from or banded with, in the order of the plan. solids: volumes by path
    (mm3)."""
    stocks = {part.stock.name: part.stock for part in model.parts}
    bands = {stock.name: stock for stock in banding(model)}
    order = [s.name for s in model.stocks if s.name in stocks or s.name in bands]
    order += [name for name in stocks if name not in order]
    laid = {found.stock.name: found for found in layouts(model)}
    return tuple(
        _band_row(model, bands[n]) if n in bands else _row(stocks[n], [p for p in model.parts if p.stock.name == n], solids, laid.get(n)) for n in order
    )


@dataclass(frozen=True, slots=True)
class Strip:
    """Strips of banding of one length (mm), with what is trimmed off, for the edges of one mark."""

    mark: str
    length: Fraction
    count: int


def banding(model: Model) -> tuple[Stock, ...]:
    """The bandings that some edge takes."""
    return tuple(stock for stock in model.stocks if stock.kind == "banding" and band_pieces(model, stock))


def band_pieces(model: Model, stock: Stock) -> tuple[Strip, ...]:
    """The strips of a banding that the edges of all pieces take, the longest first."""
    extra = band_spare(model, stock)
    counts: dict[tuple[str, Fraction], int] = {}
    for part in model.parts:
        for feature in part.features:
            if feature.kind == BAND and feature.mate == stock.name and feature.face is not None:
                run = part.width if feature.face.axis == part.length_axis else part.length
                key = (mark_of(part), run + extra)
                counts[key] = counts.get(key, 0) + part.count
    return tuple(Strip(mark, length, count) for (mark, length), count in sorted(counts.items(), key=lambda c: (-c[0][1], c[0][0])))


def band_spare(model: Model, stock: Stock) -> Fraction:
    """What a strip of banding is cut longer by (mm)."""
    return stock.allowance.long if stock.allowance is not None else model.info.allowance.long


def band_strips(model: Model, stock: Stock) -> tuple[Fraction, ...]:
    """Lengths (mm) of the strips of a banding that the edges of all pieces take, cut flush."""
    extra = band_spare(model, stock)
    return tuple(strip.length - extra for strip in band_pieces(model, stock) for _ in range(strip.count))


def _row(stock: Stock, parts: Sequence[Part], solids: Mapping[str, float] | None, layout: StockLayout | None) -> StockRow:
    area = sheets = feet = volume = run = rough_area = rough_run = None
    pieces = [(piece, part.count) for part in parts for piece in rough_pieces(part)]
    count = sum(piece.count * times for piece, times in pieces)
    if stock.kind == "sheet":
        area = sum((p.length * p.width * p.count for p in parts), Fraction(0))
        rough_area = sum((p.length * p.width * p.count * times for p, times in pieces), Fraction(0))
        if stock.width is not None and stock.length is not None and not ordered(stock):
            sheets = -(-rough_area // max(w * h for w, h in ((stock.width, stock.length), *((w, h) for w, h, _, _ in stock.also))))
    else:
        run = sum((p.length * p.count for p in parts), Fraction(0))
        rough_run = sum((p.length * p.count * times for p, times in pieces), Fraction(0))
    if stock.kind == "lumber":
        feet = sum((f * p.count for p in parts if (f := part_board_feet(p)) is not None), Fraction(0))
        volume = sum((v * p.count for p in parts if (v := part_volume(p)) is not None), Fraction(0))
    weights = [part_weight(p, solids) for p in parts]
    known = [w * p.count for w, p in zip(weights, parts, strict=True) if w is not None]
    weight = sum(known, Fraction(0)) if len(known) == len(parts) else None
    whole = layout.bought if layout is not None and not layout.laid.unplaced else None
    if whole is not None and layout is not None and layout.sheets is not None and stock.kind == "sheet":
        cost = _sheets_cost(stock, layout.sheets)
    else:
        cost = _cost(stock, sheets, feet, rough_area, rough_run, count if whole is None else whole)
    rough = any(is_rough(p) for p in parts)
    if not rough:
        rough_area = rough_run = None
    return StockRow(
        stock.name, stock.description or stock.material, stock.kind, piece_count(parts), stock.called, stock.measured, area, sheets, feet, run,
        weight, stock.price, stock.price_unit, cost, count if rough else None, rough_area, rough_run,
        stock.boards, stock.random, stock.rack, stock.faces, layout, volume,
    )  # fmt: skip


def _sheets_cost(stock: Stock, laid: Layouts) -> Fraction | None:
    """Price of the full sheets that are cut; None where a size that is taken has none."""
    full = [s.sheet for s in laid.sheets if not s.sheet.rack]
    if stock.price_unit == "sheet" and stock.also:
        own = {(width, length): price for width, length, price, _ in stock.also}
        prices = [own.get((s.width, s.length), stock.price) for s in full]
        return None if None in prices else sum((p for p in prices if p is not None), Fraction(0))
    return _cost(stock, len(full), None, sum((s.width * s.length for s in full), Fraction(0)), None, len(full))


def _band_row(model: Model, stock: Stock) -> StockRow:
    strips = band_strips(model, stock)
    extra = band_spare(model, stock)
    run = sum(strips, Fraction(0))
    rough = run + extra * len(strips)
    weighs = stock_density(stock)
    weight = None if weighs is None or stock.width is None else run * stock.width * stock.measured * weighs / 10**9
    return StockRow(
        stock.name, stock.description or stock.material, stock.kind, len(strips), stock.called, stock.measured, None, None, None, run,
        weight, stock.price, stock.price_unit, _cost(stock, None, None, None, rough, len(strips)), len(strips) if extra else None, None,
        rough if extra else None, stock.boards, stock.random, stock.rack, stock.faces,
    )  # fmt: skip


def _cost(
    stock: Stock, sheets: int | None, feet: Fraction | None, area: Fraction | None, run: Fraction | None, pieces: int
) -> Fraction | None:
    """Price of the rough quantity; None where the plan gives no price or no such quantity."""
    amounts = {
        "sheet": None if sheets is None else Fraction(sheets),
        "board foot": feet,
        "square metre": None if area is None else area / METRE**2,
        "square foot": None if area is None else area / FOOT**2,
        "metre": None if run is None else run / METRE,
        "foot": None if run is None else run / FOOT,
        "piece": Fraction(pieces),
    }
    amount = amounts.get(stock.price_unit)
    return None if stock.price is None or amount is None else stock.price * amount
