"""Hole: a drilled hole, through or to a depth, countersunk or counterbored; one, several, a row, or rows side by side."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Disc, Face, Frustum, Prism
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.quantity import diameter_text
from plandoc.shapes import placing as p
from plandoc.shapes.angles import FINE, angle_text, tangent
from plandoc.shapes.round_work import cylinders
from plandoc.tables import HEAD_ANGLE


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """Cylinders at every place, with the room for a head where one is wanted."""
    args, tell = context.args, context.tell
    deep, diameter = args.get("deep"), args["diameter"]
    assert isinstance(diameter, Fraction)
    if not p.through_or_deep(context, "hole", "5 mm", "12 mm"):
        return ()
    sunk, bored = args.get("countersunk"), args.get("counterbored")
    if isinstance(sunk, Fraction) and isinstance(bored, tuple):
        tell.say("PD334", "a hole is countersunk or counterbored", mend="leave one of the two out")
        return ()
    if isinstance(args.get("angle"), Fraction) and not isinstance(sunk, Fraction):
        tell.say("PD334", "only a countersunk hole has an angle", mend='countersunk 3/8" angle 90°')
        return ()
    places = p.spots(context)
    if places is None:
        return ()
    made = cylinders(context, "hole", places, diameter, deep if isinstance(deep, Fraction) else None)
    if isinstance(sunk, Fraction):
        return _headed(context, made, diameter, sunk, None)
    if isinstance(bored, tuple):
        return _headed(context, made, diameter, bored[0], bored[1])
    return made


def _headed(context: ShapeContext, holes: tuple[Feature, ...], diameter: Fraction, head: Fraction, deep: Fraction | None) -> tuple[Feature, ...]:
    """The holes with a countersink (deep None) or a counterbore for a head of that diameter."""
    tell, part, face = context.tell, context.part, context.args["on"]
    assert isinstance(face, Face)
    if head <= diameter:
        tell.say("PD334", f"a head of {tell.figure(head)} does not need more than the hole", notes=(f"the hole is {tell.figure(diameter)} wide",), mend="the head is wider than the hole")
        return ()
    angle = context.args.get("angle")
    included = angle if isinstance(angle, Fraction) else HEAD_ANGLE[tell.units.system]
    # an angle so small that its tangent is none goes deeper than any board
    down = deep if deep is not None else (head - diameter) / 2 / max(tangent(included / 2), Fraction(1, FINE))
    thick = part.shoulder.size(face.axis)
    own = context.args.get("deep")
    room = own if isinstance(own, Fraction) else thick
    if not 0 < down < room:
        tell.say("PD331", f"the head goes {tell.figure(down)} deep, the hole {tell.figure(room)}", mend="a smaller head, or a deeper hole")
        return ()
    made = []
    for number, hole in enumerate(holes, 1):
        cut = hole.cuts[0]
        assert isinstance(cut, Prism) and isinstance(cut.outline, Disc)
        spot = p.Spot(*cut.outline.centre, number, len(holes))
        if not p.on_face(context, face, spot, head / 2, head / 2):
            return ()
        plane = part.shoulder.at(face)
        lo, hi = sorted((plane, plane - face.side * down))
        size = diameter_text(head, tell.units, mark=True)
        if deep is not None:
            more: Prism | Frustum = Prism(face.axis, lo, hi, Disc(cut.outline.centre, head / 2))
            words = f"counterbored Ø{size} ↧{tell.figure(deep)}"
        else:
            wide, narrow = head / 2, diameter / 2
            radii = (narrow, wide) if face.side > 0 else (wide, narrow)
            more = Frustum(face.axis, lo, hi, cut.outline.centre, *radii)
            words = f"countersunk Ø{size} × {angle_text(included)}"
        made.append(replace(hole, cuts=(cut, more), note=words))
    return tuple(made)


KIND = ShapeKind(
    name="hole",
    doc="A drilled hole; with `row` a line of them, with `rows` several lines side by side. Room for a screw head: `countersunk` with the diameter of the head (82° in a plan in inches, 90° in millimetres, unless `angle` says otherwise), or `counterbored` with diameter and depth.",
    params=(
        Param("diameter", "length", "diameter", required=True, lead=True),
        p.DEEP,
        p.THROUGH,
        p.ON,
        p.AT,
        *p.REPEATED,
        Param("countersunk", "length", "diameter of a countersunk head"),
        Param("angle", "included", "included angle of the countersink, if not the usual one"),
        Param("counterbored", "size", "diameter x depth of the room for a head"),
    ),
    apply=apply,
    example='hole 5 mm deep 12 mm on right at 2", 4" row 8 every 32 mm along up',
)
