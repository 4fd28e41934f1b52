"""Round: an edge with a quarter-round along it, or a round corner of the outline."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.transform import face_word
from plandoc.shapes import edges as e

TO_ARC = Fraction(292893, 1000000)  # 1 - cos 45 degrees: from the corner to the middle of the arc, on each side


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """The edges of a face from end to end, or corners through the part."""
    radius, face = context.args["radius"], context.args["on"]
    assert isinstance(radius, Fraction) and isinstance(face, Face)
    pairs = e.chosen(context)
    if pairs is None or not e.fits(context, pairs, radius, radius):
        return ()
    at_edges = pairs[0][0] == face
    words = f"R {context.tell.figure(radius)}" + (" edge" if at_edges else "")
    return (
        Feature(
            context.id,
            "round-over" if at_edges else "round corner",
            face,
            cuts=tuple(e.edge_prism(context.part.box, pair, radius, radius, True) for pair in pairs),
            through=not at_edges,
            leaders=tuple((e.edge_point(context.part, face, pair, (radius * TO_ARC, radius * TO_ARC)), words) for pair in pairs),
            note=f"R {context.tell.figure(radius)}" + (f", {e.names(pairs, face)} of the {face_word(face)}" if at_edges else ""),
            span=context.tell.span,
        ),
    )


KIND = ShapeKind(
    name="round",
    doc="A round edge: all edges of a face from end to end, or those that `at` names. They are the straight edges of the board: what an arch, an outline or a taper makes new stays square (PD348 tells of it). With `corners` or `corner` the corners of the outline, through the part.",
    params=(Param("radius", "length", "radius", required=True, lead=True), e.ON, e.AT, e.CORNERS, e.CORNER),
    apply=apply,
    example='round 1/8" on right at front\nround 1" on right corner top, front',
)
