"""Butt hinge: two leaves, each let into its part or screwed on its surface."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box, Face
from plandoc.hardware import common as c
from plandoc.hardware import drilling as d
from plandoc.hardware.doors import Hanging, check_number, hanging, usual_number
from plandoc.model.entities import HardwareItem
from plandoc.model.kinds import FitContext, FitEffect, Frame, HardwareKind, Param


def fit(context: FitContext) -> FitEffect | None:
    """A gain and its pilot holes in the door and in the part beside it, at the same heights."""
    pairs = d.in_pairs(context, "the door, then the part that carries it")
    if pairs is None:
        return None
    work, total = d.Work(context), 0
    leaf, thick, long = (context.item.size(n) or Fraction(0) for n in ("leaf_1", "leaf_2", "long"))
    for door, side in pairs:
        hung = hanging(context, door, side)
        if hung is None:
            return None
        heights = d.stations(context, door, hung.run, usual_number(context, hung), long)
        if heights is None:
            return None
        check_number(context, hung, len(heights))
        door_face, side_face, pin = _faces(hung)
        deep = _let_in(context, hung, door_face, side_face, thick)
        for at in heights:
            for part, face in ((door, door_face), (side, side_face)):
                edge = part.shoulder.at(pin)
                if not hung.lapped and (edge - door.shoulder.at(pin)) * pin.side > 0:
                    edge = door.shoulder.at(pin)  # the side goes on beyond the door: both leaves begin at the pin
                _leaf(work, context.item, part, face, pin, edge, (leaf, deep, long), hung.run, at)
            plane, barrel = door.shoulder.at(pin), pin.side * 2 * thick
            middle = (door.shoulder.at(door_face) + side.shoulder.at(side_face)) / 2
            work.room((pin.axis, plane, plane + barrel), (door_face.axis, middle - thick, middle + thick), (hung.run, at - long / 2, at + long / 2))
        total += len(heights)
    return work.effect(total)


def _faces(hung: Hanging) -> tuple[Face, Face, Face]:
    """The faces of door and side that look at each other, and the side on which the pin stands."""
    if hung.lapped:
        return hung.inner, hung.inner.opposite, hung.edge
    return hung.edge, hung.inside, hung.inner.opposite


def _let_in(context: FitContext, hung: Hanging, door_face: Face, side_face: Face, thick: Fraction) -> Fraction:
    """How deep each gain is (mm): closed, the two leaves lie on each other, and what the gap has no room for is let in by half
    into either part. PD453 where leaves on the surface have no room, or where the gap is wider than both."""
    gap = max(Fraction(0), (hung.side.shoulder.at(side_face) - hung.door.shoulder.at(door_face)) * door_face.side)
    tell, surface = context.tell, context.args.get("surface") is True
    if (surface and gap < 2 * thick) or (not surface and gap > 2 * thick):
        mend = "let the leaves in: leave `surface` out, or make the door narrower" if surface else f"make the gap {tell.below(2 * thick)} or less, or pack the leaves up and say `surface`"
        tell.say("PD453", f"two leaves of `{context.item.name}` take {tell.figure(2 * thick)}, between `{hung.door.path}` and `{hung.side.path}` are {tell.figure(gap)}", mend=mend)
    return Fraction(0) if surface or gap > 2 * thick else (2 * thick - gap) / 2


def _leaf(work: d.Work, item: HardwareItem, part: Frame, face: Face, pin: Face, edge: Fraction, size: tuple[Fraction, Fraction, Fraction], run: int, at: Fraction) -> None:
    """One leaf: from the edge at the pin inwards. edge: coordinate of the pin's line; size: its width, the depth of its gain, its length."""
    leaf, deep, long = size
    far = edge - pin.side * leaf
    lo, hi = [Fraction(0)] * 3, [Fraction(0)] * 3
    for axis, pair in ((pin.axis, (edge, far)), (run, (at - long / 2, at + long / 2)), (face.axis, part.shoulder.span(face.axis))):
        lo[axis], hi[axis] = min(pair), max(pair)
    if deep:
        work.gain(part, face, Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2])), deep)
    places = [value for name, value in item.sizes if name.startswith("holes_")]
    if places and work.good:
        plane, line = part.shoulder.at(face), (edge + far) / 2
        screws = [d.point(face.axis, plane, [(pin.axis, line), (run, at - long / 2 + place)]) for place in places]
        work.pilots(part, face, screws, deep)


KIND = HardwareKind(
    name="butt_hinge",
    doc="A hinge of two leaves with the pin at the edge of the door. What the gap has no room for of the two leaves is let in, by half into either part, unless the `fit` line says `surface`.",
    params=(
        Param("long", "length", "length of the leaves along the pin", required=True, above=True),
        Param("leaf", "size", "width of one leaf x its thickness", required=True, above=True),
        Param("holes", "lengths", "screw holes of one leaf, measured from its end", above=True),
        *c.SCREWED,
        c.PRICE,
    ),
    fit_params=(d.STATIONS, d.FROM, d.NUMBER, d.ENDS, Param("surface", "flag", "the leaves lie on the wood, not in gains")),
    fit=fit,
    example='hardware butt butt_hinge "Butt hinge, 2 in" long 2" leaf 9/16" x 1/16" holes 3/8", 1", 1 5/8" screws 6',
    source="gains of two leaves less the gap, half in either part: common practice; number by height and weight: from memory, tables/data/hinges.csv",
)
