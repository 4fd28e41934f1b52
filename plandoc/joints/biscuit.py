"""Biscuit: flat pieces of pressed wood in slots that a small saw cuts into both parts."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from plandoc.geometry.bodies import AXES, Face, Loop, Point2, Point3, Prism, other_axes, root
from plandoc.joints.fastening import spaced, unchanged
from plandoc.model.entities import Fastening, Feature, Figure, HardwareItem, Joint
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, Param
from plandoc.quantity import INCH
from plandoc.tables.biscuits import SIZES, SLOT

CUTTER = Fraction(100)  # mm, diameter of the saw; common practice, from memory
PLAY = Fraction(1, 2)  # mm, what each slot is deeper than half the biscuit, for glue; common practice
COVER = Fraction(3)  # mm of wood beside a slot at least; common practice
USUAL, WIDEST, USUAL_END = 6 * INCH, 10 * INCH, 2 * INCH  # between biscuits, and from the ends; common practice

WITH = Param("with", "item", "the biscuits", required=True)
EVERY = Param("every", "length", "greatest distance between them; left out, 6 in.")
ENDS = Param("ends", "length", "distance of the first and the last from the ends; left out, 2 in.")


def cut(context: JointContext) -> JointEffect | None:
    """Slots at the same places in both parts, in the middle of the narrower side of the contact."""
    a, b, contact, tell, args = context.a, context.b, context.contact, context.tell, context.args
    item = args.get("with")
    size = SIZES.get(int(gauge)) if isinstance(item, HardwareItem) and item.kind == "biscuit" and (gauge := item.size("gauge")) is not None else None
    if size is None or not isinstance(item, HardwareItem):
        name = item.name if isinstance(item, HardwareItem) else "this"
        tell.say("PD323", f"`{name}` is no biscuit of a known size", notes=("known are " + ", ".join(f"No {n}" for n in SIZES),), mend="hardware flat20 biscuit No 20, and here: with flat20")
        return None
    entry, area = contact.entry, contact.area
    first, second = (x for x in AXES if x != entry.axis)
    run, across = (first, second) if area.size(first) >= area.size(second) else (second, first)
    deep = size[1] / 2 + PLAY
    half = root(deep * (CUTTER - deep))
    if area.size(across) < SLOT + 2 * COVER:
        tell.say("PD474", f"a biscuit slot does not fit where `{a.path}` meets `{b.path}`", notes=(f"they touch {tell.figure(area.size(across))} wide {tell.way(across)}; the slot takes {tell.figure(SLOT)} and wants {tell.figure(COVER)} on each side",), mend="take dowels or screws")
        return None
    for part in (a, b):
        if part.shoulder.size(entry.axis) < deep + COVER:
            tell.say("PD474", f"`{item.name}` comes out of `{part.path}`", notes=(f"the slot is {tell.figure(deep)} deep, `{part.path}` measures {tell.figure(part.shoulder.size(entry.axis))} there",), mend="take a smaller biscuit")
            return None
    every, ends = args.get("every"), args.get("ends")
    step = every if isinstance(every, Fraction) else USUAL
    lo, hi = area.span(run)
    margin = ends if isinstance(ends, Fraction) else max(USUAL_END, half + COVER)
    if step < 2 * half and hi - lo > 2 * margin:
        tell.say("PD474", f"the slots for `{item.name}` run into each other", notes=(f"each is {tell.figure(2 * half)} long, they stand at most {tell.figure(step)} apart",), mend=f"every {tell.figure(USUAL)}")
        return None
    places = spaced(lo, hi, step, margin)
    near = any(q - p < 2 * half for p, q in pairwise(places))
    if near and not isinstance(every, Fraction):
        places, near = ((lo + hi) / 2,), False
    if places[0] - half < lo or places[-1] + half > hi:
        tell.say("PD474", f"the slot for `{item.name}` runs out at the end of the joint", notes=(f"it is {tell.figure(2 * half)} long, its middle lies {tell.figure(places[0] - lo)} from the end of {tell.figure(hi - lo)}",), mend=f"ends {tell.figure(-(-(half + COVER) // tell.units.step_mm) * tell.units.step_mm)}, or a smaller biscuit")
        return None
    if near:
        tell.say("PD474", f"the slots for `{item.name}` run into each other", notes=(f"each is {tell.figure(2 * half)} long",), mend=f"every {tell.figure(USUAL)}")
        return None
    if step > WIDEST:
        tell.say("PD482", f"biscuits {tell.figure(step)} apart leave the edges free between them", notes=("common practice: about 6 in. (150 mm), not over 10 in. (250 mm)",), mend=f"every {tell.figure(USUAL)}")
    middle = (area.lo[across] + area.hi[across]) / 2
    centres: list[Point3] = []
    for place in places:
        point = [contact.plane] * 3
        point[run], point[across] = place, middle
        centres.append((point[0], point[1], point[2]))
    note = f"biscuit No {int(item.size('gauge') or 0)}"

    def slots(part: Frame, way: Face, mate: str) -> tuple[Feature, ...]:
        """way: from the contact into the part."""
        found = []
        bottom = contact.plane + way.side * deep
        for number, centre in enumerate(centres, 1):
            figures = [f for x in (run, across) if (f := part.to_datum(x, centre[x], centre[x])) is not None]
            figures.append(Figure(way.axis, min(contact.plane, bottom), max(contact.plane, bottom), "depth"))
            body = _slot(centre, run, across, way, deep, half)
            found.append(
                Feature(
                    f"{part.path}.biscuit{number}[{mate}]", "biscuit slot", way.opposite, cuts=(body,), figures=tuple(figures), joint=context.id, mate=mate,
                    row=f"{context.id}.{'b' if part.path == b.path else 'a'}", depth=deep, centre=centre, note=note, span=tell.span,
                )
            )
        return tuple(found)

    zero = Fraction(0)
    fastening = Fastening("biscuit", item.name, SLOT, size[0], tuple(centres), entry.axis, tell.span)
    joint = Joint(context.id, context.kind, a.path, b.path, entry, entry.opposite, zero, zero, zero, zero, zero, run, across, area, fasteners=(fastening,), span=tell.span)
    return JointEffect(joint, slots(a, entry.opposite, b.path), slots(b, entry, a.path))


def _slot(centre: Point3, run: int, across: int, way: Face, deep: Fraction, half: Fraction) -> Prism:
    """The segment of the saw's circle that lies in the part."""
    first, _ = other_axes(across)
    plane = centre[way.axis]

    def point(along: Fraction) -> Point2:
        return (along, plane) if run == first else (plane, along)

    low, high = point(centre[run] - half), point(centre[run] + half)
    upward = (way.side > 0) == (run == first)  # the straight side runs so that the wood lies at its left
    ends = (low, high) if upward else (high, low)
    return Prism(across, centre[across] - SLOT / 2, centre[across] + SLOT / 2, Loop(ends, (Fraction(0), deep / half)))


KIND = JointKind(
    name="biscuit",
    doc="Parts that only touch are held by biscuits in slots; neither part changes its size.",
    params=(WITH, EVERY, ENDS),
    extend=unchanged,
    cut=cut,
    example='joint biscuit shelf into left_side, right_side with flat20 every 5"',
)
