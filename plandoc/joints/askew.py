"""Joints of parts that lean differently: one lies on the other; screws and dowels go in square to the part that they
enter first, and the hole in the other part is drilled in place."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box, Face, Point3, other_axes
from plandoc.geometry.lean import STILL
from plandoc.joints.fastening import driven, holes, moved, row
from plandoc.model.entities import Fastening, Feature, HardwareItem, Joint
from plandoc.model.kinds import JointEffect, LeaningContext

ZERO = Fraction(0)


def lying(context: LeaningContext) -> JointEffect:
    """A lies on B; the record and the holes of its fasteners."""
    points = context.area
    lo, hi = [min(p[a] for p in points) for a in AXES], [max(p[a] for p in points) for a in AXES]
    room = Box((lo[0], lo[1], lo[2]), (hi[0], hi[1], hi[2]))
    normal = context.normal
    axis = max(AXES, key=lambda a: (abs(normal[a]), a))
    entry = Face(axis, 1 if normal[axis] > 0 else -1)
    first, second = other_axes(axis)
    run, across = (first, second) if room.size(first) >= room.size(second) else (second, first)
    fasteners, holes = _fastened(context)
    joint = Joint(
        context.id, context.kind, context.a.path, context.b.path, entry, entry.opposite, ZERO, ZERO, ZERO, ZERO, ZERO, run, across,
        room, fasteners=fasteners, span=context.tell.span,
    )  # fmt: skip
    return JointEffect(joint, (), holes)


def _fastened(context: LeaningContext) -> tuple[tuple[Fastening, ...], tuple[Feature, ...]]:
    item, b, face = context.args.get("with"), context.b, context.b_face
    if not isinstance(item, HardwareItem):
        return (), ()
    if item.kind not in ("dowel", "screw"):
        context.tell.say("PD323", f"`{item.name}` is neither a dowel nor a screw", notes=(f"it is a {item.kind}",), mend='hardware screw8 screw No 8 long 2"')
        return (), ()
    if face is None:
        context.tell.say("PD323", f"screws and dowels go through a square face of `{b.path}`, here an end that is sawn askew meets", mend="leave them out, or fit blocks behind the joint")
        return (), ()
    back = (b.lean or STILL).inverse()
    local = [back.point(p) for p in context.area]
    first, second = other_axes(face.axis)
    spans = {a: (min(p[a] for p in local), max(p[a] for p in local)) for a in (first, second)}
    run, across = (first, second) if spans[first][1] - spans[first][0] >= spans[second][1] - spans[second][0] else (second, first)
    middle = (spans[across][0] + spans[across][1]) / 2
    pin = driven(context, item, b.box.size(face.axis))
    places = None if pin is None else row(context, item.kind, pin.wide, _span_at(local, run, across, middle), b.datum[run])
    if pin is None or places is None:
        return (), ()
    grid, out = context.tell.units.step_mm, face.opposite
    outside = b.box.at(out)
    centres: list[Point3] = []
    for place in places:
        point = [ZERO] * 3
        point[run] = _printed(place, b.box.lo[run] if b.datum[run] < 0 else b.box.hi[run], grid)
        point[across] = _printed(middle, b.box.lo[across] if b.datum[across] < 0 else b.box.hi[across], grid)
        point[face.axis] = outside
        centres.append((point[0], point[1], point[2]))
    row_name = f"{context.id}.b" if len(places) > 1 else ""
    features = holes(context, b, context.a.path, item.kind, out, centres, pin.bore, outside, b.box.at(face), row_name, through=True, sunk=pin.sunk)
    axis = max(AXES, key=lambda a: (abs(context.normal[a]), a))
    stands = (b.lean or STILL).point
    heads = tuple(stands(moved(c, out.axis, -out.side * pin.start)) for c in centres)
    made = [Fastening(item.kind, item.name, pin.bore, pin.long, heads, axis, context.tell.span)]
    if pin.sunk.plug:
        made.append(Fastening("plug", "", pin.sunk.wide, pin.sunk.deep, tuple(stands(c) for c in centres), axis, context.tell.span))
    return tuple(made), features


def _span_at(corners: Sequence[Point3], run: int, across: int, level: Fraction) -> tuple[Fraction, Fraction]:
    """From where to where a convex area reaches along `run` on the line of the screws, at that level of the axis `across`: of
    a slanted area that is less than the box round it."""
    found: list[Fraction] = []
    for p, q in zip(corners, (*corners[1:], corners[0]), strict=True):
        if p[across] == level:
            found.append(p[run])
        if (p[across] - level) * (q[across] - level) < 0:
            found.append(p[run] + (q[run] - p[run]) * (level - p[across]) / (q[across] - p[across]))
    return min(found), max(found)


def _printed(place: Fraction, datum: Fraction, step: Fraction) -> Fraction:
    """The place moved so that its distance from the reference face is a figure that the plan prints: the contact of
    leaning parts falls between the steps, and where a screw sits within it is free."""
    return datum + round((place - datum) / step) * step

