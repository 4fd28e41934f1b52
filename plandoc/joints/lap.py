"""Lap: two parts lie in each other where they cross or meet, each gives up its share of the common room.

The forms follow from how the parts meet. Where both run on it is a cross lap, where one ends at the other a T lap, where
both end an end lap or, of parts in one line, a half lap; of panels that cross on edge, an edge lap (egg crate).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from plandoc.geometry.bodies import AXES, UP, Box, Face, box_prism
from plandoc.joints import channel as c
from plandoc.joints.fastening import fasten
from plandoc.model.entities import Feature, Figure, Joint
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, Param

THIRD = Fraction(1, 3)

DEEP = Param("deep", "length", "how deep the first part is cut; the second is cut by the rest")
FIT = Param("fit", "length", "what each notch is wider than the part that lies in it", default=Fraction(0))
OVER = Param("over", "flag", "the first part lies over the second: it is cut from below", default=False)
UNDER = Param("under", "flag", "the first part lies under the second: it is cut from above", default=False)
CUT_FROM = Param("from", "faces", "the face of the first part that is cut, where over or under say nothing", default=())


@dataclass(frozen=True, slots=True)
class Lap:
    """The lap in world mm. room: what both want; lead: the face of A that is cut, and the way A moves to go in. plane:
    where the two halves meet; cut_a, cut_b: what each loses; tongue: what A grows by, None where the parts cross."""

    room: Box
    lead: Face
    plane: Fraction
    cut_a: Box
    cut_b: Box
    tongue: Box | None
    form: str


def lap(context: JointContext) -> Lap | None:
    """Where the lap lies; None after a report."""
    a, b, contact, tell = context.a, context.b, context.contact, context.tell
    crossing = contact.area.volume > 0
    whole = a.shoulder if crossing else a.shoulder.with_face(contact.entry, b.shoulder.at(contact.entry))
    room = whole.common(b.shoulder)
    if room is None:  # only boxes without thickness share no room here
        return None
    usual = _usual(a, b, whole, room, None if crossing else contact.entry.axis)
    axis = usual.axis
    lead = _lead(context, usual)
    if lead is None:
        return None
    high = room.size(axis)
    given = context.args.get("deep")
    deep = given if isinstance(given, Fraction) else high / 2
    if not 0 < deep < high:
        tell.say("PD470", f"a lap {tell.figure(deep)} deep does not divide the room that `{a.path}` and `{b.path}` share", notes=(f"that room is {tell.figure(high)} high",), mend=f"leave `deep` out for halves, or less than {tell.figure(high)}")
        return None
    plane = room.at(lead) - lead.side * deep
    value = context.args.get("fit")
    fit = value if isinstance(value, Fraction) else Fraction(0)
    box_a, box_b = a.box.union(whole), b.box
    cut_a = _notch(room, box_a, axis, fit).with_face(lead, box_a.at(lead)).with_face(lead.opposite, plane)
    cut_b = _notch(room, box_b, axis, fit).with_face(lead.opposite, box_b.at(lead.opposite)).with_face(lead, plane)
    tongue = None if crossing else whole.with_face(contact.entry.opposite, contact.plane)
    return Lap(room, lead, plane, cut_a, cut_b, tongue, _form(a, b, whole, room, axis))


def _usual(a: Frame, b: Frame, whole: Box, room: Box, taken: int | None) -> Face:
    """The face of A that is cut where the plan does not say: the one for which the least wood must go beside the common
    room; then along the thickness of both, or, of panels on edge, their common height; then A's reference
    face (from below, front or left; of a mirror image the mirrored one)."""
    same = a.thickness_axis if a.thickness_axis == b.thickness_axis else 3 - a.thickness_axis - b.thickness_axis

    def beside(lead: Face) -> Fraction:
        out = lead.opposite
        return (whole.at(lead) - room.at(lead)) * lead.side + (b.shoulder.at(out) - room.at(out)) * out.side

    leads = (Face(axis, side) for axis in AXES for side in (-1, 1) if axis != taken)
    return min(leads, key=lambda f: (beside(f), f.axis != same, f.axis != UP, f.axis, f.side != a.datum[f.axis]))


def _lead(context: JointContext, usual: Face) -> Face | None:
    """The face of A that is cut: as the plan says, else the usual one."""
    tell, args, axis = context.tell, context.args, usual.axis
    low, high = Face(axis, -1), Face(axis, 1)
    faces = args.get("from")
    over, under = bool(args.get("over")), bool(args.get("under"))
    given = faces if isinstance(faces, tuple) else ()
    if (over or under) and axis != UP:
        tell.say("PD471", f"`{'over' if over else 'under'}` says nothing here: these parts lap from {tell.face(low)} to {tell.face(high)}", mend=f"from {tell.face(low)}, or from {tell.face(high)}")
        return None
    if over + under + len(given) > 1:
        tell.say("PD471", "the face that is cut is named twice", notes=("`over` cuts the first part from its bottom, `under` from its top",), mend="keep one of them")
        return None
    if given and given[0].axis != axis:
        tell.say("PD471", f"these parts lap from {tell.face(low)} to {tell.face(high)}, the first cannot be cut from {tell.face(given[0])}", mend=f"from {tell.face(low)}, or from {tell.face(high)}")
        return None
    if given:
        return given[0] if isinstance(given[0], Face) else None
    return high if under else low if over else usual


def _notch(room: Box, whole: Box, axis: int, fit: Fraction) -> Box:
    """The room with its play on the sides where the part runs on."""
    found = room
    for x in AXES:
        if x == axis:
            continue
        sides = [Face(x, s) for s in (-1, 1) if whole.at(Face(x, s)) != room.at(Face(x, s))]
        for side in sides:
            found = found.with_face(side, room.at(side) + side.side * fit / len(sides))
    return found


def _ends(part: Box, room: Box, axis: int) -> int:
    """On how many sides of the room the part runs on along an axis."""
    return (part.lo[axis] < room.lo[axis]) + (part.hi[axis] > room.hi[axis])


def _form(a: Frame, b: Frame, whole: Box, room: Box, axis: int) -> str:
    if all(p.shoulder.size(axis) > 2 * p.shoulder.size(p.thickness_axis) for p in (a, b)):
        return "edge lap"
    first, second = (x for x in AXES if x != axis)
    runs_a = max(first, second, key=lambda x: (_ends(whole, room, x) > 0, x == a.length_axis))
    runs_b = max(first, second, key=lambda x: (_ends(b.shoulder, room, x) > 0, x == b.length_axis))
    if runs_a == runs_b:
        return "half lap"
    ends = sorted((_ends(whole, room, runs_a), _ends(b.shoulder, room, runs_b)))
    return {1: "end lap", 2: "cross lap"}.get(ends[0], "end lap") if ends[0] == ends[1] else "T lap"


def extend(context: JointContext) -> tuple[Box, ...]:
    """Of parts that touch, A grows to the far side of B."""
    found = lap(context)
    return () if found is None or found.tongue is None else (found.tongue,)


def cut(context: JointContext) -> JointEffect | None:
    """Both notches with their figures."""
    found = lap(context)
    if found is None:
        return None
    a, b, lead = context.a, context.b, found.lead
    axis = lead.axis
    _warn(context, a, found.cut_a, axis)
    _warn(context, b, found.cut_b, axis)
    on_a = [_feature(context, a, found.cut_a, lead, found.form, b.path)]
    on_b = [_feature(context, b, found.cut_b, lead.opposite, found.form, a.path)]
    if found.tongue is not None:
        on_a.insert(0, Feature(f"{a.path}.tongue[{b.path}]", "tongue", None, adds=(box_prism(found.tongue),), joint=context.id, mate=b.path, span=context.tell.span))
    run = max((x for x in AXES if x != axis), key=lambda x: (_ends(a.box, found.room, x), x == a.length_axis))
    across = 3 - axis - run
    laid = replace(context, contact=replace(context.contact, entry=lead))
    fasteners, pins_a, pins_b = fasten(laid, found.room.with_face(lead, found.plane), run, across)
    depth = found.cut_b.size(axis)
    joint = Joint(
        context.id, context.kind, a.path, b.path, lead, lead.opposite, depth, depth, found.cut_b.size(across),
        found.cut_b.size(across) - found.room.size(across), Fraction(0), run, across, found.cut_b,
        fasteners=fasteners, span=context.tell.span, ways=_ways(a.box, b.box, found),
    )  # fmt: skip
    return JointEffect(joint, (*on_a, *pins_a), (*on_b, *pins_b))


def _feature(context: JointContext, part: Frame, cut: Box, face: Face, form: str, mate: str) -> Feature:
    """One notch: its place from the reference face and its width, along every axis where wood stands beside it; how deep."""
    axis = face.axis
    figures: list[Figure] = []
    for x in AXES:
        if x == axis or not _ends(part.box, cut, x):
            continue
        if _ends(part.box, cut, x) == 2:
            place = part.to_datum(x, *cut.span(x))
            figures.extend([place] if place is not None else [])
        figures.append(Figure(x, *cut.span(x), "size"))
    figures.append(Figure(axis, *cut.span(axis), "depth"))
    return Feature(f"{part.path}.lap[{mate}]", form, face, cuts=(box_prism(cut),), figures=tuple(figures), joint=context.id, mate=mate, depth=cut.size(axis), span=context.tell.span)


def _warn(context: JointContext, part: Frame, cut: Box, axis: int) -> None:
    left, tell = part.box.size(axis) - cut.size(axis), context.tell
    if left < part.box.size(axis) * THIRD:
        tell.say(
            "PD475",
            f"the lap leaves {tell.figure(left)} of `{part.path}`",
            notes=(f"it is {tell.figure(part.box.size(axis))} thick there; common practice: half, never less than a third",),
            mend="leave `deep` out for halves",
        )


def _ways(a: Box, b: Box, found: Lap) -> tuple[Face, ...]:
    """Out against the lead; and along the lap where no shoulder of A and no wood of B stands in the way."""
    ways = [found.lead.opposite]
    for x in AXES:
        if x == found.lead.axis:
            continue
        for side in (-1, 1):
            way = Face(x, side)
            shoulder = (found.room.at(way.opposite) - a.at(way.opposite)) * side > 0
            wall = (b.at(way) - found.room.at(way)) * side > 0
            if not shoulder and not wall:
                ways.append(way)
    return tuple(ways)


KIND = JointKind(
    name="lap",
    doc="Two parts lie in each other, each cut by half where they cross; parts that touch grow into each other first.",
    params=(DEEP, FIT, OVER, UNDER, CUT_FROM, *c.FASTENED, c.DRY),
    extend=extend,
    cut=cut,
    example="joint lap rail onto left_side, right_side",
    meets="any",
)
