"""Cutting layouts of a plan: which parts come out of which sheet, board, batten or rod.

Sheet parts are laid out as they are sawn, before banding, with the allowances of the plan. Lumber, battens and rods are laid
out where the plan names pieces to hand. Grain: a part turns only where its stock has no grain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.cutting.boards import Blank, Board, BoardLayouts, cut_boards
from plandoc.cutting.lengths import Bar, BarLayouts, Piece, cut_lengths
from plandoc.cutting.sheets import lay_out
from plandoc.cutting.stock import Layouts, Saw
from plandoc.cutting.stock import Part as Cutout
from plandoc.model.entities import Model, Part, Stock
from plandoc.model.sawn import saw_of as saw_of
from plandoc.model.sawn import sawn_size as sawn_size
from plandoc.model.sawn import sheets_of as sheets_of
from plandoc.shopwork.names import mark_of
from plandoc.shopwork.roughsizes import rough_pieces

WORK = 1500
"""Counted search work for each part; keeps the pass short."""


@dataclass(frozen=True, slots=True)
class StockLayout:
    """The layout of one stock: one of `sheets`, `bars`, `boards` is not None."""

    stock: Stock
    saw: Saw
    sheets: Layouts | None = None
    bars: BarLayouts | None = None
    boards: BoardLayouts | None = None


def layouts(model: Model) -> tuple[StockLayout, ...]:
    """One layout for each stock that can be laid out, in the order of the plan."""
    saw = saw_of(model)
    found = []
    for stock in model.stocks:
        parts = [p for p in model.parts if p.stock.name == stock.name]
        if not parts:
            continue
        if stock.kind == "sheet" and stock.width is not None and stock.length is not None:
            found.append(StockLayout(stock, saw, sheets=lay_out(cutouts(stock, parts), sheets_of(stock), saw, work=WORK)))
        elif stock.kind in ("batten", "dowel") and stock.boards:
            bars = [Bar(f"{n + 1}", length, count=1) for n, (_, length) in enumerate(stock.rack + stock.boards)]
            found.append(StockLayout(stock, saw, bars=cut_lengths(_lengths(parts), bars, saw.kerf, saw.trim)))
        elif stock.kind == "lumber" and stock.boards:
            boards = [Board(f"{n + 1}", length, width) for n, (width, length) in enumerate(stock.rack + stock.boards)]
            found.append(StockLayout(stock, saw, boards=cut_boards(_blanks(parts), boards, saw.kerf, saw.trim)))
    return tuple(found)


def cutouts(stock: Stock, parts: Sequence[Part]) -> list[Cutout]:
    """The parts as they are sawn from a sheet stock; those of one mark and size together."""
    counts: dict[tuple[str, Fraction, Fraction], int] = {}
    for part in parts:
        key = (mark_of(part), *sawn_size(part))
        counts[key] = counts.get(key, 0) + part.count
    names = [mark for mark, _, _ in counts]
    return [
        Cutout(mark if names.count(mark) == 1 else f"{mark} ({n + 1})", length, width, count, not stock.grain)
        for n, ((mark, length, width), count) in enumerate(counts.items())
    ]


def _lengths(parts: Sequence[Part]) -> list[Piece]:
    counts: dict[tuple[str, Fraction], int] = {}
    for part in parts:
        key = (mark_of(part), part.rough_length)
        counts[key] = counts.get(key, 0) + part.count
    return [Piece(mark, length, count) for (mark, length), count in counts.items()]


def _blanks(parts: Sequence[Part]) -> list[Blank]:
    counts: dict[tuple[str, Fraction, Fraction], int] = {}
    for part in parts:
        for piece in rough_pieces(part):
            key = (mark_of(part), piece.length, piece.width)
            counts[key] = counts.get(key, 0) + piece.count * part.count
    return [Blank(mark, length, width, count) for (mark, length, width), count in counts.items()]
