"""What dado, groove, rabbet and slide share: a channel in B as wide as A is thick, and A grown into it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, box_prism
from plandoc.joints.fastening import fasten
from plandoc.model.entities import Feature, Figure, Joint
from plandoc.model.kinds import JointContext, JointEffect, Param

ZERO = Fraction(0)

DEEP = Param("deep", "length", "depth of the channel", required=True)
FIT = Param("fit", "length", "what the channel is wider than the part that enters, for glue and an easy fit", default=ZERO)
STOPPED = Param("stopped", "lengths", "wood left standing at the end of the channel; two lengths for two unlike ends", default=())
STOP_FROM = Param("from", "faces", "the end or ends at which the channel is stopped", default=(), owners=("stopped",))
WITH = Param("with", "item", "dowels or screws through the joint")
EVERY = Param("every", "length", "greatest distance between them", owners=("with",))
ENDS = Param("ends", "length", "distance of the first and the last from the ends", owners=("with",))
PLUGGED = Param("plugged", "length", "depth of a counterbore for a wooden plug over the head", owners=("with",))
FASTENED = (WITH, EVERY, ENDS)
DRY = Param("dry", "flag", "no glue goes in: it comes apart again, or the wood must be free to move in it")


@dataclass(frozen=True, slots=True)
class Channel:
    """The channel in world mm: its box in B; run axis; A's thickness axis at the contact; open edge of B or None."""

    box: Box
    run_axis: int
    across_axis: int
    edge: Face | None
    tongue: Box


def channel(context: JointContext, clearance: Fraction = ZERO, sideways: bool = True) -> Channel | None:
    """Where the channel lies. None (after a report) where the figures do not allow one. clearance: what A stops short of
    its bottom (mm); `sideways` adds the same to its width."""
    a, b, contact, args = context.a, context.b, context.contact, context.args
    entry = contact.entry
    across = a.thickness_axis
    if entry.axis == across:
        context.tell.say(
            "PD320",
            f"the face of `{a.path}` lies on `{b.path}`, only an edge or an end can enter a channel",
            notes=(f"`{a.path}` is {context.tell.figure(a.shoulder.size(across))} thick in the direction {context.tell.way(across)}",),
            mend="use `butt`, or let the other part enter",
        )
        return None
    run = 3 - entry.axis - across
    deep, fit = _length(args, "deep"), _length(args, "fit") + (clearance if sideways else ZERO)
    room = b.shoulder.size(entry.axis)
    if deep <= 0 or deep >= room:
        context.tell.say(
            "PD321",
            f"a channel {context.tell.figure(deep)} deep does not fit into `{b.path}`",
            notes=(f"`{b.path}` is {context.tell.figure(room)} thick there",),
            mend=f"a third of the thickness is usual: deep {context.tell.below(room / 3)}",
        )
        return None
    bottom = contact.plane + entry.side * deep
    box = b.box.with_span(entry.axis, *sorted((contact.plane, bottom)))
    lo, hi = a.shoulder.span(across)
    edge: Face | None = None
    if lo <= b.shoulder.lo[across] and hi < b.shoulder.hi[across]:
        edge = Face(across, -1)
        lo, hi = min(lo, b.box.lo[across]), hi + fit
    elif hi >= b.shoulder.hi[across] and lo > b.shoulder.lo[across]:
        edge = Face(across, 1)
        lo, hi = lo - fit, max(hi, b.box.hi[across])
    else:
        lo, hi = lo - fit / 2, hi + fit / 2
    box = box.with_span(across, lo, hi)
    reach_lo, reach_hi = b.shoulder.span(run)
    stops = _stopped(context, run)
    if stops is None:
        return None
    for face, stopped in stops:
        end = b.shoulder.at(face) - face.side * stopped
        box = box.with_face(face, end)
        reach_lo, reach_hi = (reach_lo, end) if face.side > 0 else (end, reach_hi)
    if box.lo[run] >= box.hi[run]:
        context.tell.say("PD322", "the stops leave nothing of the channel", notes=(f"`{b.path}` is {context.tell.figure(b.shoulder.size(run))} long there",))
        return None
    reach = bottom - entry.side * clearance
    tongue = a.shoulder.with_span(entry.axis, *sorted((contact.plane, reach)))
    common_lo, common_hi = max(tongue.lo[run], reach_lo), min(tongue.hi[run], reach_hi)
    if common_lo >= common_hi or clearance >= deep:
        context.tell.say("PD322", f"nothing of `{a.path}` reaches into the channel")
        return None
    return Channel(box, run, across, edge, tongue.with_span(run, common_lo, common_hi))


def _stopped(context: JointContext, run: int) -> tuple[tuple[Face, Fraction], ...] | None:
    """Ends at which the channel stops, with the wood left there; None after a report. One length serves all ends."""
    stopped, faces = context.args.get("stopped"), context.args.get("from")
    lengths = tuple(s for s in stopped if isinstance(s, Fraction)) if isinstance(stopped, tuple) else ()
    ends = tuple(f for f in faces if isinstance(f, Face)) if isinstance(faces, tuple) else ()
    tell, low, high = context.tell, context.tell.face(Face(run, -1)), context.tell.face(Face(run, 1))
    if lengths and not ends:
        both = f"{low}, {high}" if len(lengths) > 1 else low
        tell.say("PD322", "a stopped channel needs the face at which it stops", mend=f"stopped {', '.join(map(tell.figure, lengths))} from {both}")
        return None
    for face in ends:
        if face.axis != run:
            tell.say("PD322", f"the channel runs from {low} to {high}, it cannot be stopped at another face", notes=(f"the plan stops it at {tell.face(face)}",), mend=f"from {low}, or from {high}")
            return None
    if len(lengths) > 1 and len(lengths) != len(ends):
        tell.say("PD322", f"{len(lengths)} lengths for {'one end' if len(ends) == 1 else f'{len(ends)} ends'} of the channel", notes=("one length serves all ends, otherwise every end has its own, in the same order",))
        return None
    if not lengths:
        return ()
    return tuple(zip(ends, lengths if len(lengths) > 1 else lengths * len(ends), strict=True))


def extend(context: JointContext) -> tuple[Box, ...]:
    """A grows by its tongue."""
    found = channel(context)
    return () if found is None else (found.tongue,)


def extend_loose(context: JointContext) -> tuple[Box, ...]:
    """A grows by its tongue, less the clearance."""
    found = channel(context, _length(context.args, "clearance"))
    return () if found is None else (found.tongue,)


def effect(context: JointContext, found: Channel, glued: bool = True, clearance: Fraction = ZERO) -> JointEffect:
    """The joint, the channel in B with its figures, and A's tongue."""
    a, b, entry = context.a, context.b, context.contact.entry
    across, run = found.across_axis, found.run_axis
    face = entry.opposite
    figures = [Figure(across, found.box.lo[across], found.box.hi[across], "size")]
    if found.edge is None:
        place = b.to_datum(across, found.box.lo[across], found.box.hi[across])
        figures.extend([place] if place is not None else [])
    figures.append(Figure(entry.axis, found.box.lo[entry.axis], found.box.hi[entry.axis], "depth"))
    for end in (Face(run, -1), Face(run, 1)):
        if found.box.at(end) != b.box.at(end):
            lo, hi = sorted((found.box.at(end), b.box.at(end)))
            figures.append(Figure(run, lo, hi, "place", end.side))
    cut = Feature(f"{b.path}.{context.kind}[{a.path}]", context.kind, face, cuts=(box_prism(found.box),), figures=tuple(figures), joint=context.id, mate=a.path, depth=found.box.size(entry.axis), span=context.tell.span)
    fasteners, pins_a, pins_b = fasten(context, found.tongue, run, across)
    tongue = Feature(f"{a.path}.tongue[{b.path}]", "tongue", None, adds=(box_prism(found.tongue),), figures=_tongue_figures(context, found), joint=context.id, mate=b.path, span=context.tell.span)
    joint = Joint(
        context.id,
        context.kind,
        a.path,
        b.path,
        entry,
        face,
        found.tongue.size(entry.axis),
        found.box.size(entry.axis),
        found.box.size(across),
        _length(context.args, "fit"),
        clearance,
        run,
        across,
        found.box,
        glued,
        found.edge is not None,
        *_stops(found, b.box, run),
        fasteners,
        context.tell.span,
    )
    deep = found.box.size(entry.axis)
    if 2 * deep > b.shoulder.size(entry.axis):
        context.tell.say(
            "PD401",
            f"the {context.kind} is deeper than half of `{b.path}`",
            notes=(f"{context.tell.figure(deep)} of {context.tell.figure(b.shoulder.size(entry.axis))}; common practice: a third, never more than half",),
            mend=f"deep {context.tell.below(b.shoulder.size(entry.axis) / 3)}, or less",
        )
    return JointEffect(joint, (tongue, *pins_a), (cut, *pins_b))


def _tongue_figures(context: JointContext, found: Channel) -> tuple[Figure, ...]:
    """A tongue that is shorter than the part's edge stands out: how far, and where it ends, from the finished edge, beyond
    which a tongue at that side may stand."""
    a, run, entry = context.a, found.run_axis, context.contact.entry
    figures: list[Figure] = []
    for end in (Face(run, -1), Face(run, 1)):
        if found.tongue.at(end) != a.shoulder.at(end):
            lo, hi = sorted((found.tongue.at(end), a.box.at(end)))
            figures.append(Figure(run, lo, hi, "place", end.side))
    if figures:
        figures.append(Figure(entry.axis, found.tongue.lo[entry.axis], found.tongue.hi[entry.axis], "size"))
    return tuple(figures)


def _stops(found: Channel, b: Box, run: int) -> tuple[Fraction, Fraction]:
    return found.box.lo[run] - b.lo[run], b.hi[run] - found.box.hi[run]


def _length(args: object, name: str) -> Fraction:
    value = args.get(name) if hasattr(args, "get") else None
    return value if isinstance(value, Fraction) else ZERO


def runs_with_grain(context: JointContext, found: Channel) -> bool:
    """Whether the channel runs along B's grain."""
    return found.run_axis == context.b.length_axis


def right_word(context: JointContext, found: Channel) -> str:
    """The trade's word for this channel (common practice): at an edge a rabbet, along the grain a groove,
    across it a dado; in stock without grain a groove along the length and a dado across it."""
    if found.edge is not None:
        return "rabbet"
    return "groove" if runs_with_grain(context, found) else "dado"


def check_word(context: JointContext, found: Channel) -> None:
    """Warn where the plan uses another word than the trade does."""
    word = right_word(context, found)
    if word == context.kind:
        return
    where = {"rabbet": f"it lies at an edge of `{context.b.path}`", "groove": f"it runs along the grain of `{context.b.path}`", "dado": f"it runs across the grain of `{context.b.path}`"}[word]
    context.tell.say("PD402", f"this {context.kind} is a {word}", notes=(where,), mend=f"joint {word} {context.a.path} into {context.b.path} ...")


def cut(context: JointContext) -> JointEffect | None:
    """The glued channel in B, as wide as A is thick plus the fit; its word is checked."""
    found = channel(context)
    if found is None:
        return None
    check_word(context, found)
    return effect(context, found)
