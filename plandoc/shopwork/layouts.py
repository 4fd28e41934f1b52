"""Cutting layouts of a plan: which parts come out of which sheet, board, batten or rod.

Sheet parts are laid out as they are sawn, before banding, with the allowances of the plan. Lumber, battens and rods are laid out
on the pieces to hand, else on boards and bars of a size that is usually sold. Grain: a part turns only where its stock has
no grain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.lengths import Bar, BarLayouts, cut_lengths
from plandoc.cutting.sheets import lay_out
from plandoc.cutting.stock import Layouts, Saw, Sheet
from plandoc.cutting.stock import Part as Cutout
from plandoc.cutting.zones import cut_boards
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.ordered import ordered
from plandoc.model.sawn import (
    WORK,
    aim_of,
    bars_to_hand,
    blanks,
    boards_to_hand,
    lengths,
    named_cutouts,
    saw_of,
    sawn_size,
    sheets_of,
)
from plandoc.shopwork.kept import of_last_model
from plandoc.shopwork.names import mark_of
from plandoc.tables.sawing import BARS, BOARD_LENGTHS, BOARD_WIDTHS


@dataclass(frozen=True, slots=True)
class StockLayout:
    """The layout of one stock: one of `sheets` (of sheet stock and of boards) and `bars` is not None. assumed: the size of
    the boards, or the length of the bars, is not in the plan."""

    stock: Stock
    saw: Saw
    sheets: Layouts | None = None
    bars: BarLayouts | None = None
    assumed: bool = False

    @property
    def laid(self) -> Layouts | BarLayouts:
        """The layouts, of whatever they are."""
        found = self.sheets or self.bars
        assert found is not None
        return found

    @property
    def bought(self) -> int:
        """How many full sheets, bars or boards are cut, those from the rack left out."""
        if self.sheets is not None:
            return sum(not s.sheet.rack for s in self.sheets.sheets)
        assert self.bars is not None
        return sum(b.bar.price != 0 for b in self.bars.bars)

    @property
    def waste(self) -> Fraction | None:
        """The share of what is cut that becomes no part and no offcut worth keeping; None where nothing is cut."""
        if self.sheets is not None:
            lost = sum((s.waste for s in self.sheets.sheets), Fraction(0))
            whole = sum((s.sheet.length * s.sheet.width for s in self.sheets.sheets), Fraction(0))
        else:
            assert self.bars is not None
            used = sum((length for b in self.bars.bars for _, length in b.pieces), Fraction(0))
            kept = sum((b.rest for b in self.bars.bars if keeps(self.saw, b.rest)), Fraction(0))
            whole = sum((b.bar.length for b in self.bars.bars), Fraction(0))
            lost = whole - used - kept
        return lost / whole if whole else None


def keeps(saw: Saw, rest: Fraction) -> bool:
    """Whether what is left of a bar is worth keeping."""
    return rest > 0 and rest >= saw.keep_length


@of_last_model
def layouts(model: Model) -> tuple[StockLayout, ...]:
    """One layout for each stock that can be laid out, in the order of the plan."""
    saw = saw_of(model)
    found = []
    for stock in model.stocks:
        parts = [p for p in model.parts if p.stock.name == stock.name]
        if not parts or ordered(stock):
            continue
        if stock.kind == "sheet" and stock.width is not None and stock.length is not None:
            found.append(StockLayout(stock, saw, sheets=lay_out(cutouts(stock, parts), sheets_of(stock), saw, aim_of(stock), WORK)))
        elif stock.kind in ("batten", "dowel") and stock.boards:
            found.append(StockLayout(stock, saw, bars=cut_lengths(lengths(parts), bars_to_hand(stock), saw.kerf, saw.trim, "money" if stock.rack else "bars")))
        elif stock.kind in ("batten", "dowel"):
            bars = _usual_bars(model, stock, parts, saw)
            if bars is not None:
                found.append(StockLayout(stock, saw, bars=bars, assumed=True))
        elif stock.kind == "lumber" and stock.boards:
            found.append(StockLayout(stock, saw, sheets=cut_boards(blanks(parts), boards_to_hand(stock), saw, WORK)))
        elif stock.kind == "lumber":
            boards = _usual_boards(model, stock, blanks(parts), saw)
            if boards is not None:
                found.append(StockLayout(stock, saw, sheets=boards, assumed=True))
    return tuple(found)


def _usual_bars(model: Model, stock: Stock, parts: Sequence[Part], saw: Saw) -> BarLayouts | None:
    """Bars of the one usual length that takes the least run in all (the shorter one of two), after what lies in the rack;
    None where a part is longer than any."""
    system = "inch" if model.info.units.system == "inch" else "mm"
    best: tuple[Fraction, BarLayouts] | None = None
    rack = [Bar(f"offcut {n + 1}", length, Fraction(0), 1) for n, (_, length) in enumerate(stock.rack)]
    for length in BARS[stock.kind][system]:
        made = cut_lengths(lengths(parts), [*rack, Bar("bar", length)], saw.kerf, saw.trim, "money" if rack else "bars")
        run = sum((b.bar.length for b in made.bars if b.bar.name == "bar"), Fraction(0))
        if not made.unplaced and (best is None or run < best[0]):
            best = run, made
    return None if best is None else best[1]


def usual_boards(model: Model, stock: Stock, wanted: Sequence[Cutout], saw: Saw) -> list[tuple[Fraction, Fraction]]:
    """(width, length) of boards (mm) that hold every piece once they are trimmed: the narrowest usual width with each usual length;
    of random boards the least that will do. Empty where a piece is too large."""
    wide, long = (max((x for x in sizes), default=Fraction(0)) + 2 * saw.trim for sizes in ([w.width for w in wanted], [w.length for w in wanted]))
    if stock.random is not None:
        least_wide, most_wide, least_long, most_long = stock.random
        return [(max(wide, least_wide), max(long, least_long))] if wide <= most_wide and long <= most_long else []
    system = "inch" if model.info.units.system == "inch" else "mm"
    width = next((w for w in BOARD_WIDTHS[system] if w >= wide), None)
    return [] if width is None else [(width, length) for length in BOARD_LENGTHS[system] if length >= long]


def _usual_boards(model: Model, stock: Stock, wanted: Sequence[Cutout], saw: Saw) -> Layouts | None:
    """Boards of the one usual length that takes the least area in all (the shorter one of two), after what lies in the rack; None
    where a piece is larger than any."""
    best: tuple[Fraction, Layouts] | None = None
    for width, length in usual_boards(model, stock, wanted, saw):
        made = lay_out(wanted, [*boards_to_hand(stock), Sheet("board", length, width)], saw, work=WORK)
        area = sum((s.sheet.length * s.sheet.width for s in made.sheets if not s.sheet.rack), Fraction(0))
        if best is None or area < best[0]:
            best = area, made
    return None if best is None else best[1]


def cutouts(stock: Stock, parts: Sequence[Part]) -> list[Cutout]:
    """The parts as they are sawn from a sheet stock; those of one mark and size together."""
    counts: dict[tuple[str, Fraction, Fraction], int] = {}
    for part in parts:
        key = (mark_of(part), *sawn_size(part))
        counts[key] = counts.get(key, 0) + part.count
    return named_cutouts(counts, not stock.grain)
