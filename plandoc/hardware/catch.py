"""Catch: its body on a part of the case, its strike on the inner face of the door."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Face
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param


def fit(context: FitContext) -> FitEffect | None:
    """Two pilot holes for the body and one for the strike, in line."""
    pairs = d.in_pairs(context, "the door, then the part that carries the catch")
    if pairs is None:
        return None
    work, tell, total = d.Work(context), context.tell, 0
    spaced, behind, high = (context.item.size(n) or Fraction(0) for n in ("spaced", "set", "high"))
    for door, part in pairs:
        through, across = door.thickness_axis, part.thickness_axis
        if through == across:
            tell.say("PD318", f"`{door.path}` and `{part.path}` lie in the same direction: the catch sits on a part square to the door", mend="name the door first, then the shelf, top or side that carries the catch")
            return None
        inner = d.towards(door, part.shoulder, through)
        given = context.args.get("facing")
        face = given if isinstance(given, Face) else d.towards(part, door.shoulder, across)
        if face.axis != across:
            tell.say("PD332", f"a catch does not sit on the {face.name} edge of `{part.path}`", mend=f"facing {Face(across, -1).name} or facing {Face(across, 1).name}")
            return None
        run = 3 - through - across
        plane, front = part.shoulder.at(face), door.shoulder.at(inner)
        line, middle = front + inner.side * behind, plane + face.side * high
        at = d.stations(context, door, run, 1, spaced)
        if at is None:
            return None
        body = [d.point(across, plane, [(through, line), (run, one + turn * spaced / 2)]) for one in at for turn in (-1, 1)]
        work.pilots(part, face, body)
        if not work.good:
            return None
        work.pilots(door, inner, [d.point(through, front, [(across, middle), (run, one)]) for one in at])
        for one in at:
            work.room((across, plane, plane + face.side * 2 * high), (through, front, front + inner.side * 2 * behind), (run, one - spaced, one + spaced))
        total += len(at)
    return work.effect(total)


KIND = HardwareKind(
    name="catch",
    doc="A catch for a door, such as a magnetic one: the body is screwed on the case, the strike on the door.",
    params=(
        Param("spaced", "length", "distance between the two screws of the body", required=True, above=True),
        Param("set", "length", "line of these screws behind the inner face of the door", required=True, above=True),
        Param("high", "length", "middle of the strike above the face that carries the body", required=True, above=True),
        *c.SCREWED,
        c.PRICE,
    ),
    fit_params=(
        Param("at", "lengths", "places along the door, measured from its left or bottom end"),
        d.FROM,
        d.NUMBER,
        d.ENDS,
        Param("facing", "face", "face of the case part; left out, the one that looks to the middle of the door"),
    ),
    fit=fit,
    example='hardware magnet catch "Magnetic catch" spaced 1 1/4" set 1/2" high 1/4" screws 3',
    source="two screws in the body, one in the strike: common practice; all sizes are the maker's",
)
