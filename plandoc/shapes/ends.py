"""Straight saw cuts at an angle: what mitre, bevel and compound cut share. The part keeps its length at the long point."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Body, Chunk, Face, Prism, other_axes, point_on
from plandoc.geometry.outlines import closed
from plandoc.model.entities import Feature
from plandoc.model.kinds import Param, ShapeContext
from plandoc.model.transform import face_word
from plandoc.shapes.angles import angle_text, tangent

AT = Param("at", "face", "the end or edge that is cut", required=True)


def sawn(context: ShapeContext, kind: str, note: str) -> tuple[Feature, ...]:
    """The wedge off the end that the arguments name, seen along the cut."""
    degrees, end, point, part = context.args["angle"], context.args["at"], context.args["point"], context.part
    assert isinstance(degrees, Fraction) and isinstance(end, Face) and isinstance(point, Face)
    wedge = slanted(context, end, point, degrees)
    if wedge is None:
        return ()
    seen = Face(wedge.axis, part.datum[wedge.axis])
    words = f"{angle_text(degrees)} {kind}, long point {face_word(point)}"
    return (off_end(context, kind, wedge, seen, end, part.shoulder.span(point.axis), degrees, words, note),)


def off_end(
    context: ShapeContext, kind: str, body: Body, seen: Face, end: Face, span: tuple[Fraction, Fraction], degrees: Fraction, words: str, note: str
) -> Feature:
    """The cut with its words at the middle of its line on the face `seen`. span: from where to where the line goes across
    the end (mm), degrees: its angle there."""
    box, (lo, hi) = context.part.box, span
    along, across = box.at(end) - end.side * (hi - lo) / 2 * tangent(degrees), (lo + hi) / 2
    aim = point_on(seen, box.at(seen), (along, across) if other_axes(seen.axis)[0] == end.axis else (across, along))
    return Feature(context.id, kind, seen, cuts=(body,), through=True, leaders=((aim, words),), note=note, span=context.tell.span)


def slanted(context: ShapeContext, end: Face, point: Face, degrees: Fraction) -> Prism | None:
    """The wedge that a straight cut at that angle from square takes off, its long point at the face `point`; None after
    a report."""
    part, tell = context.part, context.tell
    if point.axis == end.axis:
        tell.say("PD298", f"the long point cannot lie at {point.name} of a cut at {end.name}", mend="name a face beside it")
        return None
    if degrees <= 0:
        tell.say("PD298", "a cut at an angle needs an angle greater than nothing", mend="0° is a square cut: leave the line out")
        return None
    short = part.shoulder.size(point.axis) * tangent(degrees)
    if short >= part.shoulder.size(end.axis):
        tell.say("PD337", f"this cut takes off more than `{part.path}` has", notes=(f"at the short side {tell.figure(short)} go off, it measures {tell.figure(part.shoulder.size(end.axis))}",), mend="a smaller angle")
        return None
    axis = 3 - end.axis - point.axis
    tip, far = part.box.at(end), part.box.at(point.opposite)
    long = part.shoulder.at(point)
    # a tongue beyond the shoulder goes off along the same line
    run = abs(far - long) * tangent(degrees)
    corners = [(tip, long), (tip - end.side * run, far), (tip, far)]
    first, _ = other_axes(axis)
    return Prism(axis, *part.box.span(axis), closed([p if first == end.axis else (p[1], p[0]) for p in corners]))


def compound(context: ShapeContext, end: Face, points: tuple[Face, Face], angles: tuple[Fraction, Fraction]) -> Chunk | None:
    """The room beyond a plane that slants both ways; None after a report. angles: on the broad face and on the edge."""
    part, tell = context.part, context.tell
    slopes = tangent(angles[0]), tangent(angles[1])
    short = sum((part.box.size(p.axis) * s for p, s in zip(points, slopes, strict=True)), Fraction(0))
    if short >= part.shoulder.size(end.axis):
        tell.say("PD337", f"this cut takes off more than `{part.path}` has", notes=(f"at the short corner {tell.figure(short)} go off, it measures {tell.figure(part.shoulder.size(end.axis))}",), mend="smaller angles")
        return None
    normal = list(end.normal)
    offset = end.side * part.box.at(end)
    for point, slope in zip(points, slopes, strict=True):
        normal[point.axis] = -point.side * slope
        offset += -point.side * slope * part.box.at(point)
    return Chunk(part.box, (normal[0], normal[1], normal[2]), offset)
