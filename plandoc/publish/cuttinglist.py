"""cutting.csv: every piece that is cut, with its place on its sheet, board or bar (mm from the corner at both fences)."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.model.sawn import mark_of_cutout
from plandoc.publish.lists import csv_text
from plandoc.publish.packetlists import decimal
from plandoc.shopwork.layouts import StockLayout

CUTTING_COLUMNS = ("stock", "from", "number", "part", "x_mm", "y_mm", "length_mm", "width_mm", "turned", "waste_percent", "least", "proved")


def cutting_csv(found: Sequence[StockLayout]) -> str:
    """One row a piece, named by the mark of its part. least: no way of cutting takes fewer sheets, bars or boards, those from the rack left out; proved: the
    layout reaches it. A piece that found no room has no number and no place."""
    return csv_text(CUTTING_COLUMNS, [row for layout in found for row in _rows(layout)])


def _rows(layout: StockLayout) -> list[tuple[str, ...]]:
    name, rows = layout.stock.name, []
    some = layout.laid
    ends = (decimal(Fraction(some.bound)), "yes" if some.proved else "no")
    if layout.sheets is not None:
        for n, s in enumerate(layout.sheets.sheets, 1):
            waste = decimal(round(s.waste * 1000 / (s.sheet.length * s.sheet.width)) / Fraction(10))
            for p in s.placed:
                rows.append((name, s.sheet.name, str(n), mark_of_cutout(p.part), *map(decimal, (p.x, p.y, p.length, p.width)), "yes" if p.turned else "", waste, *ends))
    if layout.bars is not None:
        for n, b in enumerate(layout.bars.bars, 1):
            at = layout.saw.trim
            for part, length in b.pieces:
                rows.append((name, b.bar.name if layout.assumed else f"bar {b.bar.name}", str(n), part, decimal(at), "", decimal(length), "", "", "", *ends))
                at += length + layout.saw.kerf
    for part, count in some.unplaced:
        rows += [(name, "no room", "", mark_of_cutout(part), "", "", "", "", "", "", *ends)] * count
    return rows


def layout_rows(found: Sequence[StockLayout]) -> tuple[dict[str, str], ...]:
    """The rows of cutting.csv with the names of their columns, as model.json tells them."""
    return tuple(dict(zip(CUTTING_COLUMNS, row, strict=True)) for layout in found for row in _rows(layout))
