"""Joints of parts that lean differently: one lies on the other; screws and dowels go in square to the part that they
enter first, and the hole in the other part is drilled in place."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box, Disc, Face, Point3, Prism, other_axes
from plandoc.geometry.lean import STILL
from plandoc.joints.fastening import drill, spaced
from plandoc.model.entities import Fastening, Feature, Figure, HardwareItem, Joint
from plandoc.model.kinds import JointEffect, LeaningContext
from plandoc.tables import shank_and_lead

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
    thick = b.box.size(face.axis)
    long = item.size("long") or ZERO
    if long <= thick:
        context.tell.say("PD324", f"`{item.name}` does not reach `{context.a.path}`", notes=(f"it is {context.tell.figure(long)} long, {context.tell.figure(thick)} of `{b.path}` stand in its way",), mend=f"take one of {context.tell.below(thick * 3)} or more")
        return (), ()
    every, ends = context.args.get("every"), context.args.get("ends")
    lo, hi = spans[run]
    step = every if isinstance(every, Fraction) and every > 0 else Fraction(100)
    margin = ends if isinstance(ends, Fraction) else min(step / 2, (hi - lo) / 4)
    grid = context.tell.units.step_mm
    outside = b.box.at(face.opposite)
    features, centres = [], []
    gauge = item.size("gauge")
    inches = context.tell.units.system == "inch"
    bore = drill(shank_and_lead(gauge)[0], inches, clear=True) if item.kind == "screw" and gauge is not None else item.size("diameter") or ZERO
    places = spaced(lo, hi, step, margin)
    for number, place in enumerate(places, 1):
        point = [ZERO] * 3
        point[run] = _printed(place, b.box.lo[run] if b.datum[run] < 0 else b.box.hi[run], grid)
        middle = (spans[across][0] + spans[across][1]) / 2
        point[across] = _printed(middle, b.box.lo[across] if b.datum[across] < 0 else b.box.hi[across], grid)
        point[face.axis] = outside
        centre: Point3 = (point[0], point[1], point[2])
        centres.append((b.lean or STILL).point(centre))
        found = (b.to_datum(a, point[a], point[a]) for a in (run, across))
        figures: tuple[Figure, ...] = tuple(f for f in found if f is not None)
        disc = Disc((point[first], point[second]), bore / 2)
        features.append(
            Feature(
                f"{b.path}.{item.kind}{number}[{context.a.path}]", f"{item.kind} hole", face.opposite, cuts=(Prism(face.axis, *b.box.span(face.axis), disc),),
                figures=figures, joint=context.id, mate=context.a.path, row=f"{context.id}.b" if len(places) > 1 else "", diameter=bore, through=True,
                centre=centre, span=context.tell.span,
            )
        )  # fmt: skip
    axis = max(AXES, key=lambda a: (abs(context.normal[a]), a))
    fastening = Fastening(item.kind, item.name, bore, long, tuple(centres), axis, context.tell.span)
    return (fastening,), tuple(features)


def _printed(place: Fraction, datum: Fraction, step: Fraction) -> Fraction:
    """The place moved so that its distance from the reference face is a figure that the plan prints: the contact of
    leaning parts falls between the steps, and where a screw sits within it is free."""
    return datum + round((place - datum) / step) * step

