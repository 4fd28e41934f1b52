"""What to buy of each stock, in words: sheets, boards, bars, board feet, runs; waste and cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.lengths import BarLayouts
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.ordered import ordered
from plandoc.model.values import plain_number
from plandoc.quantity import FOOT, INCH, METRE, Units, shop_text
from plandoc.shopwork.layouts import StockLayout
from plandoc.shopwork.names import counted, stock_words
from plandoc.shopwork.stocklist import StockRow, Strip, band_pieces, stock_list


@dataclass(frozen=True, slots=True)
class Buying:
    """One row of the stock to buy. takes: what the parts take; buy: the pieces, or what of those to hand is cut; sure: whether
    the number is proved the fewest, "" where there is none; price: of one unit; cost: of all."""

    stock: str
    words: str
    takes: str
    buy: str
    sure: str
    waste: Fraction | None
    price: Fraction | None
    unit: str
    cost: Fraction | None


def to_buy(model: Model) -> tuple[Buying, ...]:
    """One row for each stock, in the order of the plan."""
    stocks = {stock.name: stock for stock in model.stocks} | {part.stock.name: part.stock for part in model.parts}
    return tuple(_row(row, stocks[row.stock], model) for row in stock_list(model))


def _row(row: StockRow, stock: Stock, model: Model) -> Buying:
    units = model.info.units
    strips = band_pieces(model, stock) if stock.kind == "banding" else ()
    layout = row.layout if row.sheets is not None else None
    parts = [part for part in model.parts if part.stock.name == stock.name] if ordered(stock) else []
    waste = layout.waste if layout is not None else None
    sure = "" if layout is None else "yes" if layout.laid.proved else f"no, at least {layout.laid.bound}"
    return Buying(row.stock, stock_words(stock, units), takes(row, stock, units, strips), panes(parts, units) if parts else pieces(row, stock, units), sure, waste, row.price, row.price_unit, row.cost)


def takes(row: StockRow, stock: Stock, units: Units, strips: Sequence[Strip] = ()) -> str:
    """`30.8 sq ft`, `12.4 bd ft`, `0.052 m³ of 27 rough`, `run 21.3 m`, `6 ft: 4 of 18" for A` of banding: what the rough parts
    take, saw cuts left out."""
    inch = units.system == "inch"
    if stock.kind == "sheet":
        area = row.area if row.rough_area is None else row.rough_area
        return f"{tenths((area or Fraction(0)) / FOOT**2)} sq ft" if inch else f"{tenths((area or Fraction(0)) / METRE**2, 2)} m²"
    if stock.kind == "lumber" and row.board_feet is not None:
        thick = stock.rough if stock.rough is not None else stock.called
        if inch:
            return f"{tenths(row.board_feet)} bd ft"
        return f"{tenths((row.rough_volume or Fraction(0)) / METRE**3, 3)} m³ of {shop_text(thick, units)} rough"
    if strips:
        return f"{run_words(row, units)}: " + ", ".join(f"{strip.count} of {measure(strip.length, units)} for {strip.mark}" for strip in strips)
    return f"run {run_words(row, units)}"


def panes(parts: Sequence[Part], units: Units) -> str:
    """`ordered to size: 484 × 344, 1 piece`: what is not sawn in the shop."""
    counts: dict[str, int] = {}
    for part in parts:
        words = size(part.length, part.width, units)
        counts[words] = counts.get(words, 0) + part.count
    return "ordered to size: " + "; ".join(f"{words}, {counted(count, 'piece')}" for words, count in counts.items())


def run_words(row: StockRow, units: Units) -> str:
    """The run with spare: `21.3 m`, `12.5 ft`."""
    run = row.run if row.rough_run is None else row.rough_run
    return f"{tenths((run or Fraction(0)) / FOOT)} ft" if units.system == "inch" else f"{tenths((run or Fraction(0)) / METRE)} m"


def pieces(row: StockRow, stock: Stock, units: Units) -> str:
    """`2 sheets 48" × 96"`, `3 boards 6" × 96" (assumed), 12 bd ft`, `4 bars of 96"`, `2 of 3 boards to hand`, `run with spare` of banding."""
    layout = row.layout
    if stock.kind == "banding":
        return f"{run_words(row, units)} with spare" if row.rough_run is not None else run_words(row, units)
    if layout is not None and row.sheets is None:
        left = sum(count for _, count in layout.laid.unplaced)
        return f"{counted(left, 'piece')} without room: see the cuts"
    if layout is None:
        return unlaid_words(stock, units)
    racked = ""
    total = len(layout.bars.bars) if layout.bars is not None else len(layout.sheets.sheets) if layout.sheets is not None else 0
    if total > layout.bought:
        racked = f"; {counted(total - layout.bought, 'offcut')} of the rack"
    if stock.kind == "sheet" and stock.width is not None and stock.length is not None:
        return f"{sheets_words(layout, stock, units)}{racked}"
    if layout.assumed and layout.sheets is not None:
        return f"{sheets_words(layout, stock, units)} (assumed), {board_measure(layout, stock, units)}{racked}"
    if layout.bars is not None and layout.assumed:
        return f"{bars_words(layout.bars, units)}{racked}"
    word = "board" if stock.kind == "lumber" else "bar"
    return f"none: {layout.bought} of {counted(len(stock.boards), word)} to hand{racked}"


def unlaid_words(stock: Stock, units: Units) -> str:
    """How stock is bought that has no cutting layout, and why it has none: `by board feet; add waste: a piece is larger than usual
    boards`."""
    if stock.kind == "sheet":
        return "by area; add waste: the plan names no size of the sheet"
    if stock.kind == "lumber":
        boards = "the boards named" if stock.random is not None else "usual boards"
        return f"by {'board feet' if units.system == 'inch' else 'volume'}; add waste: a piece is larger than {boards}"
    return "by run; add waste: a piece is longer than usual bars"


def sheets_words(layout: StockLayout, stock: Stock, units: Units) -> str:
    """`2 sheets 48" × 96", 1 sheet 60" × 60"`, `3 boards 6" × 96"`: what is bought, size by size."""
    full = [s.sheet for s in layout.sheets.sheets if not s.sheet.rack] if layout.sheets is not None else []
    word = "board" if stock.kind == "lumber" else "sheet"
    sizes = [(s.width, s.length) for s in full]
    told = [f"{counted(sizes.count(one), word)} {size(*one, units)}" for one in dict.fromkeys(sizes)]
    return ", ".join(told) or f"no {word}"


def board_measure(layout: StockLayout, stock: Stock, units: Units) -> str:
    """`16 bd ft`, `0.081 m³`: what the boards of a layout hold by their rough thickness."""
    thick = stock.rough if stock.rough is not None else stock.called
    area = sum((s.sheet.width * s.sheet.length for s in layout.sheets.sheets if not s.sheet.rack), Fraction(0)) if layout.sheets is not None else Fraction(0)
    if units.system == "inch":
        return f"{tenths(area / FOOT**2 * max(thick, INCH) / INCH)} bd ft"
    return f"{tenths(area * thick / METRE**3, 3)} m³"


def bars_words(made: BarLayouts, units: Units) -> str:
    """`4 bars of 96"`."""
    lengths = [b.bar.length for b in made.bars if b.bar.price]
    return ", ".join(f"{counted(lengths.count(length), 'bar')} of {measure(length, units)}" for length in dict.fromkeys(lengths)) or "none"


def measure(length: Fraction, units: Units) -> str:
    """A length with its mark on inch plans."""
    return shop_text(length, units, mark=units.system == "inch")


def size(width: Fraction, length: Fraction, units: Units) -> str:
    """`48" × 96"`."""
    return f"{measure(width, units)} × {measure(length, units)}"


def tenths(amount: Fraction, digits: int = 1) -> str:
    """An amount rounded up to so many digits, so that it is never short."""
    scale = 10**digits
    return plain_number(Fraction(-(-amount * scale // 1), scale))
