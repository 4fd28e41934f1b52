"""Step: a second level in a pocket, a deeper seat or a ring round a core, about the pocket's own middle."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Box, Loop, Prism, body_box
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.shapes.areas import RADIUS, ROUND, SIZE, middle_of_owner, rectangles
from plandoc.shapes.round_work import cylinders


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """One level about the middle of the pocket above."""
    args, tell, owner = context.args, context.tell, context.owner
    size, diameter, deep, core = args.get("size"), args.get("round"), args["deep"], args.get("core")
    assert isinstance(deep, Fraction)
    if isinstance(size, tuple) == isinstance(diameter, Fraction):
        tell.say("PD335", "a step has either two sides or a diameter", mend='step round 1" deep 5/8", or step 2" x 1" deep 5/8"')
        return ()
    shape = f"round {tell.figure(diameter)}" if isinstance(diameter, Fraction) else " x ".join(tell.figure(s) for s in size) if isinstance(size, tuple) else ""
    found = middle_of_owner(context, "step", f"pocket {shape} deep {tell.figure(deep)}")
    if owner is None or found is None:
        return ()
    face, middle = found
    inner = replace(context, args={**args, "on": face})
    radius = args.get("radius")
    if isinstance(diameter, Fraction):
        made = cylinders(inner, "step", (middle,), diameter, deep)
    else:
        assert isinstance(size, tuple)
        made = rectangles(inner, "step", (middle,), size, deep, radius if isinstance(radius, Fraction) else Fraction(0))
    if not made:
        return ()
    room, pocket = body_box(made[0].cuts[0]), _room(owner)
    if owner.depth is not None and deep <= owner.depth and room.common(pocket) == room:
        tell.say("PD331", f"a step {tell.figure(deep)} deep takes nothing out of a pocket that is as deep", notes=(f"the pocket is {tell.figure(owner.depth)} deep, and the step lies within it",), mend="make the step deeper, or wider than the pocket")
        return ()
    # the middle is that of the pocket, so its place is not figured again
    step = replace(made[0], figures=tuple(f for f in made[0].figures if f.role != "place"))
    if not isinstance(core, Fraction):
        return (step if isinstance(diameter, Fraction) else replace(step, note="in the middle of the pocket"),)
    if not isinstance(diameter, Fraction) or not 0 < core < diameter:
        tell.say("PD335", "a core stands in a round step and is smaller than it", mend='step round 2" core 1" deep 5/8"')
        return ()
    lo, hi = room.span(face.axis)
    rings = _rings(middle.place, diameter / 2, core / 2)
    words = f"core Ø{tell.figure(core)}"
    return (replace(step, cuts=tuple(Prism(face.axis, lo, hi, ring) for ring in rings), note=words),)


def _room(owner: Feature) -> Box:
    return body_box(owner.cuts[0])


def _rings(centre: tuple[Fraction, Fraction], outer: Fraction, inner: Fraction) -> tuple[Loop, Loop]:
    """The two halves of a ring."""
    (x, y), one, none = centre, Fraction(1), Fraction(0)
    right = Loop(((x, y - outer), (x, y + outer), (x, y + inner), (x, y - inner)), (one, none, -one, none))
    left = Loop(((x, y + outer), (x, y - outer), (x, y - inner), (x, y + inner)), (one, none, -one, none))
    return right, left


KIND = ShapeKind(
    name="step",
    doc="A second level about the middle of the pocket: a deeper seat in it, or a wider and shallower one round it. `core` leaves a round core standing, so that a ring is cut. A pocket of a free outline has no middle to place it by.",
    params=(SIZE, ROUND, RADIUS, Param("core", "length", "diameter of the core that is left standing"), Param("deep", "length", "depth from the face", required=True)),
    apply=apply,
    example='step round 1" deep 1/2"',
    below="pocket",
)
