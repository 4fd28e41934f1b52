"""Parts of rod are round: what their square outline has and the rod lacks."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, Loop, Point2, Prism, other_axes
from plandoc.geometry.outlines import QUARTER
from plandoc.model.entities import Feature, Stock

ROD = "rod"
"""Kind of the feature; it is bought, so nobody cuts it."""


def round_rod(path: str, stock: Stock, box: Box, axis: int) -> tuple[Feature, ...]:
    """The four corners beyond the circle of a rod that lies in `box` along `axis` (mm); nothing for other stock, or where the
    plan gives the part other sizes than those of its rod."""
    first, second = other_axes(axis)
    if stock.kind != "dowel" or {box.size(first), box.size(second)} != {stock.measured}:
        return ()
    radius = stock.measured / 2
    cuts = []
    for x, side in ((box.lo[first], 1), (box.hi[first], -1)):
        for y, up in ((box.lo[second], 1), (box.hi[second], -1)):
            # from the corner along the one edge, back round the circle to the other, counter-clockwise
            ends: tuple[Point2, Point2] = ((x + side * radius, y), (x, y + up * radius))
            one, two = ends if side * up > 0 else ends[::-1]
            loop = Loop(((x, y), one, two), (Fraction(0), -QUARTER, Fraction(0)))
            cuts.append(Prism(axis, *box.span(axis), loop))
    return (Feature(f"{path}.{ROD}", ROD, Face(axis, -1), cuts=tuple(cuts), through=True),)
