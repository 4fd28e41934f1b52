"""Caster: a plate with four screws below a part, and the height that it lifts the piece."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXIS_NAMES, FACES, Face, other_axes
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.model.kinds import FitContext, FitEffect, HardwareKind, Param


def fit(context: FitContext) -> FitEffect | None:
    """Four pilot holes for each plate; the room below is its height and the circle that it swings in."""
    face, item, tell = context.args["facing"], context.item, context.tell
    assert isinstance(face, Face)
    axes = other_axes(face.axis)
    along = context.args.get("along")
    long = along if isinstance(along, int) else axes[0]
    if long not in axes:
        tell.say("PD333", f"a plate on the face {face.name} cannot lie {AXIS_NAMES[long]}", mend="along " + " or along ".join(AXIS_NAMES[a] for a in axes))
        return None
    across = next(a for a in axes if a != long)
    high, swing = item.size("high") or Fraction(0), item.size("swing") or Fraction(0)
    plate, holes = ({long: item.size(f"{n}_1") or Fraction(0), across: item.size(f"{n}_2") or Fraction(0)} for n in ("plate", "spaced"))
    work, total = d.Work(context), 0
    for part in context.parts:
        spots = d.places(part, face, context.args)
        if not spots:
            tell.say("PD319", f"`{item.name}` needs its places", mend='inset 2", or at 2", 2"')
            return None
        plane = part.shoulder.at(face)
        for spot in spots:
            for axis in axes:
                lo, hi = part.shoulder.span(axis)
                over = max(lo - (spot[axis] - plate[axis] / 2), spot[axis] + plate[axis] / 2 - hi)
                if over > 0:
                    tell.say("PD330", f"the plate of `{item.name}` reaches {tell.figure(over)} over an edge of `{part.path}`", mend=f"place its middle at least {tell.figure(plate[axis] / 2)} from the edge")
                    return None
            work.room((face.axis, plane, plane + face.side * high), *((a, spot[a] - max(swing, plate[a] / 2), spot[a] + max(swing, plate[a] / 2)) for a in axes))
        screws = [
            d.point(face.axis, plane, [(long, s[long] + i * holes[long] / 2), (across, s[across] + j * holes[across] / 2)])
            for s in spots for i in (-1, 1) for j in (-1, 1)
        ]  # fmt: skip
        work.pilots(part, face, screws)
        total += len(spots)
    return work.effect(total)


KIND = HardwareKind(
    name="caster",
    doc="A wheel on a screwed plate. `high` is its total height, from the floor to the part that it carries.",
    params=(
        Param("high", "length", "total height, from the floor to the part", required=True, above=True),
        Param("plate", "size", "two sides of its plate", required=True, above=True),
        Param("spaced", "size", "distances of its four screws along the same two sides", required=True, above=True),
        Param("swing", "length", "radius of the circle that it swings in; left out, it is fixed"),
        *c.SCREWED,
        c.LOAD,
        c.PRICE,
    ),
    fit_params=(d.AT, d.FROM, d.CORNERS, Param("facing", "face", "the face that it is screwed on", default=FACES["bottom"]), Param("along", "axis", "direction of the first side of the plate")),
    fit=fit,
    example='hardware wheel caster "Swivel caster, 2 in" high 2 1/2" plate 2 3/8" x 1 3/4" spaced 1 3/4" x 1 1/8" swing 2" screws 4 load 80 lb',
    source="four screws a plate: common practice; all sizes are the maker's",
)
