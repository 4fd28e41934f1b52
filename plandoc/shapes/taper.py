"""Taper: one or several faces sawn or planed at a slope, so that the part is narrower at one end."""

from __future__ import annotations

import math
from fractions import Fraction

from plandoc.geometry.bodies import Face, Prism, other_axes, point_on
from plandoc.geometry.outlines import closed
from plandoc.model.entities import Feature, Figure
from plandoc.model.kinds import Param, ShapeContext, ShapeKind
from plandoc.model.transform import face_word
from plandoc.shapes.angles import angle_text


def apply(context: ShapeContext) -> tuple[Feature, ...]:
    """A wedge off each face; two opposite faces share what goes off."""
    faces, end, width, given, tell, part = context.args["on"], context.args["at"], context.args["to"], context.args.get("long"), context.tell, context.part
    assert isinstance(faces, tuple) and isinstance(end, Face) and isinstance(width, Fraction)
    room = part.shoulder.size(end.axis)
    long = given if isinstance(given, Fraction) else room
    for face in faces:
        if face.axis == end.axis:
            tell.say("PD332", f"a face that is tapered towards {end.name} does not look {face.name}", mend="name faces along the part: on left, front")
            return ()
    if not 0 < long <= room:
        tell.say("PD337", f"a taper {tell.figure(long)} long does not fit on `{part.path}`", notes=(f"it is {tell.figure(room)} long from {end.name} to {end.opposite.name}",))
        return ()
    made = []
    for axis in dict.fromkeys(face.axis for face in faces):
        sides = [face for face in dict.fromkeys(faces) if face.axis == axis]
        full = part.shoulder.size(axis)
        if not 0 < width < full:
            tell.say("PD337", f"a taper to {tell.figure(width)} takes nothing or all of `{part.path}`", notes=(f"it measures {tell.figure(full)} from {Face(axis, -1).name} to {Face(axis, 1).name}",), mend=f"a width less than {tell.figure(full)}")
            return ()
        made.append(_wedges(context, sides, end, long, (full - width) / len(sides), len(faces) > 1))
    return tuple(made)


def _wedges(context: ShapeContext, sides: list[Face], end: Face, long: Fraction, off: Fraction, several: bool) -> Feature:
    part, axis = context.part, sides[0].axis
    third = 3 - axis - end.axis
    tip, start = part.box.at(end), part.shoulder.at(end) - end.side * long
    slope = angle_text(round(math.degrees(math.atan2(float(off), float(long))) * 10**6) / Fraction(10**6))
    cuts, leaders, planes = [], [], []
    for side in sides:
        face = part.box.at(side)
        low = part.shoulder.at(side) - side.side * off
        planes.append(low)
        first, _ = other_axes(third)
        corners = [(start, face), (tip, face), (tip, low), (start, part.shoulder.at(side))]
        points = list(dict.fromkeys(p if first == end.axis else (p[1], p[0]) for p in corners))
        cuts.append(Prism(third, *part.box.span(third), closed(points)))
        middle = ((tip + start) / 2, part.shoulder.at(side) - side.side * off / 2)
        at = Face(third, part.datum[third])
        leaders.append((point_on(at, part.box.at(at), middle if first == end.axis else (middle[1], middle[0])), f"taper {slope}"))
    left = sorted(planes) if len(planes) == 2 else sorted((planes[0], part.shoulder.at(sides[0].opposite)))
    figures = [Figure(end.axis, min(tip, start), max(tip, start), "size"), Figure(axis, left[0], left[1], "size")]
    if len(planes) == 2:  # where the narrow end stands
        place = part.to_datum(axis, left[0], left[1])
        figures += [place] if place is not None else []
    return Feature(
        f"{context.id}.{sides[0].name}" if several else context.id, "taper", Face(third, part.datum[third]), cuts=tuple(cuts), figures=tuple(figures),
        through=True, leaders=tuple(leaders), note=" and ".join(face_word(side) for side in sides), span=context.tell.span,
    )  # fmt: skip


KIND = ShapeKind(
    name="taper",
    doc="One or several faces that run in at a slope towards an end. `to` is the width that is left at that end; two opposite faces share what goes off.",
    params=(
        Param("on", "faces", "the faces that slope", required=True),
        Param("at", "face", "the end where the part is narrow", required=True),
        Param("to", "length", "width that is left at that end", required=True),
        Param("long", "length", "length of the slope from that end; left out: the whole part"),
    ),
    apply=apply,
    example='taper on front at top to 4" long 6"',
)
