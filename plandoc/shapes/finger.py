"""Finger notch: a round recess on the rim of a pocket, so that a finger gets under what lies in it."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Face, body_box, other_axes
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes.areas import middle_of_owner
from plandoc.shapes.round_work import cylinders


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """A disc whose middle lies on the rim of the pocket above, on the side that is named."""
    owner, args = context.owner, context.args
    side, diameter, deep = args["to"], args["diameter"], args.get("deep")
    assert isinstance(side, Face) and isinstance(diameter, Fraction)
    depth = deep if isinstance(deep, Fraction) else owner.depth if owner is not None else None
    sample = f"pocket round {context.tell.figure(diameter)} deep {context.tell.figure(depth) if depth is not None else '...'}"
    found = middle_of_owner(context, "finger", sample)
    if owner is None or found is None:
        return ()
    face, middle = found
    if side.axis == face.axis:
        context.tell.say("PD332", f"a pocket in the face {face.name} has no side towards {side.name}")
        return ()
    off = side.side * _reach(owner, side)
    spot = middle.moved(other_axes(face.axis).index(side.axis), off)
    inner = replace(context, args={**args, "on": face})
    return cylinders(inner, "finger", (spot,), diameter, depth, open_edges=True)


def _reach(owner: Feature, side: Face) -> Fraction:
    if owner.diameter is not None:
        return owner.diameter / 2
    return body_box(owner.cuts[0]).size(side.axis) / 2


KIND = ShapeKind(
    name="finger",
    doc="A finger notch on the rim of the pocket that it is indented under; as deep as the pocket unless `deep` says otherwise. A pocket of a free outline has no middle to place it by.",
    params=(Param("diameter", "length", "diameter", required=True, lead=True), Param("to", "face", "the side of the pocket", required=True), Param("deep", "length", "depth from the face")),
    apply=apply,
    example='finger 1" to front',
    below="pocket",
)
