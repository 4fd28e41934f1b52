"""What tongue joints share: a tongue thinner than A enters a channel in B that is as wide as the tongue."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, box_prism
from plandoc.joints import arguments as a
from plandoc.joints import channel as c
from plandoc.joints.arguments import loose_span
from plandoc.joints.proportions import tongue_rules
from plandoc.model.entities import Feature, Figure, Joint
from plandoc.model.kinds import JointContext, JointEffect, Param

SIZED = Param("sized", "length", "thickness of the tongue; left out, a third of the board in steps of 1/16 in. or 1 mm")
SET = Param("set", "length", "how far the tongue lies behind the reference face of its board; left out, it is in the middle")
FIT = Param("fit", "length", "what the channel is wider than the tongue", default=Fraction(0))
CLEARANCE = Param("clearance", "length", "what the channel is deeper than the tongue is long", default=Fraction(0))
SHARED = Param("shared", "flag", "it lies in a groove that another joint cuts, so it cuts none of its own: stub tenons of a door in the groove for its panel")

Place = Callable[[JointContext, Fraction], Fraction]
"""Where the tongue of that thickness begins on A's thickness axis (low side, mm)."""


def middle(context: JointContext, size: Fraction) -> Fraction:
    """In the middle of the board."""
    lo, hi = context.a.shoulder.span(context.a.thickness_axis)
    return (lo + hi - size) / 2


def tongued(context: JointContext, usual: Fraction, place: Place) -> tuple[c.Channel, Fraction] | None:
    """The channel of the tongue, and the tongue's thickness (mm). usual: part of the board where the plan is silent."""
    part, tell, axis = context.a, context.tell, context.a.thickness_axis
    room = part.shoulder.size(axis)
    size = a.given(context, "sized")
    size = a.tool(room * usual, tell.units.system == "inch") if size is None else size
    behind = a.given(context, "set")
    lo, hi = part.shoulder.span(axis)
    if behind is None:
        start = place(context, size)
    else:
        start = lo + behind if part.datum[axis] < 0 else hi - behind - size
    if not 0 < size < room or start < lo or start + size > hi:
        notes = (f"tongue {tell.figure(size)}" + (f", set {tell.figure(behind)} back" if behind is not None else ""), f"`{part.path}` is {tell.figure(room)} thick")
        tell.say("PD370", f"the tongue is thicker than `{part.path}` allows" if size > 0 else "a tongue has a thickness", notes=notes, mend=f"sized {tell.below(room * usual)}")
        return None
    clearance = a.length(context, "clearance")
    args = {**context.args, "deep": a.length(context, "deep") + clearance}
    thin = replace(context, a=replace(part, shoulder=part.shoulder.with_span(axis, start, start + size)), args=args)
    found = c.channel(thin, clearance, sideways=False)
    if found is None:
        return None
    if found.edge is not None:
        tell.say("PD373", f"the channel is open at the {tell.face(found.edge)} face of `{context.b.path}`", notes=(f"the tongue lies from {tell.figure(start - lo)} to {tell.figure(start + size - lo)} of `{part.path}`",), mend="move the tongue with `set`, or use `rabbet`")
        return None
    box = found.box.with_span(axis, *loose_span(start, start + size, a.length(context, "fit"), context.b.datum[axis]))
    return replace(found, box=box), size


def extend(context: JointContext, usual: Fraction, place: Place) -> tuple[Box, ...]:
    """A grows by its tongue."""
    found = tongued(context, usual, place)
    return () if found is None else (found[0].tongue,)


def cut(context: JointContext, usual: Fraction, place: Place, channel_word: str = "") -> JointEffect | None:
    """The channel in B and the tongue on A. channel_word: the trade's word for the channel; "" for a groove along the
    grain, a dado across it."""
    made = tongued(context, usual, place)
    if made is None:
        return None
    found, size = made
    part, other, entry = context.a, context.b, context.contact.entry
    across, run, span = found.across_axis, found.run_axis, context.tell.span
    tongue_rules(context, size, across)
    word = channel_word or ("groove" if run == other.length_axis else "dado")
    face = entry.opposite
    ends = tuple(_stop(found.box, other.box, end) for end in (Face(run, -1), Face(run, 1)) if found.box.at(end) != other.box.at(end))
    place_b = other.to_datum(across, *found.box.span(across))
    figures = (Figure(across, *found.box.span(across), "size"), *([place_b] if place_b else []), Figure(entry.axis, *found.box.span(entry.axis), "depth"), *ends)
    channel = Feature(f"{other.path}.{word}[{part.path}]", word, face, cuts=(box_prism(found.box),), figures=figures, joint=context.id, mate=part.path, depth=found.box.size(entry.axis), span=span)
    place_a = part.to_datum(across, *found.tongue.span(across))
    short = tuple(_stop(found.tongue, part.box, end) for end in (Face(run, -1), Face(run, 1)) if found.tongue.at(end) != part.shoulder.at(end))
    sizes = (Figure(across, *found.tongue.span(across), "size"), *([place_a] if place_a else []), Figure(entry.axis, *found.tongue.span(entry.axis), "size"), *short)
    tongue = Feature(f"{part.path}.tongue[{other.path}]", "tongue", None, adds=(box_prism(found.tongue),), figures=sizes, joint=context.id, mate=other.path, span=span)
    joint = Joint(
        context.id,
        context.kind,
        part.path,
        other.path,
        entry,
        face,
        found.tongue.size(entry.axis),
        found.box.size(entry.axis),
        found.box.size(across),
        a.length(context, "fit"),
        a.length(context, "clearance"),
        run,
        across,
        found.box,
        stop_lo=found.box.lo[run] - other.box.lo[run],
        stop_hi=other.box.hi[run] - found.box.hi[run],
        span=span,
    )
    deep, room = found.box.size(entry.axis), other.shoulder.size(entry.axis)
    if 2 * deep > room:
        notes = (f"{context.tell.figure(deep)} of {context.tell.figure(room)}; common practice: a third, never more than half",)
        context.tell.say("PD401", f"the {word} is deeper than half of `{other.path}`", notes=notes, mend=f"deep {context.tell.below(room / 3)}, or less")
    # A wrong `shared` is found by the check of overlaps: the tongue then stands in wood.
    return JointEffect(joint, (tongue,), () if context.args.get("shared") else (channel,))


def _stop(inner: Box, outer: Box, end: Face) -> Figure:
    lo, hi = sorted((inner.at(end), outer.at(end)))
    return Figure(end.axis, lo, hi, "place", end.side)
