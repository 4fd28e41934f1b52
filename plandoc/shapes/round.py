"""Round: an edge with a quarter-round along it, or a round corner of the outline."""

from __future__ import annotations

from fractions import Fraction

from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import edges as e


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The edges of a face from end to end, or corners through the part."""
    radius = context.args["radius"]
    assert isinstance(radius, Fraction)
    return e.worked(context, ("round-over", "round corner"), radius, radius, f"R {context.tell.figure(radius)}", arc=True)


KIND = ShapeKind(
    name="round",
    doc="A round edge: all edges of a face from end to end, or those that `at` names. They are the straight edges of the board: what an arch, an outline or a taper makes new stays square (PD348 tells of it). With `corners` or `corner` the corners of the outline, through the part.",
    params=(Param("radius", "length", "radius", required=True, lead=True), e.ON, e.AT, e.CORNERS, e.CORNER),
    apply=apply,
    example='round 1/8" on right at front\nround 1" on right corner top, front',
)
