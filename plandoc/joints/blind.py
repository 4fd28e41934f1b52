"""Dowels hidden between two parts: blind holes in both, opposite each other."""

from __future__ import annotations

from plandoc.geometry.bodies import Box, Point3
from plandoc.joints import arguments as a
from plandoc.joints.fastening import Fastened, holes, long_axis, no_room, row
from plandoc.joints.proportions import dowel_rules
from plandoc.model.entities import Fastening, HardwareItem
from plandoc.model.kinds import JointContext

USUAL = 2  # dowels where the plan is silent (common practice)


def blind_dowels(context: JointContext, pin: HardwareItem, area: Box) -> Fastened | None:
    """The dowels with their holes in A and in B; None after a report. Half of each in either part, or `deep` of it in B;
    every hole deeper by the `clearance`."""
    tell, entry = context.tell, context.contact.entry
    run, across = long_axis(area, entry.axis)
    diameter, long = pin.size("diameter"), pin.size("long")
    if diameter is None or long is None:
        tell.say("PD323", f"`{pin.name}` is no dowel with a length", notes=(f"it is a {pin.kind}",), mend='hardware pin dowel 3/8" x 2", and here: with pin')
        return None
    deep_b = a.given(context, "deep")
    in_b = long / 2 if deep_b is None else deep_b
    in_a, relief, radius = long - in_b, a.length(context, "clearance"), diameter / 2
    for part, deep in ((context.a, in_a), (context.b, in_b)):
        room = part.shoulder.size(entry.axis)
        if deep <= 0 or deep + relief >= room:
            both = (f"the dowel is {tell.figure(long)} long, {tell.figure(deep)} of it in `{part.path}`", f"`{part.path}` measures {tell.figure(room)} there")
            tell.say("PD372", f"a hole {tell.figure(deep + relief)} deep does not fit into `{part.path}`", notes=both, mend="say with `deep` how much of it enters the second part, or take another length")
            return None
    along = row(context, "dowel", diameter, area.span(run), context.a.datum[run], USUAL)
    if along is None:
        return None
    near = max(area.lo[run] + radius - min(along), max(along) + radius - area.hi[run])
    if near > 0 or area.size(across) < diameter:
        no_room(context, "dowel", f"the parts meet over {tell.figure(area.size(run))} x {tell.figure(area.size(across))}, the dowels are {tell.figure(diameter)} thick")
        return None
    dowel_rules(context, diameter, in_a, in_b, across)
    plane, middle = context.contact.plane, (area.lo[across] + area.hi[across]) / 2
    centres: list[Point3] = []
    for place in along:
        point = [plane] * 3
        point[run], point[across] = place, middle
        centres.append((point[0], point[1], point[2]))
    bottom_a, bottom_b = plane - entry.side * (in_a + relief), plane + entry.side * (in_b + relief)
    holes_a = holes(context, context.a, context.b.path, "dowel", entry, centres, diameter, plane, bottom_a, f"{context.id}.{context.a.path}")
    holes_b = holes(context, context.b, context.a.path, "dowel", entry.opposite, centres, diameter, plane, bottom_b, f"{context.id}.{context.b.path}")
    fastening = Fastening("dowel", pin.name, diameter, long, tuple(centres), entry.axis, tell.span, blind=True)
    return (fastening,), holes_a, holes_b
