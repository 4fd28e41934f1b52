"""Dowels and screws through a joint: evenly spaced along its run, through B into A."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Body, Box, Disc, Face, Frustum, Point3, Prism, other_axes
from plandoc.model.entities import Fastening, Feature, Figure, HardwareItem, Joint
from plandoc.model.kinds import Frame, JointContext, JointEffect
from plandoc.quantity import INCH, diameter_text, shop_text
from plandoc.quantity.shoptext import round_to
from plandoc.tables import head_of, shank_and_lead

FAR = 3 * INCH  # more wood than a fastener goes through
TAN_41 = Fraction(8693, 10000)  # half of the 82 degrees of a flat head (screw table), to four figures
PLUGS_INCH = tuple(Fraction(n, 8) * INCH for n in (2, 3, 4, 5))  # plug cutters sold: 1/4 to 5/8 in. (from memory)
PLUGS_MM = tuple(Fraction(n) for n in (6, 8, 10, 12, 15))  # the same in mm (from memory)
RAISED = ("round", "pan", "truss", "washer", "hex", "dome", "button")  # heads that are not sunk


@dataclass(frozen=True, slots=True)
class Sunk:
    """How a head is let in below the face: a cone as wide as the head, or a counterbore `deep` for a plug (mm)."""

    wide: Fraction = Fraction(0)
    deep: Fraction = Fraction(0)
    note: str = ""
    plug: bool = False




def drill(diameter: Fraction, inches: bool, clear: bool = False) -> Fraction:
    """The nearest drill that a shop has: steps of 1/64 in, or of 0.5 mm (mm). clear: the shank must pass, so never a
    smaller one."""
    step = INCH / 64 if inches else Fraction(1, 2)
    if clear:
        return -(-diameter // step) * step
    return max(step, round_to(diameter, step))


def spaced(lo: Fraction, hi: Fraction, every: Fraction, ends: Fraction) -> tuple[Fraction, ...]:
    """Places from lo + ends to hi - ends, equal steps of at most `every` (mm); one in the middle where there is no
    room for two."""
    first, last = lo + ends, hi - ends
    if last <= first:
        return ((lo + hi) / 2,)
    count = -((first - last) // every)
    return tuple(first + (last - first) * i / count for i in range(count + 1))


def fasten(context: JointContext, tongue: Box, run: int, across: int) -> tuple[tuple[Fastening, ...], tuple[Feature, ...], tuple[Feature, ...]]:
    """The fastening, the holes in A and the holes in B. Flat heads are countersunk; `plugged` heads lie below a plug."""
    item = context.args.get("with")
    if not isinstance(item, HardwareItem):
        return (), (), ()
    a, b, entry = context.a, context.b, context.contact.entry
    if item.kind not in ("dowel", "screw"):
        context.tell.say("PD323", f"`{item.name}` is neither a dowel nor a screw", notes=(f"it is a {item.kind}",), mend='hardware pin dowel 3/8" x 1 1/2", and here: with pin')
        return (), (), ()
    middle = (tongue.lo[across] + tongue.hi[across]) / 2
    outside = b.box.at(entry)
    long = item.size("long") or Fraction(0)
    gauge = item.size("gauge")
    if item.kind == "screw" and gauge is not None:
        inches = context.tell.units.system == "inch"
        shank, lead = shank_and_lead(gauge)
        shank, lead = drill(shank, inches, clear=True), drill(lead, inches)
    else:
        shank = lead = item.size("diameter") or Fraction(0)
    sunk = _sunk(context, item, gauge, shank)
    bottom = tongue.at(entry)
    wood = abs(outside - bottom)
    sunk_in = sunk.deep if sunk.plug else Fraction(0)
    if sunk.deep >= wood > 0:
        context.tell.say("PD378", f"the head of `{item.name}` goes through `{b.path}`", notes=(f"it is sunk {context.tell.figure(sunk.deep)} into {context.tell.figure(wood)} of wood",), mend="take a thinner screw, or a plug less deep" if sunk.plug else "take a thinner screw, or one with a round head")
        return (), (), ()
    remaining = wood - sunk_in
    if long - remaining <= 0:
        context.tell.say("PD324", f"`{item.name}` does not reach `{a.path}`", notes=(f"it is {context.tell.figure(long)} long, {context.tell.figure(remaining)} of `{b.path}` stand in its way",), mend=f"take one of {context.tell.below(remaining * 3)} or more" if remaining <= FAR else "name the parts the other way round: it goes through the second part into the first")
        return (), (), ()
    centres: list[Point3] = []
    for place in _places(context, *tongue.span(run)):
        point = [Fraction(0)] * 3
        point[run], point[across], point[entry.axis] = place, middle, outside
        centres.append((point[0], point[1], point[2]))
    tip = outside - entry.side * (long + sunk_in)
    row_a, row_b = f"{context.id}.a", f"{context.id}.b"
    holes_a = tuple(_hole(a, item.kind, f"{a.path}.{item.kind}{i + 1}[{b.path}]", c, entry, lead, bottom, tip, row_a, context, run, across) for i, c in enumerate(centres))
    holes_b = tuple(_hole(b, item.kind, f"{b.path}.{item.kind}{i + 1}[{a.path}]", c, entry, shank, outside, bottom, row_b, context, run, across, sunk) for i, c in enumerate(centres))
    heads = tuple(_moved(c, entry.axis, -entry.side * sunk_in) for c in centres)
    made = [Fastening(item.kind, item.name, shank, long, heads, entry.axis, context.tell.span)]
    if sunk.plug:
        made.append(Fastening("plug", "", sunk.wide, sunk.deep, tuple(centres), entry.axis, context.tell.span))
    return tuple(made), holes_a, holes_b


def plain(context: JointContext, run: int, across: int, fastened: tuple[tuple[Fastening, ...], tuple[Feature, ...], tuple[Feature, ...]]) -> JointEffect:
    """A joint in which the parts only lie against each other, with what holds it."""
    fasteners, holes_a, holes_b = fastened
    contact, zero = context.contact, Fraction(0)
    joint = Joint(context.id, context.kind, context.a.path, context.b.path, contact.entry, contact.entry.opposite, zero, zero, zero, zero, zero, run, across, contact.area, fasteners=fasteners, span=context.tell.span)
    return JointEffect(joint, holes_a, holes_b)


def _places(context: JointContext, lo: Fraction, hi: Fraction) -> tuple[Fraction, ...]:
    """Evenly: `count` of them, or at most `every` apart."""
    number, every, ends = context.args.get("count"), context.args.get("every"), context.args.get("ends")
    if isinstance(number, int) and not isinstance(every, Fraction):
        if number == 1:
            return ((lo + hi) / 2,)
        margin = ends if isinstance(ends, Fraction) else round_to((hi - lo) / (2 * number), context.tell.units.step_mm)
        return tuple(lo + margin + (hi - lo - 2 * margin) * i / (number - 1) for i in range(number))
    step = every if isinstance(every, Fraction) and every > 0 else Fraction(100)
    margin = ends if isinstance(ends, Fraction) else min(step / 2, (hi - lo) / 4)
    return spaced(lo, hi, step, margin)


def _sunk(context: JointContext, item: HardwareItem, gauge: Fraction | None, shank: Fraction) -> Sunk:
    """The countersink of a flat head, 82 degrees and as wide as the screw table says, or the counterbore of a plug, the
    narrowest that the head goes into."""
    if item.kind != "screw" or gauge is None:
        return Sunk()
    units = context.tell.units
    inches = units.system == "inch"
    head = head_of(gauge)
    deep = context.args.get("plugged")
    if isinstance(deep, Fraction) and deep > 0:
        bits = PLUGS_INCH if inches else PLUGS_MM
        wide = next((bit for bit in bits if bit >= head), bits[-1])
        return Sunk(wide, deep, f"cbore Ø{diameter_text(wide, units)} ↧{shop_text(deep, units)}", True)
    if any(word in item.description.casefold() for word in RAISED):
        return Sunk()
    wide = drill(head, inches, clear=True)
    return Sunk(wide, (wide - shank) / 2 / TAN_41, f"csk Ø{diameter_text(wide, units)} × 82°")


def _moved(point: Point3, axis: int, by: Fraction) -> Point3:
    moved = list(point)
    moved[axis] += by
    return moved[0], moved[1], moved[2]


def _hole(
    part: Frame, kind: str, ident: str, centre: Point3, entry: Face, diameter: Fraction, start: Fraction, end: Fraction, row: str, context: JointContext, run: int, across: int,
    sunk: Sunk = Sunk(),
) -> Feature:  # fmt: skip
    first, second = other_axes(entry.axis)
    middle = (centre[first], centre[second])
    cuts: list[Body] = [Prism(entry.axis, min(start, end), max(start, end), Disc(middle, diameter / 2))]
    if sunk.wide:
        cuts.append(_head_room(sunk, entry, start, middle, diameter / 2))
    point = list(centre)
    point[entry.axis] = start
    figures: list[Figure] = []
    for axis in (run, across):
        figure = part.to_datum(axis, centre[axis], centre[axis])
        figures.extend([figure] if figure is not None else [])
    on_b = part.path == context.b.path
    mate = context.a.path if on_b else context.b.path
    depth = None if on_b else abs(end - start)
    return Feature(ident, f"{kind} hole", entry, cuts=tuple(cuts), figures=tuple(figures), joint=context.id, mate=mate, row=row, diameter=diameter, depth=depth, through=on_b, centre=(point[0], point[1], point[2]), note=sunk.note, span=context.tell.span)


def _head_room(sunk: Sunk, entry: Face, start: Fraction, middle: Sequence[Fraction], narrow: Fraction) -> Body:
    """What the head or its plug takes from the outer face on."""
    lo, hi = sorted((start, start - entry.side * sunk.deep))
    centre = (middle[0], middle[1])
    if sunk.plug:
        return Prism(entry.axis, lo, hi, Disc(centre, sunk.wide / 2))
    low, high = (narrow, sunk.wide / 2) if entry.side > 0 else (sunk.wide / 2, narrow)
    return Frustum(entry.axis, lo, hi, centre, low, high)
