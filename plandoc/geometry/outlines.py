"""Outlines with arcs: their pieces and which way round they run, arcs by rise or radius, rectangles with round ends or
corners."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from plandoc.geometry.bodies import Loop, Point2, arc_of, root

ZERO = Fraction(0)
# Tangent of a quarter of a right angle, to a billionth of a billionth: the bow of a quarter circle.
QUARTER = Fraction(math.isqrt(2 * 10**36), 10**18) - 1
Edge = tuple[Point2, Point2, Fraction]


def edges(loop: Loop) -> list[Edge]:
    """Start, end and bow of every piece."""
    points, bows = loop.points, loop.bows or (ZERO,) * len(loop.points)
    return [(points[i], points[(i + 1) % len(points)], bows[i]) for i in range(len(points))]


def signed_area(loop: Loop) -> float:
    """Area (mm2), less than 0 where the outline runs clockwise."""
    total = 0.0
    for (x0, y0), (x1, y1), bow in edges(loop):
        total += float(x0 * y1 - x1 * y0) / 2
        if bow:
            angle = 4 * math.atan(float(bow))
            square = float(arc_of((x0, y0), (x1, y1), bow)[1])
            total += square * (angle - math.sin(angle)) / 2
    return total


def turned_left(loop: Loop) -> Loop:
    """The same outline, counter-clockwise."""
    if signed_area(loop) >= 0:
        return loop
    back = [(b, a, -bow) for a, b, bow in reversed(edges(loop))]
    return Loop(tuple(e[0] for e in back), tuple(e[2] for e in back))


def closed(points: Sequence[Point2], bows: Sequence[Fraction] = ()) -> Loop:
    """A counter-clockwise loop; bows as in `Loop`, all straight where left out."""
    return turned_left(Loop(tuple(points), tuple(bows) or (ZERO,) * len(points)))


def bow_of(start: Point2, end: Point2, rise: Fraction) -> Fraction:
    """Bow of the arc that stands `rise` over its chord: twice the rise by the chord (elementary geometry)."""
    return 2 * rise / root((end[0] - start[0]) ** 2 + (end[1] - start[1]) ** 2)


def rise_of(chord: Fraction, radius: Fraction) -> Fraction | None:
    """Height of the arc over its chord, no more than half a circle; None where the radius is too small."""
    square = radius * radius - chord * chord / 4
    return None if square < 0 else radius - root(square)


def radius_of(chord: Fraction, rise: Fraction) -> Fraction:
    """Radius of the arc that stands `rise` over a chord (elementary geometry)."""
    return (chord * chord / 4 + rise * rise) / (2 * rise)


def arc_middle(start: Point2, end: Point2, bow: Fraction) -> Point2:
    """The middle of an arc: half its bow by the chord at the right of the chord's middle."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    return (start[0] + end[0]) / 2 + dy * bow / 2, (start[1] + end[1]) / 2 - dx * bow / 2


def rounded(lo: Point2, hi: Point2, radius: Fraction) -> Loop:
    """A rectangle with round corners."""
    (x0, y0), (x1, y1) = lo, hi
    corners = ((x1, y0, 0, 1), (x1, y1, -1, 0), (x0, y1, 0, -1), (x0, y0, 1, 0))
    points: list[Point2] = []
    before = ((-1, 0), (0, -1), (1, 0), (0, 1))
    for (x, y, dx, dy), (ex, ey) in zip(corners, before, strict=True):
        points += [(x + ex * radius, y + ey * radius), (x + dx * radius, y + dy * radius)]
    kept: list[Point2] = []
    bows: list[Fraction] = []
    for index, point in enumerate(points):
        if point == points[(index + 1) % len(points)]:  # no straight piece between two corners
            continue
        kept.append(point)
        bows.append(QUARTER if index % 2 == 0 else ZERO)
    return Loop(tuple(kept), tuple(bows))


def slotted(lo: Point2, hi: Point2) -> Loop:
    """A slot with half circles at the ends of its longer side."""
    (x0, y0), (x1, y1) = lo, hi
    half = min(x1 - x0, y1 - y0) / 2
    one, none = Fraction(1), ZERO
    if x1 - x0 > y1 - y0:
        return Loop(((x0 + half, y0), (x1 - half, y0), (x1 - half, y1), (x0 + half, y1)), (none, one, none, one))
    return Loop(((x1, y0 + half), (x1, y1 - half), (x0, y1 - half), (x0, y0 + half)), (none, one, none, one))
