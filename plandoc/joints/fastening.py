"""Dowels and screws through a joint: evenly spaced along its run, through B into A."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box, Disc, Face, Point3, Prism, other_axes
from plandoc.model.entities import Fastening, Feature, Figure, HardwareItem
from plandoc.model.kinds import Frame, JointContext
from plandoc.quantity import INCH
from plandoc.quantity.shoptext import round_to
from plandoc.tables import shank_and_lead

FAR = 3 * INCH  # more wood than a fastener goes through


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
    """The fastening, the holes in A and the holes in B."""
    item = context.args.get("with")
    if not isinstance(item, HardwareItem):
        return (), (), ()
    a, b, entry = context.a, context.b, context.contact.entry
    if item.kind not in ("dowel", "screw"):
        context.tell.say("PD323", f"`{item.name}` is neither a dowel nor a screw", notes=(f"it is a {item.kind}",), mend='hardware pin dowel 3/8" x 1 1/2", and here: with pin')
        return (), (), ()
    every, ends = context.args.get("every"), context.args.get("ends")
    lo, hi = tongue.span(run)
    step = every if isinstance(every, Fraction) and every > 0 else Fraction(100)
    margin = ends if isinstance(ends, Fraction) else min(step / 2, (hi - lo) / 4)
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
    bottom = tongue.at(entry)
    remaining = abs(outside - bottom)
    into_a = long - remaining
    if into_a <= 0:
        context.tell.say("PD324", f"`{item.name}` does not reach `{a.path}`", notes=(f"it is {context.tell.figure(long)} long, {context.tell.figure(remaining)} of `{b.path}` stand in its way",), mend=f"take one of {context.tell.below(remaining * 3)} or more" if remaining <= FAR else "name the parts the other way round: it goes through the second part into the first")
        return (), (), ()
    centres: list[Point3] = []
    for place in spaced(lo, hi, step, margin):
        point = [Fraction(0)] * 3
        point[run], point[across], point[entry.axis] = place, middle, outside
        centres.append((point[0], point[1], point[2]))
    tip = outside - entry.side * long
    row_a, row_b = f"{context.id}.a", f"{context.id}.b"
    holes_a = tuple(_hole(a, item.kind, f"{a.path}.{item.kind}{i + 1}[{b.path}]", c, entry, lead, bottom, tip, row_a, context, run, across) for i, c in enumerate(centres))
    holes_b = tuple(_hole(b, item.kind, f"{b.path}.{item.kind}{i + 1}[{a.path}]", c, entry, shank, outside, bottom, row_b, context, run, across) for i, c in enumerate(centres))
    fastening = Fastening(item.kind, item.name, shank, long, tuple(centres), entry.axis, context.tell.span)
    return (fastening,), holes_a, holes_b


def _hole(part: Frame, kind: str, ident: str, centre: Point3, entry: Face, diameter: Fraction, start: Fraction, end: Fraction, row: str, context: JointContext, run: int, across: int) -> Feature:
    first, second = other_axes(entry.axis)
    prism = Prism(entry.axis, min(start, end), max(start, end), Disc((centre[first], centre[second]), diameter / 2))
    point = list(centre)
    point[entry.axis] = start
    figures: list[Figure] = []
    for axis in (run, across):
        figure = part.to_datum(axis, centre[axis], centre[axis])
        figures.extend([figure] if figure is not None else [])
    on_b = part.path == context.b.path
    return Feature(ident, f"{kind} hole", entry, cuts=(prism,), figures=tuple(figures), joint=context.id, mate=context.a.path if on_b else context.b.path, row=row, diameter=diameter, depth=None if on_b else abs(end - start), through=on_b, centre=(point[0], point[1], point[2]), span=context.tell.span)
