"""What work on the edges of a part shares: which edges are meant, the room beside an edge, leaders to it."""

from __future__ import annotations

from fractions import Fraction

from plandoc.geometry.bodies import Box, Face, Loop, Point3, Prism, other_axes, point_on
from plandoc.geometry.outlines import QUARTER, closed
from plandoc.model.entities import Feature
from plandoc.model.kinds import Frame, Param, ShapeContext
from plandoc.model.rods import is_round
from plandoc.model.transform import face_word
from plandoc.shapes.placing import edge_of

ON = Param("on", "face", "the face whose edges are meant, or on which the corners are seen", required=True)
AT = Param("at", "faces", "the sides of that face whose edges are worked; left out: all of them", default=())
CORNERS = Param("corners", "flag", "the four corners of the outline instead of the edges")
CORNER = Param("corner", "faces", "one corner of the outline: the two sides that meet in it", default=())
TO_ARC = Fraction(292893, 1000000)  # 1 - cos 45 degrees: from the corner to the middle of the arc, on each side
FINGER = Fraction(1, 3)  # of an edge, from its low end: where a leader points


def worked(context: ShapeContext, kinds: tuple[str, str], first: Fraction, second: Fraction, words: str, arc: bool = False) -> tuple[Feature, ...]:
    """Work on the chosen edges of a face, from end to end, or on corners, through the part. kinds: the words for it on edges
    and on corners. first, second: how far it reaches along the first and the second face of an edge (mm); arc: a quarter
    circle in place of a flat. words: its size."""
    part, face = context.part, context.args["on"]
    assert isinstance(face, Face)
    if is_round(part.stock, part.box, part.length_axis):
        context.tell.say("PD332", f"`{part.path}` is a round rod, it has no straight edges", mend=f"leave the line out, and say it in a note of the part: note {words} all round the end")
        return ()
    pairs = chosen(context)
    if pairs is None or not fits(context, pairs, first, second):
        return ()
    at_edges = pairs[0][0] == face
    inset = (first * TO_ARC, second * TO_ARC) if arc else (second / 2, first / 2)
    return (
        Feature(
            context.id,
            kinds[0] if at_edges else kinds[1],
            face,
            cuts=tuple(edge_prism(part.box, pair, first, second, arc) for pair in pairs),
            through=not at_edges,
            leaders=tuple((edge_point(part, face, pair, inset), words + (" edge" if at_edges else "")) for pair in pairs),
            note=words + (f", {names(pairs, face)} of the {face_word(face)}" if at_edges else ""),
            span=context.tell.span,
        ),
    )


def chosen(context: ShapeContext) -> list[tuple[Face, Face]] | None:
    """The edges as pairs of faces that meet in them; None after a report."""
    face, args = context.args["on"], context.args
    sides, corner, corners = args.get("at"), args.get("corner"), args.get("corners") is True
    assert isinstance(face, Face) and isinstance(sides, tuple) and isinstance(corner, tuple)
    first, second = other_axes(face.axis)
    if bool(sides) + bool(corner) + corners > 1:
        context.tell.say("PD337", "edges, one corner or all corners: one of them", mend="at front, or corner front, left, or corners")
        return None
    if not all(edge_of(context, face, side) for side in (*sides, *corner)):
        return None
    if corners:
        return [(Face(first, a), Face(second, b)) for b in (-1, 1) for a in (-1, 1)]
    if corner:
        if len(corner) != 2 or corner[0].axis == corner[1].axis:
            context.tell.say("PD337", "a corner is named by the two sides that meet in it", mend="corner front, left")
            return None
        return [(corner[0], corner[1])]
    return [(face, side) for side in dict.fromkeys(sides or (Face(a, s) for a in (first, second) for s in (-1, 1)))]


def fits(context: ShapeContext, pairs: list[tuple[Face, Face]], first: Fraction, second: Fraction) -> bool:
    """Whether the work leaves wood on both faces of every edge; reports where it does not. Work from two sides may meet in
    the middle, work from one side leaves something of the face. first, second: how far it reaches from the edge on the
    first and on the second face of a pair (mm)."""
    part, tell = context.part, context.tell
    taken: dict[tuple[int, int], Fraction] = {}
    if min(first, second) <= 0:
        tell.say("PD331", "work on an edge needs a size greater than nothing")
        return False
    for one, two in pairs:
        # `first` is measured along the first face, so away from the second one
        for face, reach in ((two, first), (one, second)):
            taken[face.axis, face.side] = max(taken.get((face.axis, face.side), Fraction(0)), reach)
    for axis in sorted({axis for axis, _ in taken}):
        reaches = [taken[axis, side] for side in (-1, 1) if (axis, side) in taken]
        both, size = sum(reaches, Fraction(0)), part.box.size(axis)
        if both > size or (both == size and len(reaches) == 1):
            much = f"more than `{part.path}` has there" if both > size else f"all that `{part.path}` has there"
            tell.say("PD337", f"{tell.figure(both)} is {much}", notes=(f"it measures {tell.figure(size)} from {Face(axis, -1).name} to {Face(axis, 1).name}",), mend="make it smaller")
            return False
    return True


def edge_prism(box: Box, pair: tuple[Face, Face], first: Fraction, second: Fraction, arc: bool) -> Prism:
    """What goes off along an edge: a triangle, or with `arc` the corner beyond a quarter circle. first: reach along the
    first face of the pair, second: along the second (mm)."""
    one, two = pair
    axis = 3 - one.axis - two.axis
    corner = {one.axis: box.at(one), two.axis: box.at(two)}
    along_first = {**corner, two.axis: corner[two.axis] - two.side * first}
    along_second = {**corner, one.axis: corner[one.axis] - one.side * second}
    a, b = other_axes(axis)
    points = [(p[a], p[b]) for p in (along_first, corner, along_second)]
    # the arc bends towards the corner, so it turns against the way round
    (x0, y0), (x1, y1), (x2, y2) = points
    left = (x1 - x0) * (y2 - y1) - (y1 - y0) * (x2 - x1) > 0
    bow = (-QUARTER if left else QUARTER) if arc else Fraction(0)
    loop: Loop = closed(points, (Fraction(0), Fraction(0), bow))
    return Prism(axis, *box.span(axis), loop)


def edge_point(part: Frame, on: Face, pair: tuple[Face, Face], inset: tuple[Fraction, Fraction]) -> Point3:
    """Where a leader points: of an edge of the face `on` a place on it, else the corner moved inwards,
    away from the first and from the second side of the pair (mm)."""
    one, two = pair
    place = {face.axis: part.box.at(face) - face.side * off for face, off in zip(pair, inset, strict=True)}
    if one == on:
        run = 3 - one.axis - two.axis
        lo, hi = part.box.span(run)
        place = {two.axis: part.box.at(two), run: lo + (hi - lo) * FINGER}
    first, second = other_axes(on.axis)
    return point_on(on, part.box.at(on), (place[first], place[second]))


def names(pairs: list[tuple[Face, Face]], on: Face) -> str:
    """`front and left edges`, for the notes."""
    words = [face_word(two) for one, two in pairs if one == on]
    if len(words) == 4:
        return "all edges"
    return f"{', '.join(words)} edge{'s' if len(words) > 1 else ''}"
