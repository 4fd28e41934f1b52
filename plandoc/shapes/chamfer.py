"""Chamfer: an edge planed off flat, or a corner of the outline sawn off."""

from __future__ import annotations

import math
from fractions import Fraction

from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import edges as e
from plandoc.shapes.angles import angle_text


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The edges of a face from end to end, or corners through the part."""
    size, figure = context.args["size"], context.tell.figure
    assert isinstance(size, tuple)
    if len(size) > 2:
        context.tell.say("PD217", "a chamfer has one or two sizes", mend='chamfer 1/4" on top, or chamfer 1/4" x 3/8" on top')
        return ()
    first, second = size[0], size[-1]
    words = f"{figure(first)} × 45°"
    if first != second:
        slope = math.degrees(math.atan2(float(second), float(first)))
        words = f"{figure(first)} × {figure(second)} ({angle_text(round(slope * 10**6) / Fraction(10**6))})"
    return e.worked(context, ("chamfer", "cut corner"), first, second, words)


KIND = ShapeKind(
    name="chamfer",
    doc="A flat at an edge of a face: all edges from end to end, or those that `at` names. They are the straight edges of the board: what an arch, an outline or a taper makes new stays square (PD348 tells of it). The first size is measured along the face, the second, where there is one, down the side. With `corners` or `corner` the corners of the outline, through the part; of a corner the first size is measured along its first side.",
    params=(Param("size", "sizes", "size, or two", required=True, lead=True), e.ON, e.AT, e.CORNERS, e.CORNER),
    apply=apply,
    example='chamfer 1/8" on right at front, rear\nchamfer 1" x 2" on right corner top, front',
)
