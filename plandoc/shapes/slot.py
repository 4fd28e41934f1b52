"""Slot: a long hole or channel with round ends, cut with a router bit as wide as it is."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, Face, other_axes
from plandoc.geometry.outlines import slotted
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import placing as p
from plandoc.shapes.areas import along_axes
from plandoc.shapes.loops import arc_leaders


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Slots at every place."""
    args, tell, part = context.args, context.tell, context.part
    size, face, deep, lies = args["size"], args["on"], args.get("deep"), args["lies"]
    assert isinstance(size, tuple) and isinstance(face, Face)
    if not p.through_or_deep(context, "slot", '1/4" x 2"', '3/8"'):
        return ()
    axes = other_axes(face.axis)
    if lies not in axes:
        assert isinstance(lies, int)
        tell.say("PD333", f"a slot on this face cannot lie {AXIS_NAMES[lies]}", mend="lies " + " or lies ".join(AXIS_NAMES[a] for a in axes))
        return ()
    wide, long = size
    if not 0 < wide < long:
        tell.say("PD331", f"a slot {tell.figure(wide)} wide and {tell.figure(long)} long has no round ends", mend='the width first, then the greater length: slot 1/4" x 2"')
        return ()
    depth, places = p.depth_of(context, face, deep if isinstance(deep, Fraction) else None), p.spots(context)
    if depth is None or places is None:
        return ()
    half = (long / 2, wide / 2) if lies == axes[0] else (wide / 2, long / 2)
    return along_axes(context, "slot", places, half, depth, slotted, lambda loop: ((arc_leaders(context, face, part.shoulder.at(face), loop)[0][0], "round ends"),))


KIND = ShapeKind(
    name="slot",
    doc="A slot with round ends, by its width and its whole length.",
    params=(
        Param("size", "size", "width x length", required=True, lead=True),
        p.DEEP,
        p.THROUGH,
        p.ON,
        Param("lies", "axis", "direction of its length", required=True),
        p.AT,
        *p.REPEATED,
    ),
    apply=apply,
    example='slot 1/4" x 2" through on right lies up at 5", 6"',
)
