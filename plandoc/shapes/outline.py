"""Outline: the whole part sawn to a free outline of lines and arcs."""

from __future__ import annotations

from plandoc.geometry.bodies import Face
from plandoc.model.entities import Feature
from plandoc.model.kinds import ShapeContext, ShapeKind
from plandoc.shapes import placing as p
from plandoc.shapes.loops import arc_leaders, corner_figures, free_outline, outside


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Cut everything away that lies outside of the outline."""
    face, part = context.args["on"], context.part
    assert isinstance(face, Face)
    loop = free_outline(context, face)
    if loop is None:
        return ()
    cuts = outside(part, face, loop)
    if not cuts:
        context.tell.say("PD296", "this outline is that of the board itself", mend="leave it out")
        return ()
    leaders = arc_leaders(context, face, part.box.at(face), loop)
    return (Feature(context.id, "outline", face, cuts=cuts, figures=corner_figures(part, face, loop), through=True, leaders=leaders, span=context.tell.span),)


KIND = ShapeKind(
    name="outline",
    doc="A free outline for the whole part, seen on a face. The lines below go once round it: `start` with a place, `line to` a place, `arc to` a place with its `radius` or its `rise` over the straight line, and `turning left` or `turning right` as one walks; the last place is joined to the first. Places are measured from the left, front or bottom edges of the face.",
    params=(p.ON, p.FROM),
    apply=apply,
    example='outline on right\n  start   0, 0\n  line to 8", 0\n  line to 8", 6"\n  arc  to 4", 10" radius 4" turning left\n  line to 0, 10"',
    drawn=True,
)
