"""Closed outlines in a plane made of straight strokes and true arcs: united, cut from each other, turned, cut to a
window.

Areas are united and subtracted as polygons whose chords lie within SAGITTA of their arcs; afterwards runs of chords
that lie on one of the circles become arcs again. Lengths are mm; which way y points is the caller's matter.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import acos, atan2, ceil, cos, hypot, pi, sin

import numpy as np
import shapely

from plandoc.geometry.bodies import Disc, Outline, Point2, Rect, arc_of, root

XY = tuple[float, float]
SAGITTA = 0.0005  # mm between an arc and its chord
ON_CIRCLE = 0.002  # mm; a point this near to a circle lies on it
LEAST = 1e-4  # mm; shorter strokes are dropped


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight stroke."""

    start: XY
    end: XY


@dataclass(frozen=True, slots=True)
class Curve:
    """A circular arc from start to end round a centre; left: it turns left as seen with y upwards. start == end is
    the whole circle."""

    start: XY
    end: XY
    centre: XY
    radius: float
    left: bool

    @property
    def turn(self) -> float:
        """The angle (radians) that it covers, positive to the left."""
        a = atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        b = atan2(self.end[1] - self.centre[1], self.end[0] - self.centre[0])
        angle = (b - a) % (2 * pi) if self.left else (a - b) % (2 * pi)
        angle = 2 * pi if angle < 1e-9 or self.start == self.end else angle
        return angle if self.left else -angle

    def points(self, sagitta: float = SAGITTA) -> tuple[XY, ...]:
        """Points from start to end whose chords lie within `sagitta` of the arc."""
        turn = self.turn
        step = 2 * acos(max(0.0, 1 - sagitta / self.radius)) if sagitta < self.radius else 1.0
        count = max(2, ceil(abs(turn) / step))
        first = atan2(self.start[1] - self.centre[1], self.start[0] - self.centre[0])
        (x, y), r = self.centre, self.radius
        inner = tuple((x + r * cos(first + turn * i / count), y + r * sin(first + turn * i / count)) for i in range(1, count))
        return (self.start, *inner, self.end)


Stroke = Straight | Curve
Contour = tuple[Stroke, ...]


def contour(outline: Outline) -> Contour:
    """The outline of an exact body as strokes."""
    if isinstance(outline, Rect):
        (x0, y0), (x1, y1) = _xy(outline.lo), _xy(outline.hi)
        return polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)))
    if isinstance(outline, Disc):
        return circle(_xy(outline.centre), float(outline.radius))
    found: list[Stroke] = []
    for index, start in enumerate(outline.points):
        end = outline.points[(index + 1) % len(outline.points)]
        bow = outline.bows[index] if index < len(outline.bows) else Fraction(0)
        if bow:
            centre, square = arc_of(start, end, bow)
            found.append(Curve(_xy(start), _xy(end), _xy(centre), float(root(square)), bow > 0))
        elif start != end:
            found.append(Straight(_xy(start), _xy(end)))
    return tuple(found)


def circle(centre: XY, radius: float) -> Contour:
    """A whole circle."""
    start = (centre[0] + radius, centre[1])
    return (Curve(start, start, centre, radius, True),)


def polyline(points: Sequence[XY]) -> Contour:
    """A closed contour of straight strokes."""
    return tuple(Straight(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True) if a != b)


def moved(shape: Contour, place: Callable[[XY], XY]) -> Contour:
    """The contour under a motion of the plane, mirroring included."""
    o, x, y = place((0.0, 0.0)), place((1.0, 0.0)), place((0.0, 1.0))
    mirrored = (x[0] - o[0]) * (y[1] - o[1]) - (x[1] - o[1]) * (y[0] - o[0]) < 0
    found: list[Stroke] = []
    for stroke in shape:
        start, end = place(stroke.start), place(stroke.end)
        if isinstance(stroke, Straight):
            found.append(Straight(start, end))
        else:
            found.append(Curve(start, end, place(stroke.centre), stroke.radius, stroke.left != mirrored))
    return tuple(found)


def points(shape: Contour, sagitta: float = SAGITTA) -> tuple[XY, ...]:
    """Points along the contour, the first not repeated."""
    found: list[XY] = []
    for stroke in shape:
        chain = (stroke.start, stroke.end) if isinstance(stroke, Straight) else stroke.points(sagitta)
        found.extend(chain[:-1])
    return tuple(found)


def area(shape: Contour) -> shapely.Polygon:
    """The area inside."""
    return shapely.Polygon(points(shape))


def combined(adds: Iterable[Contour], cuts: Iterable[Contour] = (), within: Contour | None = None) -> tuple[Contour, ...]:
    """The contours of all areas of `adds` together less those of `cuts`, and of that only what lies `within`; outer ones
    run to the left round their area, holes to the right. In order of place: from below, then from the left."""
    added, taken = tuple(adds), tuple(cuts)
    shape = shapely.union_all([area(a) for a in added])
    if taken:
        shape = shape.difference(shapely.union_all([area(c) for c in taken]))
    limits = (within,) if within is not None else ()
    for limit in limits:
        shape = shape.intersection(area(limit))
    circles = sorted({(s.centre, s.radius) for c in (*added, *taken, *limits) for s in c if isinstance(s, Curve)})
    found: list[Contour] = []
    for part in getattr(shape, "geoms", (shape,)):
        if isinstance(part, shapely.Polygon) and not part.is_empty and part.area > LEAST:
            solid = shapely.geometry.polygon.orient(part)
            found.extend(with_arcs([(x, y) for x, y in ring.coords[:-1]], circles) for ring in (solid.exterior, *solid.interiors))
    return tuple(sorted((f for f in found if f), key=lambda c: min((round(p[1], 3), round(p[0], 3)) for p in points(c, 0.05))))


def with_arcs(ring: Sequence[XY], circles: Sequence[tuple[XY, float]]) -> Contour:
    """A closed run of points (the first not repeated) as strokes: runs of chords that lie on one of the circles as arcs, straight
    strokes in one line as one."""
    ring = [p for i, p in enumerate(ring) if hypot(p[0] - ring[i - 1][0], p[1] - ring[i - 1][1]) > LEAST]
    if len(ring) < 3:
        return ()
    count = len(ring)
    homes = _homes(ring, circles)
    breaks = [i for i in range(count) if _breaks(ring[i - 1], ring[i], ring[(i + 1) % count], homes[i - 1], homes[i])]
    if not breaks:
        home = homes[0]
        return circle(circles[home][0], circles[home][1]) if home >= 0 and _left(ring) else _reversed(circle(*circles[home]))
    found: list[Stroke] = []
    for number, first in enumerate(breaks):
        last = breaks[(number + 1) % len(breaks)]
        home = homes[first]
        if home < 0:
            found.append(Straight(ring[first], ring[last]))
        else:
            centre, radius = circles[home]
            after = ring[(first + 1) % count]
            (ax, ay), (bx, by) = (ring[first][0] - centre[0], ring[first][1] - centre[1]), (after[0] - centre[0], after[1] - centre[1])
            found.append(Curve(ring[first], ring[last], centre, radius, ax * by - ay * bx > 0))
    return tuple(found)


def _homes(ring: Sequence[XY], circles: Sequence[tuple[XY, float]]) -> list[int]:
    """The circle on which each stroke of a ring lies, -1 for none. A chord is told from a straight stroke by its middle:
    that of a chord of the division lies within SAGITTA of the circle too."""
    found = np.full(len(ring), -1)
    at = np.array(ring, dtype=float)
    after = np.roll(at, -1, axis=0)
    rows = np.stack((at, (at + after) / 2, after))
    for number in range(len(circles) - 1, -1, -1):
        centre, radius = circles[number]
        off = np.abs(np.hypot(rows[..., 0] - centre[0], rows[..., 1] - centre[1]) - radius)
        found[np.all(off < ON_CIRCLE, axis=0)] = number
    return [int(n) for n in found]


def _breaks(before: XY, at: XY, after: XY, home: int, following: int) -> bool:
    """Whether a stroke ends at a corner of the ring."""
    if home != following:
        return True
    if home >= 0:
        return False
    (ax, ay), (bx, by) = (at[0] - before[0], at[1] - before[1]), (after[0] - at[0], after[1] - at[1])
    return abs(ax * by - ay * bx) > 1e-6 * hypot(ax, ay) * hypot(bx, by) or ax * bx + ay * by < 0


def _left(ring: Sequence[XY]) -> bool:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], ring[0]), strict=True)) > 0


def _reversed(shape: Contour) -> Contour:
    found: list[Stroke] = []
    for stroke in reversed(shape):
        if isinstance(stroke, Straight):
            found.append(Straight(stroke.end, stroke.start))
        else:
            found.append(Curve(stroke.end, stroke.start, stroke.centre, stroke.radius, not stroke.left))
    return tuple(found)


def box_of(shapes: Iterable[Contour]) -> tuple[float, float, float, float]:
    """The box round contours. Raises ValueError for none."""
    every = [p for shape in shapes for p in points(shape)]
    xs, ys = [p[0] for p in every], [p[1] for p in every]
    return (min(xs), min(ys), max(xs), max(ys))


def clipped(chain: Sequence[XY], window: tuple[float, float, float, float]) -> tuple[tuple[XY, ...], ...]:
    """The pieces of an open chain of points that lie inside a rectangle (x0, y0, x1, y1), in order."""
    pieces: list[list[XY]] = []
    for p, q in pairwise(chain):
        part = _inside(p, q, window)
        if part is None:
            continue
        if pieces and pieces[-1][-1] == part[0] and part[0] == p:
            pieces[-1].append(part[1])
        else:
            pieces.append([*part])
    return tuple(tuple(piece) for piece in pieces)


def _inside(p: XY, q: XY, window: tuple[float, float, float, float]) -> tuple[XY, XY] | None:
    low, high = 0.0, 1.0
    for start, end, lo, hi in ((p[0], q[0], window[0], window[2]), (p[1], q[1], window[1], window[3])):
        step = end - start
        if step == 0:
            if not lo <= start <= hi:
                return None
            continue
        a, b = sorted(((lo - start) / step, (hi - start) / step))
        low, high = max(low, a), min(high, b)
    if low >= high:
        return None

    def at(t: float) -> XY:
        return p if t == 0.0 else q if t == 1.0 else (p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t)

    return at(low), at(high)


def _xy(point: Point2) -> XY:
    return (float(point[0]), float(point[1]))
