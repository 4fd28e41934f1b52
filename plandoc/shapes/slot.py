"""Slot: a long hole or channel with round ends, cut with a router bit as wide as it is."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, Face, other_axes
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes import placing as p
from plandoc.shapes.areas import region, side_figures
from plandoc.shapes.loops import arc_leaders, slotted


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Slots at every place."""
    args, tell, part = context.args, context.tell, context.part
    size, face, deep, lies = args["size"], args["on"], args.get("deep"), args["lies"]
    through = args.get("through") is True
    assert isinstance(size, tuple) and isinstance(face, Face)
    if through == isinstance(deep, Fraction):
        tell.say("PD334", "a slot is either `through` or `deep`", mend='slot 1/4" x 2" deep 3/8" ..., or slot 1/4" x 2" through ...')
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
    depth = deep if isinstance(deep, Fraction) else None
    limits, places = p.depth_range(context, face, depth), p.spots(context)
    if limits is None or places is None:
        return ()
    half = (long / 2, wide / 2) if lies == axes[0] else (wide / 2, long / 2)
    found = []
    for number, spot in enumerate(places, 1):
        if not p.on_face(context, face, spot, *half, number=number, count=len(places)):
            return ()
        lo, hi = (spot.u - half[0], spot.v - half[1]), (spot.u + half[0], spot.v + half[1])
        loop = slotted(lo, hi)
        feature = region(context, "slot", face, loop, limits, depth)
        ends = arc_leaders(context, face, part.shoulder.at(face), loop)
        found.append(
            replace(
                feature, id=context.id if len(places) == 1 else f"{context.id}.{number}", figures=(*side_figures(context, face, lo, hi), *feature.figures),
                row=context.id if len(places) > 1 else "", leaders=((ends[0][0], "round ends"),),
            )
        )  # fmt: skip
    return tuple(found)


KIND = ShapeKind(
    name="slot",
    doc="A slot with round ends, by its width and its whole length.",
    params=(
        Param("size", "size", "width x length", required=True, lead=True),
        p.DEEP,
        Param("through", "flag", "goes through the part"),
        p.ON,
        Param("lies", "axis", "direction of its length", required=True),
        p.AT,
        p.FROM,
        p.ROW,
        p.EVERY,
        p.ALONG,
        p.ROWS,
        p.APART,
    ),
    apply=apply,
    example='slot 1/4" x 2" through on right lies up at 5", 6"',
)
