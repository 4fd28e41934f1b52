"""Parts and sheets as the saw meets them: before banding, with allowances; kerf and trim."""

from __future__ import annotations

from fractions import Fraction

from plandoc.cutting.stock import Saw, Sheet
from plandoc.geometry.bodies import Box
from plandoc.model.entities import Model, Part, Stock
from plandoc.tables.sawing import KEEP, KERF, TRIM

BAND = "edge band"
"""The kind of the feature that a banded edge is."""


def sawn_box(part: Part) -> Box:
    """The part as it is sawn, before its edges are banded (mm)."""
    box = part.box
    for feature in part.features:
        if feature.kind == BAND and feature.face is not None:
            strip = next((f for f in feature.figures if f.role == "band"), None)
            if strip is not None:
                box = box.with_face(feature.face, box.at(feature.face) - feature.face.side * (strip.hi - strip.lo))
    return box


def saw_of(model: Model) -> Saw:
    """The saw that is assumed for the plan (mm)."""
    system = "inch" if model.info.units.system == "inch" else "mm"
    return Saw(KERF[system], TRIM[system], *KEEP[system])


def sawn_size(part: Part) -> tuple[Fraction, Fraction]:
    """Length and width of a sheet part at the saw (mm): before banding, with its allowance."""
    box = sawn_box(part)
    return box.size(part.length_axis) + part.allowance.long, box.size(part.width_axis) + part.allowance.wide


def sheets_of(stock: Stock) -> list[Sheet]:
    """The full sheet, as many as wanted, and the offcuts in the rack. Needs width and length of the stock."""
    assert stock.width is not None and stock.length is not None
    price = stock.price if stock.price is not None and stock.price_unit == "sheet" else Fraction(1)
    rack = [
        Sheet(f"offcut {n + 1}", length, width, Fraction(0), stock.rack.count((width, length)), True)
        for n, (width, length) in enumerate(dict.fromkeys(stock.rack))
    ]
    return [*rack, Sheet("sheet", stock.length, stock.width, price)]
