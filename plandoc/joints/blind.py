"""Dowels hidden between two parts: blind holes in both, opposite each other."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import AXES, Box, Disc, Face, Point3, Prism, other_axes
from plandoc.joints import arguments as a
from plandoc.joints.fastening import spaced
from plandoc.joints.proportions import dowel_rules
from plandoc.model.entities import Fastening, Feature, HardwareItem
from plandoc.model.kinds import Frame, JointContext
from plandoc.quantity.shoptext import round_to

Fastened = tuple[tuple[Fastening, ...], tuple[Feature, ...], tuple[Feature, ...]]
NONE: Fastened = ((), (), ())


def long_axis(area: Box, entry_axis: int) -> tuple[int, int]:
    """The longer and the shorter side of where two parts meet."""
    first, second = (x for x in AXES if x != entry_axis)
    return (first, second) if area.size(first) >= area.size(second) else (second, first)


def places(context: JointContext, run: int, lo: Fraction, hi: Fraction) -> tuple[Fraction, ...]:
    """Where they stand along lo..hi of the run (mm): `at` these places from the end at A's reference face, `count` evenly, or at most `every` apart;
    two where the plan is silent."""
    asked = a.lengths(context, "at")
    if asked:
        return tuple(lo + x for x in asked) if context.a.datum[run] < 0 else tuple(hi - x for x in asked)
    number, every, ends = context.args.get("count"), a.given(context, "every"), a.given(context, "ends")
    if every:
        return spaced(lo, hi, every, min(every / 2, (hi - lo) / 4) if ends is None else ends)
    n = number if isinstance(number, int) else 2
    if n == 1:
        return ((lo + hi) / 2,)
    margin = round_to((hi - lo) / (2 * n), context.tell.units.step_mm) if ends is None else ends
    return tuple(lo + margin + (hi - lo - 2 * margin) * i / (n - 1) for i in range(n))


def blind_dowels(context: JointContext, pin: HardwareItem, area: Box) -> Fastened | None:
    """The dowels with their holes in A and in B; None after a report. Half of each in either part, or `deep` of it in B;
    every hole deeper by the `clearance`."""
    tell, entry = context.tell, context.contact.entry
    run, across = long_axis(area, entry.axis)
    diameter, long = pin.size("diameter"), pin.size("long")
    if diameter is None or long is None:
        tell.say("PD323", f"`{pin.name}` is no dowel with a length", notes=(f"it is a {pin.kind}",), mend='hardware pin dowel 3/8" x 2", and here: with pin')
        return None
    in_b = a.given(context, "deep") or long / 2
    in_a, relief, radius = long - in_b, a.length(context, "clearance"), diameter / 2
    for part, deep in ((context.a, in_a), (context.b, in_b)):
        room = part.shoulder.size(entry.axis)
        if deep <= 0 or deep + relief >= room:
            both = (f"the dowel is {tell.figure(long)} long, {tell.figure(deep)} of it in `{part.path}`", f"`{part.path}` measures {tell.figure(room)} there")
            tell.say("PD372", f"a hole {tell.figure(deep + relief)} deep does not fit into `{part.path}`", notes=both, mend="say with `deep` how much of it enters the second part, or take another length")
            return None
    along = places(context, run, *area.span(run))
    middle = (area.lo[across] + area.hi[across]) / 2
    tight = any(b - x < diameter for x, b in zip(sorted(along), sorted(along)[1:], strict=False))
    near = max(area.lo[run] + radius - min(along), max(along) + radius - area.hi[run])
    if near > 0 or tight or area.size(across) < diameter:
        notes = (f"the parts meet over {tell.figure(area.size(run))} x {tell.figure(area.size(across))}, the dowels are {tell.figure(diameter)} thick",)
        tell.say("PD376", "the dowels do not fit between the two parts", notes=notes, mend="fewer or thinner dowels, or other places")
        return None
    dowel_rules(context, diameter, in_a, in_b, across)
    plane = context.contact.plane
    centres: list[Point3] = []
    for place in along:
        point = [Fraction(0)] * 3
        point[run], point[across], point[entry.axis] = place, middle, plane
        centres.append((point[0], point[1], point[2]))
    holes_a = _holes(context, context.a, entry, centres, diameter, in_a + relief, context.b.path)
    holes_b = _holes(context, context.b, entry.opposite, centres, diameter, in_b + relief, context.a.path)
    fastening = Fastening("dowel", pin.name, diameter, long, tuple(centres), entry.axis, tell.span, blind=True)
    return (fastening,), holes_a, holes_b


def _holes(context: JointContext, part: Frame, face: Face, centres: list[Point3], diameter: Fraction, deep: Fraction, mate: str) -> tuple[Feature, ...]:
    """Blind holes worked from `face` of the part, figured from its reference faces."""
    first, second = other_axes(face.axis)
    plane = context.contact.plane
    lo, hi = sorted((plane, plane - face.side * deep))
    made = []
    for number, centre in enumerate(centres, 1):
        figures = [f for axis in (first, second) if (f := part.to_datum(axis, centre[axis], centre[axis])) is not None]
        prism = Prism(face.axis, lo, hi, Disc((centre[first], centre[second]), diameter / 2))
        made.append(
            Feature(
                f"{part.path}.dowel{number}[{mate}]", "dowel hole", face, cuts=(prism,), figures=tuple(figures), joint=context.id, mate=mate,
                row=f"{context.id}.{part.path}", diameter=diameter, depth=deep, centre=centre, span=context.tell.span,
            )
        )  # fmt: skip
    return tuple(made)
