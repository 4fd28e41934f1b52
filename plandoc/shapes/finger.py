"""Finger notch: a round recess on the rim of a pocket, so that a finger gets under what lies in it."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face, body_box, other_axes
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes.placing import Spot
from plandoc.shapes.round_work import cylinders


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """A disc whose middle lies on the rim of the pocket above, on the side that is named."""
    owner, args = context.owner, context.args
    side, diameter, deep = args["to"], args["diameter"], args.get("deep")
    if owner is None or owner.face is None or owner.centre is None:
        context.tell.say("PD336", "a finger notch belongs to a pocket", mend="indent it below the pocket")
        return ()
    assert isinstance(side, Face) and isinstance(diameter, Fraction)
    if side.axis == owner.face.axis:
        context.tell.say("PD332", f"a pocket in the face {owner.face.name} has no side towards {side.name}")
        return ()
    reach = _reach(owner, side)
    first, second = other_axes(owner.face.axis)
    u, v = owner.centre[first], owner.centre[second]
    if side.axis == first:
        u += side.side * reach
    else:
        v += side.side * reach
    depth = deep if isinstance(deep, Fraction) else owner.depth
    inner = ShapeContext(context.id, context.part, {**args, "on": owner.face}, context.tell, owner)
    return cylinders(inner, "finger", (Spot(u, v),), diameter, depth, open_edges=True)


def _reach(owner: Feature, side: Face) -> Fraction:
    if owner.diameter is not None:
        return owner.diameter / 2
    return body_box(owner.cuts[0]).size(side.axis) / 2


KIND = ShapeKind(
    name="finger",
    doc="A finger notch on the rim of the pocket that it is indented under; as deep as the pocket unless `deep` says otherwise.",
    params=(Param("diameter", "length", "diameter", required=True, lead=True), Param("to", "face", "the side of the pocket", required=True), Param("deep", "length", "depth from the face")),
    apply=apply,
    example='finger 1" to front',
    below="pocket",
)
