"""Mitre: both ends are cut so that the joint runs from the inner to the outer corner; flat in a frame, or through the
thickness of a case. A spline may lie in a slot across it.
"""

from __future__ import annotations

from fractions import Fraction
from math import atan2, degrees

from plandoc.geometry.bodies import Box, Face, Point3, Prism, root
from plandoc.joints import corner as k
from plandoc.joints import reinforcing
from plandoc.joints.askew import lying
from plandoc.model.entities import Fastening, Feature, Figure
from plandoc.model.kinds import Frame, JointContext, JointEffect, JointKind, LeaningContext, Param

SPLINE = Param("spline", "size", "a strip in a slot across the mitre: its thickness and its width, half of which lies in each part")
FROM_INNER = Fraction(1, 3)  # place of a case spline on the mitre, from the inner corner: there it may be deeper


def extend(context: JointContext) -> tuple[Box, ...]:
    """A grows by the thickness (in a frame the width) of B."""
    found = _corner(context)
    return () if found is None else (found.room,)


def _corner(context: JointContext) -> k.Corner | None:
    found = k.corner(context, flat_too=True)
    if found is None:
        return None
    a, b, tell = context.a.shoulder, context.b.shoulder, context.tell
    if a.span(found.row) != b.span(found.row):
        tell.say(
            "PD472",
            f"`{context.a.path}` and `{context.b.path}` are not flush along the mitre",
            notes=tuple(f"`{f.path}` lies {context.tell.way(found.row)} from {tell.figure(f.shoulder.lo[found.row])} to {tell.figure(f.shoulder.hi[found.row])}" for f in (context.a, context.b)),
            mend=f"give both the same extent {context.tell.way(found.row)}",
        )
        return None
    return found


def cut(context: JointContext) -> JointEffect | None:
    """A triangle off each end, and the slots of a spline."""
    found = _corner(context)
    if found is None:
        return None
    high, long = found.room.size(found.out.axis), found.room.size(found.into.axis)
    if high != long:
        context.tell.say(
            "PD481",
            f"this mitre is not 45°: `{context.a.path}` measures {context.tell.figure(high)}, `{context.b.path}` {context.tell.figure(long)}",
            notes=("the joint runs from corner to corner, so that each part has an angle of its own",),
            mend="make both equally wide (of a case: equally thick)",
        )
    inner = {found.into.axis: found.near, found.out.axis: found.inner}
    outer = {found.into.axis: found.far, found.out.axis: found.rim}
    off_a = {found.into.axis: found.far, found.out.axis: found.inner}
    off_b = {found.into.axis: found.near, found.out.axis: found.rim}
    span = found.room.span(found.row)
    kind = "frame mitre" if found.flat else "case mitre"
    on_a = [k.tongue(context, found), _mitre(context, context.a, kind, k.loop(found.row, *span, (inner, outer, off_a)), found.into, found, long, high)]
    on_b = [_mitre(context, context.b, kind, k.loop(found.row, *span, (inner, outer, off_b)), found.out, found, high, long)]
    joint = k.record(context, found, (found.into.opposite, found.out), found.into)
    size = context.args.get("spline")
    if isinstance(size, tuple) and context.args.get("with") is not None:
        context.tell.say("PD371", "a mitre has a spline, or screws or dowels through it", notes=("they would meet in the middle of the corner",), mend="leave one of the two out")
        return None
    held = reinforcing.through_mitre(context, found)
    if held is None:
        return None
    joint = k.fastened(joint, held[0])
    on_a.extend(held[1])
    on_b.extend(held[2])
    if isinstance(size, tuple):
        made = _spline(context, found, size[0], size[1])
        if made is not None:
            slot_a, slot_b, fastening = made
            on_a.append(slot_a)
            on_b.append(slot_b)
            joint = k.fastened(joint, (fastening,))
    return JointEffect(joint, tuple(on_a), tuple(on_b))


def _mitre(context: JointContext, part: Frame, kind: str, prism: Prism, end: Face, found: k.Corner, along: Fraction, across: Fraction) -> Feature:
    """One cut: how far its short side stands back from its long point, which lies at the outer face."""
    mate = context.b.path if part.path == context.a.path else context.a.path
    long_side = found.out if part.path == context.a.path else found.into
    angle = "45°" if along == across else f"{degrees(atan2(float(along), float(across))):.1f}°"
    figures = [Figure(end.axis, *found.room.span(end.axis), "size")]
    if not found.flat:  # so that an edge is drawn, on which the angle is seen
        figures.append(Figure(long_side.axis, *found.room.span(long_side.axis), "size"))
    note = f"{angle}, long side {long_side.name}"
    return Feature(f"{part.path}.mitre[{mate}]", kind, end, cuts=(prism,), figures=tuple(figures), joint=context.id, mate=mate, note=note, span=context.tell.span)


def _spline(context: JointContext, found: k.Corner, thick: Fraction, wide: Fraction) -> tuple[Feature, Feature, Fastening] | None:
    """The slots in both parts and the strip; None after a report."""
    tell, room = context.tell, found.room
    long, high = room.size(found.into.axis), room.size(found.out.axis)
    depth = room.size(found.row) if found.flat else min(long, high)
    if not 0 < thick < depth or wide <= 0:
        tell.say("PD474", f"a spline {tell.figure(thick)} thick does not fit into the mitre", notes=(f"the wood is {tell.figure(depth)} thick",), mend=f"a third of the thickness is usual: spline {tell.below(depth / 3)} x {tell.figure(wide)}")
        return None
    line = root(long * long + high * high)
    # unit vectors along the mitre, from the inner corner outwards, and square to it, into A
    ux, uy = Fraction(found.into.side) * long / line, Fraction(found.out.side) * high / line
    vx, vy = -Fraction(found.into.side) * high / line, Fraction(found.out.side) * long / line
    half = wide / 2
    if found.flat:
        starts, ends = -half, line + half
        middle = (room.lo[found.row] + room.hi[found.row]) / 2
        lo, hi = middle - thick / 2, middle + thick / 2
        limit = min(long, high)
    else:
        place = line * FROM_INNER
        starts, ends = place - thick / 2, place + thick / 2
        lo, hi = room.span(found.row)
        # square to the mitre the slot heads for the outer face
        limit = (line - ends) * min(long, high) / max(long, high)
    if half >= limit:
        tell.say("PD474", f"a slot {tell.figure(half)} deep comes out of the wood", notes=(f"there is {tell.figure(limit)} of it at that place",), mend=f"spline {tell.figure(thick)} x {tell.below(limit)}")
        return None

    def slot(part: Frame, side: int, mate: str, end: Face) -> Feature:
        points = []
        for along, square in ((starts, k.ZERO), (ends, k.ZERO), (ends, side * half), (starts, side * half)):
            points.append({found.into.axis: found.near + ux * along + vx * square, found.out.axis: found.inner + uy * along + vy * square})
        prism = k.loop(found.row, lo, hi, points)
        where = f"{tell.figure(thick)} wide, {tell.figure(half)} deep, square to the mitre"
        ident, kind = f"{part.path}.spline[{mate}]", "spline slot"
        if found.flat:
            place = part.to_datum(found.row, lo, hi)
            figures = [*([place] if place is not None else []), Figure(found.row, lo, hi, "size")]
            return Feature(ident, kind, end, cuts=(prism,), figures=tuple(figures), joint=context.id, mate=mate, note=where, span=tell.span)
        # seen from the edge, the middle of its mouth lies on the mitre
        face = Face(found.row, part.datum[found.row])
        mouth = list(point)
        mouth[found.row] = part.box.at(face)
        placed = [f for axis in (found.into.axis, found.out.axis) if (f := part.to_datum(axis, point[axis], point[axis])) is not None]
        return Feature(
            ident, kind, face, cuts=(prism,), figures=tuple(placed), joint=context.id, mate=mate, through=True, centre=(mouth[0], mouth[1], mouth[2]), note=where, span=tell.span
        )  # fmt: skip

    centre = [k.ZERO] * 3
    centre[found.into.axis] = (found.near + found.far) / 2 if found.flat else found.near + ux * line * FROM_INNER
    centre[found.out.axis] = (found.inner + found.rim) / 2 if found.flat else found.inner + uy * line * FROM_INNER
    centre[found.row] = (room.lo[found.row] + room.hi[found.row]) / 2
    point: Point3 = (centre[0], centre[1], centre[2])
    step = tell.units.step_mm
    length = -(-line // step) * step if found.flat else room.size(found.row)
    fastening = Fastening("spline", f"spline {tell.figure(thick)} × {tell.figure(wide)} × {tell.figure(length)}", thick, length, (point,), found.row, tell.span)
    return slot(context.a, 1, context.b.path, found.into), slot(context.b, -1, context.a.path, found.out), fastening


def leaning(context: LeaningContext) -> JointEffect | None:
    """Of parts that lean differently: the ends lie on each other, without a spline."""
    if context.args.get("spline") is not None:
        context.tell.say("PD474", "a mitre of parts that lean differently takes no spline", notes=("its slots would lie square to no face of the parts",), mend="leave `spline` out, or fit blocks behind the joint")
        return None
    return lying(context)


KIND = JointKind(
    name="mitre",
    doc="Both ends are cut from the inner to the outer corner, flat in a frame or through the thickness of a case; a spline may cross it, or screws or dowels hold it.",
    params=(SPLINE, *reinforcing.MITRED),
    extend=extend,
    cut=cut,
    leaning=leaning,
    bisects=True,
    example='joint mitre top into left_side spline 1/8" x 1/2"\njoint mitre top into right_side with screw8 every 3"',
)
