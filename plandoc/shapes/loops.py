"""Free outlines of parts and pockets: read line by line, what a part loses by one, its figures and radii."""

from __future__ import annotations

import math
from fractions import Fraction
from itertools import pairwise

import shapely

from plandoc.geometry.bodies import (
    Face,
    Loop,
    Point2,
    Point3,
    Prism,
    arc_of,
    loop_limits,
    other_axes,
    point_on,
    root,
)
from plandoc.geometry.facets import polygon
from plandoc.geometry.outlines import ZERO, arc_middle, bow_of, closed, edges, rise_of, turned_left
from plandoc.model.entities import Figure
from plandoc.model.kinds import Frame, ShapeContext
from plandoc.quantity.shoptext import APPROXIMATE
from plandoc.shapes.placing import plane_of


def free_outline(context: ShapeContext, face: Face) -> Loop | None:
    """The outline written below the line, counter-clockwise, in the part's coordinates; None after a report."""
    lines, tell = context.drawn, context.tell
    plane = plane_of(context, face)
    if plane is None:
        return None
    if len(lines) < 3 or lines[0].word != "start" or any(line.word == "start" for line in lines[1:]):
        tell.say("PD296", "a free outline begins with `start` and leads on with `line to` and `arc to`", mend='start 0, 0, below it line to 6", 0 and line to 6", 3"; the last place is joined to the first')
        return None
    points = [plane.place(line.to) for line in lines]
    bows: list[Fraction] = []
    for index, line in enumerate(lines[1:]):
        start, end = points[index], points[index + 1]
        if start == end:
            tell.say("PD296", "this leads to where the outline stands already", span=line.span)
            return None
        if line.word == "line":
            bows.append(ZERO)
            continue
        rise = line.rise
        if line.radius is not None:
            chord = root((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2)
            rise = rise_of(chord, line.radius)
            if rise is None:
                tell.say("PD296", f"an arc with a radius of {tell.figure(line.radius)} does not reach so far", notes=(f"its ends are {tell.figure(chord)} apart",), mend=f"a radius of at least {tell.figure(chord / 2)}", span=line.span)
                return None
        assert rise is not None
        if rise <= 0:
            tell.say("PD296", "an arc needs a rise greater than nothing", span=line.span)
            return None
        bows.append(bow_of(start, end, rise) * line.turning * plane.hand)
    if points[-1] == points[0]:
        points.pop()
    else:
        bows.append(ZERO)
    return checked(context, face, turned_left(Loop(tuple(points), tuple(bows))))


def checked(context: ShapeContext, face: Face, loop: Loop) -> Loop | None:
    """The loop, if it does not cross itself and lies on the part; None after a report."""
    tell, part = context.tell, context.part
    flat = shapely.Polygon(polygon(loop)[0]) if len(loop.points) > 1 else None
    if flat is None or not flat.is_valid or flat.area < 1e-3:
        tell.say("PD296", "this outline crosses itself or encloses nothing", mend="go once round, each place on the way to the next")
        return None
    lo, hi = loop_limits(loop)
    for index, axis in enumerate(other_axes(face.axis)):
        least, most = part.box.span(axis)
        beyond = max(least - lo[index], hi[index] - most)
        if beyond > Fraction(1, 10**6):
            side = Face(axis, -1 if least - lo[index] >= hi[index] - most else 1)
            tell.say("PD330", f"this reaches {tell.figure(beyond)} over the {side.name} edge of `{part.path}`", notes=(f"the outline runs from {tell.figure(lo[index] - least)} to {tell.figure(hi[index] - least)} of {tell.figure(most - least)}",))
            return None
    return loop


def outside(part: Frame, face: Face, loop: Loop) -> tuple[Prism, ...]:
    """What a part loses when it gets this outline: the room between loop and box in up to four pieces, above and below,
    before and behind the loop's ends along the part's length. Each reaches beyond the part, so that it is simple."""
    axes = other_axes(face.axis)
    along = axes.index(part.length_axis) if part.length_axis in axes else 0
    limits = [part.box.span(a) for a in axes]
    margin = max(hi - lo for lo, hi in limits)
    (a0, a1), (b0, b1) = limits[along], limits[1 - along]
    ring = _with_ends(_swapped(loop) if along else loop)
    first, last = min(p[0] for p, _ in ring), max(p[0] for p, _ in ring)
    tied = [[i for i, (p, _) in enumerate(ring) if p[0] == end] for end in (first, last)]
    low_a, high_a = (f(tied[0], key=lambda i: ring[i][0][1]) for f in (min, max))
    low_b, high_b = (f(tied[1], key=lambda i: ring[i][0][1]) for f in (min, max))
    pieces = []
    for start, stop, before, after in (
        (low_a, low_b, (ring[low_a][0][0], b0 - margin), (ring[low_b][0][0], b0 - margin)),
        (high_b, high_a, (ring[high_b][0][0], b1 + margin), (ring[high_a][0][0], b1 + margin)),
        (low_b, high_b, (a1 + margin, ring[low_b][0][1]), (a1 + margin, ring[high_b][0][1])),
        (high_a, low_a, (a0 - margin, ring[high_a][0][1]), (a0 - margin, ring[low_a][0][1])),
    ):
        pieces.append(_piece(ring, start, stop, before, after))
    # before and behind the whole loop
    pieces.append([((a0 - margin, b0 - margin), ZERO), ((first, b0 - margin), ZERO), ((first, b1 + margin), ZERO), ((a0 - margin, b1 + margin), ZERO)] if first > a0 else [])
    pieces.append([((last, b0 - margin), ZERO), ((a1 + margin, b0 - margin), ZERO), ((a1 + margin, b1 + margin), ZERO), ((last, b1 + margin), ZERO)] if last < a1 else [])
    found = []
    lo, hi = part.box.span(face.axis)
    room = shapely.box(float(a0), float(b0), float(a1), float(b1))
    for piece in pieces:
        if len(piece) < 3:
            continue
        shape = closed([p for p, _ in piece], [b for _, b in piece])
        if shapely.Polygon(polygon(shape)[0]).intersection(room).area < 1e-3:
            continue
        if along:
            shape = _swapped(shape)
        found.append(Prism(face.axis, lo, hi, shape))
    return tuple(found)


def _piece(ring: list[tuple[Point2, Fraction]], start: int, stop: int, before: Point2, after: Point2) -> list[tuple[Point2, Fraction]]:
    """The chain of the loop from start to stop, closed by way of two places outside."""
    if start == stop:
        return []
    chain: list[tuple[Point2, Fraction]] = []
    index = start
    while index != stop:
        chain.append(ring[index])
        index = (index + 1) % len(ring)
    chain.append((ring[stop][0], ZERO))
    return [*chain, (after, ZERO), (before, ZERO)]


def _swapped(loop: Loop) -> Loop:
    """The two axes change places, and with them the hand."""
    return closed([(y, x) for x, y in loop.points], [-b for _, _, b in edges(loop)])


def _with_ends(loop: Loop) -> list[tuple[Point2, Fraction]]:
    """Points and bows, with a point more where an arc reaches its least or greatest first coordinate."""
    found: list[tuple[Point2, Fraction]] = []
    for start, end, bow in edges(loop):
        cuts = [start, end] if not bow else [start, *_turns(start, end, bow), end]
        if len(cuts) == 2:
            found.append((start, bow))
            continue
        centre = arc_of(start, end, bow)[0]
        for a, b in pairwise(cuts):
            found.append((a, _part_bow(a, b, centre, bow > 0)))
    return found


def _turns(start: Point2, end: Point2, bow: Fraction) -> list[Point2]:
    centre, square = arc_of(start, end, bow)
    radius = root(square)
    sweep, turn = 4 * math.atan(abs(float(bow))), 1 if bow > 0 else -1
    begin = math.atan2(float(start[1] - centre[1]), float(start[0] - centre[0]))
    found = []
    for side in (-1, 1):
        point = (centre[0] + side * radius, centre[1])
        at = math.atan2(float(point[1] - centre[1]), float(point[0] - centre[0]))
        gone = ((at - begin) * turn) % (2 * math.pi)
        if 1e-7 < gone < sweep - 1e-7:
            found.append((gone, point))
    return [p for _, p in sorted(found)]


def _part_bow(a: Point2, b: Point2, centre: Point2, left: bool) -> Fraction:
    begin = math.atan2(float(a[1] - centre[1]), float(a[0] - centre[0]))
    stop = math.atan2(float(b[1] - centre[1]), float(b[0] - centre[0]))
    sweep = (stop - begin) % (2 * math.pi) if left else -((begin - stop) % (2 * math.pi))
    return Fraction(round(math.tan(sweep / 4) * 10**12), 10**12)


def corner_figures(part: Frame, face: Face, loop: Loop) -> tuple[Figure, ...]:
    """From the reference edges to every corner and every end of an arc that lies on no edge of the part."""
    found: dict[Figure, None] = {}
    for index, axis in enumerate(other_axes(face.axis)):
        for value in sorted({p[index] for p in loop.points}):
            if part.box.lo[axis] < value < part.box.hi[axis]:
                figure = part.to_datum(axis, value, value)
                if figure is not None:
                    found[figure] = None
    return tuple(found)


def arc_leaders(context: ShapeContext, face: Face, level: Fraction, loop: Loop) -> tuple[tuple[Point3, str], ...]:
    """`R 3"` at the middle of each arc; its rise too where only that is no rounded figure."""
    found = []
    for start, end, bow in edges(loop):
        if bow:
            radius = root(arc_of(start, end, bow)[1])
            near = round(radius * 10**6) / Fraction(10**6)  # a radius from the plan comes back to a billionth
            words = f"R {context.tell.figure(near)}"
            if APPROXIMATE in words:
                rise = round(abs(bow) * root((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2) / 2 * 10**6) / Fraction(10**6)
                high = context.tell.figure(rise)
                words = words if APPROXIMATE in high else f"rise {high}, {words}"
            found.append((point_on(face, level, arc_middle(start, end, bow)), words))
    return tuple(found)
