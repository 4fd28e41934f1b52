"""Parts of rod are round: what their square outline has and the rod lacks."""

from __future__ import annotations

from fractions import Fraction
from functools import partial

from plandoc.geometry.bodies import AXIS_NAMES, Box, Face, Loop, Point2, Prism, other_axes
from plandoc.geometry.outlines import QUARTER
from plandoc.model.cells import PartCell
from plandoc.model.entities import Feature, Part, Stock
from plandoc.model.evaluate import Evaluator
from plandoc.model.values import Unknown
from plandoc.quantity import shop_text

ROD = "rod"
"""Kind of the feature; it is bought, so nobody cuts it."""


def check_rod(part: PartCell, evaluate: Evaluator) -> None:
    """Report a part of a rod that is not as thick as the rod both ways across its length."""
    stock = part.stock
    if stock is None or stock.kind != "dowel" or part.mirrors is not None or part.loose:
        return
    box, grain, thick = evaluate.local_box(part), evaluate.grain(part), evaluate.thickness(part)
    if isinstance(box, Unknown) or grain is None or thick is None:
        return
    other = next(a for a in other_axes(grain) if a != thick)
    if box.size(other) == stock.measured:
        return
    figure = partial(shop_text, units=evaluate.units, mark=True)
    clause = evaluate.extent_clause(part, other)
    evaluate.sink.emit(
        "PD250",
        f"`{part.path}` does not have the section of its rod",
        part.span if clause is None else clause.span,
        notes=[f"{AXIS_NAMES[other]} {figure(box.size(other))}", f"`{stock.name}` is {figure(stock.measured)} thick"],
        mend=f"only the length is free: {AXIS_NAMES[other]} from ... for {figure(stock.measured)}",
    )


def is_round(stock: Stock, box: Box, axis: int) -> bool:
    """Whether a part is a rod along `axis`, as thick as it is bought."""
    return stock.kind == "dowel" and {box.size(a) for a in other_axes(axis)} == {stock.measured}


def is_rod(part: Part) -> bool:
    """Whether a finished part is a round rod, which has ends but neither faces nor edges to measure from."""
    return any(f.kind == ROD for f in part.features)


def round_rod(path: str, stock: Stock, box: Box, axis: int) -> tuple[Feature, ...]:
    """The four corners beyond the circle of a rod that lies in `box` along `axis` (mm); nothing for other stock, or for a part
    whose sizes are not those of its rod, which is told of (`check_rod`)."""
    if not is_round(stock, box, axis):
        return ()
    first, second = other_axes(axis)
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
